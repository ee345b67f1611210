package main

import (
	"archive/zip"
	"bytes"
	"hash/crc32"
	"maps"
	"math"
	"path/filepath"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/invent"
	"rxsplit/label"
)

// smallField is a field with something of everything: the four zones, one with a
// hole and an island, one of rate 0, one without a rate, one without a polygon.
func smallField(t testing.TB, epsg int) *invent.Layer {
	t.Helper()
	l := smallZones()
	if err := reproject(l, epsg); err != nil {
		t.Fatal(err)
	}
	return l
}

func smallZones() *invent.Layer {
	l := invent.FourZones()
	west, north := l.Shapes.Extent().Min[0], l.Shapes.Extent().Max[1]
	square := func(x, y, side float64) orb.Ring { // in steps of some 11 m
		x, y, side = west+x*1e-4, north+y*1e-4, side*1e-4
		return orb.Ring{{x, y}, {x + side, y}, {x + side, y + side}, {x, y + side}, {x, y}}
	}
	hole := square(3, 13, 2)
	slices.Reverse(hole)
	for _, shape := range []orb.MultiPolygon{
		{{square(0, 10, 10), hole}, {square(12, 10, 3)}},
		{{square(20, 10, 10)}},
		{{square(30, 10, 10)}},
		nil,
	} {
		l.Shapes.Append(shape)
	}
	l.Rates = append(l.Rates, 200, 0, math.NaN(), 150)
	return l
}

// smallParts are the parts of the small field as a shapefile, by their endings.
func smallParts(t testing.TB, epsg int) map[string][]byte {
	t.Helper()
	return byEnding(smallFiles(t, "small.shp", epsg))
}

func smallGeoJSON(t testing.TB) []byte {
	t.Helper()
	return smallFiles(t, "small.geojson", 4326)["small.geojson"]
}

func smallFiles(t testing.TB, name string, epsg int) map[string][]byte {
	t.Helper()
	l := smallField(t, epsg)
	files, err := encodeLayer(name, l, l.Columns())
	if err != nil {
		t.Fatal(err)
	}
	return files
}

func byEnding(files map[string][]byte) map[string][]byte {
	parts := map[string][]byte{}
	for name, data := range files {
		parts[filepath.Ext(name)] = data
	}
	return parts
}

// stored packs parts under one name into an archive, uncompressed, so that what
// changes in the archive changes in a part; see [resealed].
func stored(t testing.TB, name string, parts map[string][]byte) []byte {
	t.Helper()
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, ext := range slices.Sorted(maps.Keys(parts)) {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name + ext, Method: zip.Store})
		if err == nil {
			_, err = w.Write(parts[ext])
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	return buf.Bytes()
}

// resealed returns an archive with the checksums that its stored entries should
// have, so that a change of a byte gets past them; what is no archive comes back
// as it is.
func resealed(archive []byte) []byte {
	from, err := zip.NewReader(bytes.NewReader(archive), int64(len(archive)))
	if err != nil {
		return archive
	}
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, f := range from.File {
		head := f.FileHeader
		raw, err := f.OpenRaw()
		if err != nil || head.Method != zip.Store || head.CompressedSize64 > uint64(len(archive)) {
			return archive
		}
		data := make([]byte, head.CompressedSize64)
		if n, _ := raw.Read(data); n != len(data) {
			return archive
		}
		head.CRC32 = crc32.ChecksumIEEE(data)
		w, err := z.CreateRaw(&head)
		if err != nil {
			return archive
		}
		w.Write(data)
	}
	if z.Close() != nil {
		return archive
	}
	return buf.Bytes()
}

// smallJob names the field's rates and all equipment there is.
const smallJob = `rate-field: [DRY_LBAC]
rate-unit: lb/ac
rate-error: 5 %
already-applied: 10 fl oz/ac
stabilizer-rate: 30 fl oz/ac
leave-off: yes
blend:
  - {name: urea, grade: 46-0-0, share: 80 %, density: 48 lb/ft3}
  - {name: potash, grade: 0-0-60, share: 20 %, density: 66 lb/ft3}
second-liquid: {name: further liquid, loading: 64 fl oz/ton, density: 9 lb/gal}
blender: {batch: 3 ton, drum: 150 ft3, batch-time: 9 min}
spreader:
  swath: 70 ft
  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}
  rates: {min: 80 lb/ac, max: 500 lb/ac}
  bins: 2
  rate-change: 4 s
  default-rate: 0 lb/ac
  truck: 8 ton
boom:
  width: 70 ft
  spacing: 20 in
  volume: 10 gal/ac
  tank: 500 gal
  nozzles: ["04", "05", "06"]
  pressure: {min: 15 psi, max: 70 psi}
  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}
prices: {stabilizer: 40 $/gal, blending: 12 $/ton, dry-spreading: 7.50 $/ac, wet-boom: 4 $/ac, nitrogen: 0.60 $/lb}
field: North quarter
date: 2026-05-01
`

// shortLabel is the least that a profile can say.
const shortLabel = "name: Short (invented)\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"

// shortJob is a job of flags alone, without equipment.
const shortJob = "rate-field: DRY_LBAC\nrate-unit: kg/ha\nunits: metric\n"

func fullLabel() []byte { return label.DemoYAML() }
