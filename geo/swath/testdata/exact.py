# Measures ground by exact unions, with shapely (GEOS). Reads from standard input a line for
# each polygon, "zone", "keep" or "piece" and its coordinates; prints square meters.
import sys
from shapely.geometry import Polygon, LineString
from shapely.ops import unary_union, polygonize
from shapely.strtree import STRtree

kinds = {"zone": [], "keep": [], "piece": []}
for line in sys.stdin:
    kind, *numbers = line.split()
    v = list(map(float, numbers))
    ring = list(zip(v[::2], v[1::2]))
    p = Polygon(ring)
    if not p.is_valid:  # a bow tie: both lobes; buffer(0) would drop one
        p = unary_union(list(polygonize(unary_union(LineString(ring + ring[:1])))))
    if p.area > 0:
        kinds[kind].append(p)
pieces = kinds["piece"]
tree = STRtree(pieces)
index = {id(p): i for i, p in enumerate(pieces)}
pairs, triples = [], []
for i, p in enumerate(pieces):
    near = [pieces[k] for k in sorted(index[id(q)] for q in tree.query(p)) if k > i]
    over = []
    for q in near:
        x = p.intersection(q)
        if x.area > 1e-12:
            over.append((q, x))
            pairs.append(x)
    for a in range(len(over)):
        for b in range(a + 1, len(over)):
            y = over[a][1].intersection(over[b][0])
            if y.area > 1e-12:
                triples.append(y)
covered = unary_union(pieces)
field, keep = unary_union(kinds["zone"]), unary_union(kinds["keep"])
for name, area in (
    ("covered", covered.area),
    ("twice", unary_union(pairs).area),
    ("thrice", unary_union(triples).area),
    ("skipped", field.difference(covered).area),
    ("outside", covered.difference(field).area),
    ("kept-out", covered.intersection(keep).area),
):
    print(name, repr(area))
