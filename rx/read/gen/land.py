"""Writes land.txt: the degrees of the globe that have land in them or beside them.

Use, from rx/read:  python3 gen/land.py land-10m.json > land.txt
The input is the land of Natural Earth (public domain) at 1:10 million, as TopoJSON; the
npm package world-atlas 2.0.2 has that of version 4.1.0.

A line is a degree of latitude, from 90 N down; its numbers are how many degrees, from
180 W on, are open sea, have land, are open sea, and so on. A degree has land if a coast
runs through it, or its middle lies inside one; so have the eight beside it, so that
islands that the map leaves out, and what it rounds, are no open sea near a coast.
"""

import json
import math
import sys

doc = json.load(open(sys.argv[1]))
(sx, sy), (tx, ty) = doc["transform"]["scale"], doc["transform"]["translate"]
arcs = []
for arc in doc["arcs"]:
    x = y = 0
    points = []
    for dx, dy in arc:
        x, y = x + dx, y + dy
        points.append((x * sx + tx, y * sy + ty))
    arcs.append(points)


def rings(geometry):
    if geometry["type"] == "GeometryCollection":
        for g in geometry["geometries"]:
            yield from rings(g)
        return
    polygons = geometry["arcs"] if geometry["type"] == "MultiPolygon" else [geometry["arcs"]]
    for polygon in polygons:
        for ring in polygon:
            points = []
            for i in ring:
                arc = arcs[i] if i >= 0 else arcs[~i][::-1]
                points += arc[1:] if points else arc
            yield points


land = [[False] * 360 for _ in range(180)]  # by degrees from the north and from 180 W


def mark(lon, lat):
    land[min(179, max(0, math.floor(90 - lat)))][math.floor(lon + 180) % 360] = True


crossings = [[] for _ in range(180)]
for points in rings(doc["objects"]["land"]):
    if max(abs(x) + abs(y) for x, y in points) < 0.1:
        continue  # the map's makers draw an island at 0, 0, which is none
    for (x0, y0), (x1, y1) in zip(points, points[1:]):
        steps = max(1, math.ceil(20 * max(abs(x1 - x0), abs(y1 - y0))))
        for i in range(steps + 1):
            mark(x0 + (x1 - x0) * i / steps, y0 + (y1 - y0) * i / steps)
        for row in range(180):
            lat = 89.5 - row
            if (y0 > lat) != (y1 > lat):
                crossings[row].append(x0 + (x1 - x0) * (lat - y0) / (y1 - y0))
for row, list_ in enumerate(crossings):
    list_.sort()
    for a, b in zip(list_[::2], list_[1::2]):
        for col in range(360):
            if a <= col - 179.5 <= b:
                land[row][col] = True

print("# Written by gen/land.py; do not edit. From Natural Earth 4.1.0 (public domain).")
for row in range(180):
    wide = [any(land[r][(c + d) % 360] for r in range(max(0, row - 1), min(180, row + 2)) for d in (-1, 0, 1))
            for c in range(360)]
    runs, is_land = [0], False
    for w in wide:
        if w != is_land:
            runs.append(0)
            is_land = w
        runs[-1] += 1
    print(*runs)
