"""Writes testdata/points.tsv and testdata/texts.tsv from PROJ and GDAL.

Use, from geo/crs:  python3 gen/testdata.py PROJ_DB
PROJ_DB is the file proj.db in the folder that `projinfo --searchpaths` names; it
gives the systems' areas of use. cs2cs (PROJ) and gdalsrsinfo (GDAL) have to be
installed. cs2cs goes from the lon/lat system on the projected system's own
datum, so that it shifts no datum and uses no grid.
"""

import sqlite3
import subprocess
import sys

# Every projection, each unit, both hemispheres, each realization of NAD 83.
CODES = [26915, 32615, 32733, 32760, 26901, 6344, 3721, 3740, 2957, 26933, 2222, 3435, 26962, 2256,
         26975, 3417, 2264, 2277, 26940, 6794, 8327, 3347, 3033, 7755, 5070, 6350, 3310, 3338, 9191,
         3857, 3395, 3832, 3994, 26931, 3078, 6842, 8065]
LONLAT = [4326, 4269, 4152, 4617, 4759, 6318, 6783]


def run(*command, text=""):
    return subprocess.run(command, input=text, capture_output=True, text=True, check=True).stdout


def head(out, tool, what):
    print(f"# {what}", file=out)
    print("# Written by gen/testdata.py; do not edit. " + tool, file=out)


def area(db, code):
    """West, south, east, north of a system's area of use and its base's code."""
    row = db.execute("""select e.west_lon, e.south_lat, e.east_lon, e.north_lat, p.geodetic_crs_code
        from usage u join extent e on e.auth_name = u.extent_auth_name and e.code = u.extent_code
        join projected_crs p on p.auth_name = 'EPSG' and p.code = u.object_code
        where u.object_table_name = 'projected_crs' and u.object_auth_name = 'EPSG' and u.object_code = ?""",
        (code,)).fetchone()
    west, south, east, north, base = row
    return west, south, east + 360 if east < west else east, north, base


def places(west, south, east, north):
    """The four corners and five places inside."""
    for u, v in ((0, 0), (1, 0), (1, 1), (0, 1), (.5, .5), (.25, .3), (.7, .2), (.8, .75), (.35, .9)):
        lon, lat = west + u * (east - west), south + v * (north - south)
        yield round(lon - 360 if lon > 180 else lon, 6), round(lat, 6)


def points(out, db):
    release = subprocess.run(["cs2cs"], capture_output=True, text=True).stderr.splitlines()[0]
    head(out, f"PROJ {release}", "code, to: lon lat easting northing; code, from: easting northing lon lat")
    print("# to:   cs2cs -f %.10f EPSG:base EPSG:code, given latitude longitude", file=out)
    print("# from: cs2cs -f %.14f EPSG:code EPSG:base, given easting northing", file=out)
    for code in CODES:
        try:
            west, south, east, north, base = area(db, code)
        except TypeError:
            raise SystemExit(f"EPSG:{code}: no area of use")
        here = list(places(west, south, east, north))
        given = "".join(f"{lat} {lon}\n" for lon, lat in here)
        there = [line.split()[:2] for line in
                 run("cs2cs", "-f", "%.10f", f"EPSG:{base}", f"EPSG:{code}", text=given).splitlines()]
        for (lon, lat), (x, y) in zip(here, there):
            print(code, "to", lon, lat, x, y, sep="\t", file=out)
        plane = [(round(float(x), 2), round(float(y), 2)) for x, y in there[4:]]
        given = "".join(f"{x} {y}\n" for x, y in plane)
        back = run("cs2cs", "-f", "%.14f", f"EPSG:{code}", f"EPSG:{base}", text=given).splitlines()
        for (x, y), line in zip(plane, back):
            lat, lon = line.split()[:2]
            print(code, "from", x, y, lon, lat, sep="\t", file=out)


def texts(out):
    head(out, run("gdalsrsinfo", "--version").strip(),
         "code, spelling, text: gdalsrsinfo --single-line -o wkt_esri or -o wkt1 EPSG:code")
    for code in LONLAT + CODES:
        for spelling in ("wkt_esri", "wkt1"):
            text = run("gdalsrsinfo", "--single-line", "-o", spelling, f"EPSG:{code}").strip()
            print(code, spelling, text, sep="\t", file=out)


def main():
    db = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
    with open("testdata/points.tsv", "w") as out:
        points(out, db)
    with open("testdata/texts.tsv", "w") as out:
        texts(out)


main()
