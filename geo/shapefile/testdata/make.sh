#!/bin/sh
# Makes the files that README.md describes, with GDAL's ogr2ogr.
set -e
to_shp() { # source layer-type name [options]
	src=$1; kind=$2; name=$3; shift 3
	ogr2ogr -q -f "ESRI Shapefile" -nlt "$kind" -a_srs EPSG:32615 "$@" "$name.shp" "$src"
	[ "$name" = plain ] || rm "$name.prj"
}
rows='id,RATE,NAME,WHEN,WKT'
plain() { printf '%s\n' "$rows" \
	'1,150.25,north,2026-04-01,"POLYGON ((0 0,0 10,10 10,10 0,0 0))"' \
	'2,,south,,"POLYGON ((20 0,20 10,30 10,30 0,20 0),(22 2,25 2,25 5,22 5,22 2))"' \
	'3,200,,2026-04-03,"MULTIPOLYGON (((40 0,40 10,50 10,50 0,40 0)),((60 0,60 10,70 10,70 0,60 0),(61 1,64 1,64 4,61 4,61 1)))"' \
	'4,90.5,none,2026-04-04,'; }
csvt='"Integer","Real","String","Date","String"'
work=$(mktemp -d)
trap 'rm -r "$work"' EXIT
plain > "$work/plain.csv"; echo "$csvt" > "$work/plain.csvt"
sed -e 's/\([(,]\)\([0-9][0-9]*\) \([0-9][0-9]*\)/\1\2 \3 7/g' -e 's/POLYGON (/POLYGON Z (/' "$work/plain.csv" > "$work/z.csv"; echo "$csvt" > "$work/z.csvt"
sed -e 's/\([(,]\)\([0-9][0-9]*\) \([0-9][0-9]*\)/\1\2 \3 5/g' -e 's/POLYGON (/POLYGON M (/' "$work/plain.csv" > "$work/m.csv"; echo "$csvt" > "$work/m.csvt"
sed -e 's/\([(,]\)\([0-9][0-9]*\) \([0-9][0-9]*\)/\1\2 \3 7 5/g' -e 's/POLYGON (/POLYGON ZM (/' "$work/plain.csv" > "$work/zm.csv"; echo "$csvt" > "$work/zm.csvt"
named() { printf '%s\n' 'id,Größe,NAME,WKT' \
	'1,150.25,Maïs über Weizen,"POLYGON ((0 0,0 10,10 10,10 0,0 0))"' \
	'2,200,año ½,"POLYGON ((20 0,20 10,30 10,30 0,20 0))"'; }
named > "$work/named.csv"; echo '"Integer","Real","String","String"' > "$work/named.csvt"
open="-oo GEOM_POSSIBLE_NAMES=WKT -oo KEEP_GEOM_COLUMNS=NO"
to_shp "$work/plain.csv" POLYGON plain $open
to_shp "$work/z.csv" POLYGON25D z $open
to_shp "$work/m.csv" POLYGONM m $open
to_shp "$work/zm.csv" POLYGONZM zm $open
to_shp "$work/named.csv" POLYGON utf8 $open -lco ENCODING=UTF-8
to_shp "$work/named.csv" POLYGON cp1252 $open -lco ENCODING=CP1252
to_shp "$work/named.csv" POLYGON latin1 $open -lco ENCODING=ISO-8859-1
to_shp "$work/named.csv" POLYGON cp437 $open -lco ENCODING=CP437
to_shp "$work/named.csv" POLYGON cp850 $open -lco ENCODING=CP850
to_shp "$work/plain.csv" POLYGON deleted $open
ogrinfo -q -oo AUTO_REPACK=NO deleted.shp -dialect SQLITE -sql 'DELETE FROM deleted WHERE id = 2'
for wrong in point:POINT:'POINT (1 2)' line:LINESTRING:'LINESTRING (0 0,1 1)'; do
	name=${wrong%%:*}; rest=${wrong#*:}
	printf '%s\n' 'id,WKT' "1,\"${rest#*:}\"" > "$work/$name.csv"
	to_shp "$work/$name.csv" "${rest%%:*}" "$name" $open
done
# What ogrinfo's library reads in them: the record from 0, the fields, the plane area, the polygons.
for f in plain z m zm utf8 cp1252 latin1 cp437 cp850 deleted; do
	ogr2ogr -q -f CSV -lco GEOMETRY=AS_WKT -dim XY -sql "SELECT FID, *, OGR_GEOM_AREA FROM $f" "$work/out-$f.csv" "$f.shp"
	cp "$work/out-$f.csv" "$f.csv"
done
# The upper halves of the code pages as iconv has them: page, byte, code point.
for page in CP437 CP850 CP1252 ISO-8859-1; do
	i=128
	while [ $i -lt 256 ]; do
		code=$(printf "\\$(printf %o $i)" | iconv -f $page -t UTF-32BE 2>/dev/null | od -An -tx1 | tr -d ' \n')
		[ -z "$code" ] || printf '%s %02X %s\n' $page $i "$code"
		i=$((i + 1))
	done
done > codepages.txt
