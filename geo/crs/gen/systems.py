"""Writes systems.tsv from the EPSG data that PROJ carries in proj.db.

Use, from geo/crs:  python3 gen/systems.py PROJ_DB > systems.tsv
PROJ_DB is the file proj.db in the folder that `projinfo --searchpaths` names.

Taken are the projected systems of EPSG that are not deprecated, lie over WGS 84
or a realization of NAD 83 that the package knows, use a projection that it
knows, and have their easting before their northing. The polar map series (SCAR,
EPSG Arctic) are left out: nobody farms there.

The base is that of the lon/lat system's EPSG code. Angles are degrees, a false
easting and northing are in the system's unit. The box is the system's area of
use, in hundredths of a degree, rounded outward.
"""

import math
import sqlite3
import sys
from decimal import Decimal
from fractions import Fraction

BASES = {4326, 4269, 4152, 4617, 4759, 6318, 6783}
METHODS = {1024: "webMercator", 9801: "lambertConic", 9802: "lambertConic",
           9804: "mercator", 9805: "mercator", 9807: "transverseMercator",
           9812: "obliqueMercatorA", 9815: "obliqueMercatorB", 9822: "albersConic"}
UNITS = {9001: ("meter", Fraction(1)), 9002: ("foot", Fraction(3048, 10000)),
         9003: ("surveyFoot", Fraction(1200, 3937))}
# The table's columns of parameters, by EPSG parameter code.
COLUMNS = {8801: "lat0", 8811: "lat0", 8821: "lat0",
           8802: "lon0", 8812: "lon0", 8822: "lon0",
           8823: "sp1", 8824: "sp2", 8805: "k0", 8815: "k0",
           8813: "azimuth", 8814: "skew",
           8806: "fe", 8816: "fe", 8826: "fe", 8807: "fn", 8817: "fn", 8827: "fn"}
FIELDS = ["lat0", "lon0", "sp1", "sp2", "k0", "azimuth", "skew", "fe", "fn"]

QUERY = """
select p.code, p.name, p.geodetic_crs_code, c.*,
  (select a.alt_name from alias_name a where a.table_name = 'projected_crs'
     and a.auth_name = 'EPSG' and a.code = p.code and a.source = 'ESRI'
     order by a.alt_name limit 1) as esri,
  (select group_concat(x.orientation) from (select * from axis a
     where a.coordinate_system_auth_name = 'EPSG'
     and a.coordinate_system_code = p.coordinate_system_code
     order by a.coordinate_system_order) x) as axes,
  (select group_concat(distinct a.uom_code) from axis a
     where a.coordinate_system_auth_name = 'EPSG'
     and a.coordinate_system_code = p.coordinate_system_code) as axis_unit
from projected_crs p
join conversion_table c on c.auth_name = p.conversion_auth_name and c.code = p.conversion_code
where p.auth_name = 'EPSG' and p.geodetic_crs_auth_name = 'EPSG'
  and p.deprecated = 0 and c.method_auth_name = 'EPSG'
order by p.code"""


def degrees(value, uom):
    """An angle in degrees; EPSG's unit 9110 packs degrees, minutes and seconds
    as DDD.MMSSs."""
    exact = Decimal(repr(float(value)))
    if uom == 9102:
        return float(exact)
    if uom != 9110:
        raise ValueError(f"unit {uom} of an angle")
    size = abs(exact)
    whole = int(size)
    minutes = int((size - whole) * 100)
    seconds = (size - whole) * 10000 - minutes * 100
    angle = whole + Fraction(minutes, 60) + Fraction(seconds) / 3600
    return float(-angle if exact < 0 else angle)


def length(value, uom, to):
    """A false easting or northing in the system's own unit."""
    if UNITS[uom][0] == to:
        return float(value)
    return float(Fraction(Decimal(repr(float(value)))) * UNITS[uom][1] / dict(UNITS.values())[to])


def params(row, unit):
    out = dict.fromkeys(FIELDS, 0.0)
    out["k0"] = 1.0
    for i in range(1, 8):
        code = row[f"param{i}_code"]
        if code is None:
            continue
        field, value, uom = COLUMNS[code], row[f"param{i}_value"], row[f"param{i}_uom_code"]
        if field == "k0":
            assert uom == 9201
            out[field] = float(value)
        elif field in ("fe", "fn"):
            out[field] = length(value, uom, unit)
        else:
            out[field] = degrees(value, uom)
    if row["method_code"] == 9801:  # one standard parallel, the latitude of the origin
        out["sp1"] = out["sp2"] = out["lat0"]
    return [out[f] for f in FIELDS]


AREA = """
select e.west_lon, e.south_lat, e.east_lon, e.north_lat
from usage u join extent e on e.auth_name = u.extent_auth_name and e.code = u.extent_code
where u.object_table_name = 'projected_crs' and u.object_auth_name = 'EPSG' and u.object_code = ?
order by (e.north_lat - e.south_lat) desc limit 1"""


def outward(west, south, east, north):
    """A box in hundredths of a degree, rounded outward."""
    down, up = (lambda v: math.floor(v * 100 + 1e-6)), (lambda v: math.ceil(v * 100 - 1e-6))
    return down(west), down(south), up(east), up(north)


def number(x):
    return repr(int(x)) if x == int(x) else repr(x)


def main():
    db = sqlite3.connect(f"file:{sys.argv[1]}?mode=ro", uri=True)
    db.row_factory = sqlite3.Row
    meta = dict(db.execute("select key, value from metadata where key like 'EPSG%'"))
    print("# Written by gen/systems.py; do not edit. Sorted by code.")
    print(f"# From the EPSG Geodetic Parameter Dataset {meta['EPSG.VERSION']} of {meta['EPSG.DATE']}, © IOGP.")
    print("# " + "\t".join(["code", "base", "method", "unit", "name", "ESRI's name", *FIELDS, "west", "south", "east", "north"]))
    for row in db.execute(QUERY):
        if (row["geodetic_crs_code"] not in BASES or row["method_code"] not in METHODS
                or "SCAR " in row["name"] or "EPSG Arctic" in row["name"]
                or row["axes"] != "east,north"):
            continue
        unit = UNITS[int(row["axis_unit"])][0]
        box = outward(*db.execute(AREA, (row[0],)).fetchone())
        print(row[0], row["geodetic_crs_code"], METHODS[row["method_code"]], unit, row["name"], row["esri"] or "",
              *[number(v) for v in params(row, unit)], *box, sep="\t")


main()
