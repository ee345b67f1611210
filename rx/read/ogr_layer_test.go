package read_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/crs"
)

// drawnLayer is a random layer before it is a file.
type drawnLayer struct {
	epsg   int
	system crs.System
	shapes []orb.MultiPolygon // in the system; shells counter-clockwise; nil is a null shape
	fields []drawnField
	rate   string // name of the rate field
}

// drawnField is a column: the cells' texts, empty for a null.
type drawnField struct {
	name     string
	kind     byte // as in a DBF: N, F, C, D, L
	size     int
	decimals int
	cells    []string
}

// places are systems and where in them a field may lie.
var places = []struct {
	epsg     int
	lon, lat float64
}{
	{4326, -93.5, 42}, {4326, 25, -29}, {4269, -99, 37},
	{32615, -93.2, 43}, {26914, -99.5, 41}, {32633, 14.5, 50}, {32722, -51.5, -22},
	{2264, -79, 35.5}, {3435, -88.3, 40}, {2251, -87, 46.3}, {2222, -110.2, 33}, {2230, -116.5, 33},
	{5070, -96, 40}, {3005, -122, 50}, {3347, -97, 51}, {3857, -90, 40},
}

// drawLayer makes polygons in tiles of 100 m, so that no two records share ground.
func drawLayer(t *testing.T, rnd *rand.Rand) *drawnLayer {
	t.Helper()
	place := places[rnd.IntN(len(places))]
	l := &drawnLayer{epsg: place.epsg}
	var err error
	if l.system, err = crs.Parse(fmt.Sprintf("EPSG:%d", place.epsg)); err != nil {
		t.Fatal(err)
	}
	origin := []orb.Point{{place.lon + rnd.Float64() - 0.5, place.lat + rnd.Float64() - 0.5}}
	step := orb.Point{1 / (111195 * math.Cos(origin[0][1]*math.Pi/180)), 1 / 111195.0} // degrees a meter
	if !l.system.LonLat() {
		if err := l.system.FromLonLat(origin, origin); err != nil {
			t.Fatal(err)
		}
		per := 1 / l.system.MetersPerUnit()
		step = orb.Point{per, per}
	}
	for i := range 2 + rnd.IntN(9) {
		if i > 0 && rnd.IntN(8) == 0 {
			l.shapes = append(l.shapes, nil)
			continue
		}
		at := orb.Point{float64(i%4) * 100, float64(i/4) * 100}
		mp := drawTile(rnd, at)
		for _, polygon := range mp {
			for _, ring := range polygon {
				for k, p := range ring {
					ring[k] = orb.Point{origin[0][0] + p[0]*step[0], origin[0][1] + p[1]*step[1]}
				}
			}
		}
		l.shapes = append(l.shapes, mp)
	}
	l.drawFields(rnd)
	return l
}

// drawTile makes one polygon or several, with holes, and now and then an island in
// a hole, in a tile of 100 m.
func drawTile(rnd *rand.Rand, at orb.Point) orb.MultiPolygon {
	if rnd.IntN(3) == 0 {
		var mp orb.MultiPolygon
		for k := range 2 + rnd.IntN(3) {
			center := orb.Point{at[0] + 25 + 50*float64(k%2), at[1] + 25 + 50*float64(k/2)}
			mp = append(mp, drawPolygon(rnd, center, 24))
		}
		return mp
	}
	center := orb.Point{at[0] + 50, at[1] + 50}
	if rnd.IntN(5) == 0 {
		shell, hole := star(rnd, center, 40, 49), star(rnd, center, 25, 30)
		return orb.MultiPolygon{{shell, backward(hole)}, drawPolygon(rnd, center, 20)}
	}
	return orb.MultiPolygon{drawPolygon(rnd, center, 49)}
}

func drawPolygon(rnd *rand.Rand, center orb.Point, radius float64) orb.Polygon {
	polygon := orb.Polygon{star(rnd, center, 0.7*radius, radius)}
	for k := range rnd.IntN(4) {
		sin, cos := math.Sincos(float64(k) * 2 * math.Pi / 3)
		middle := orb.Point{center[0] + 0.32*radius*cos, center[1] + 0.32*radius*sin}
		polygon = append(polygon, backward(star(rnd, middle, 0.05*radius, 0.15*radius)))
	}
	return polygon
}

// star makes a counter-clockwise ring around a point, between two radii: with ten
// corners or more, its chords stay outside the least.
func star(rnd *rand.Rand, center orb.Point, least, most float64) orb.Ring {
	n := 10 + rnd.IntN(10)
	inner := least / math.Cos(1.4*math.Pi/float64(n))
	ring := make(orb.Ring, 0, n+1)
	for k := range n {
		sin, cos := math.Sincos((float64(k) + 0.4*rnd.Float64()) * 2 * math.Pi / float64(n))
		r := inner + rnd.Float64()*(most-inner)
		ring = append(ring, orb.Point{center[0] + r*cos, center[1] + r*sin})
	}
	return append(ring, ring[0])
}

func backward(ring orb.Ring) orb.Ring {
	ring = ring.Clone()
	ring.Reverse()
	return ring
}

// drawFields makes a rate field of a random kind among others.
func (l *drawnLayer) drawFields(rnd *rand.Rand) {
	names := []string{"RATE", "Dünger", "lbs_ac", "Menge_é", "RX RATE"}
	l.rate = names[rnd.IntN(len(names))]
	l.fields = []drawnField{
		l.number(rnd, l.rate, 80, 300),
		l.number(rnd, "OFFSET", -9, 9),
		l.number(rnd, "BIG", -90000, 9e6),
		l.column("NAME", 'C', 10+rnd.IntN(60), func(i int) string {
			return []string{"north", "Süd", "été", "", "a b  c", "façade £", "x,\"y\""}[rnd.IntN(7)]
		}),
		l.column("WHEN", 'D', 8, func(int) string { return fmt.Sprintf("2026%02d%02d", 1+rnd.IntN(12), 1+rnd.IntN(28)) }),
		l.column("DONE", 'L', 1, func(int) string { return string("TFYN"[rnd.IntN(4)]) }),
	}
	rnd.Shuffle(len(l.fields), func(i, j int) { l.fields[i], l.fields[j] = l.fields[j], l.fields[i] })
	l.fields = l.fields[:2+rnd.IntN(5)]
	if l.field(l.rate) == nil {
		l.fields[0] = l.number(rnd, l.rate, 80, 300)
	}
}

// number makes a numeric column: whole numbers, decimals, or exponents.
func (l *drawnLayer) number(rnd *rand.Rand, name string, least, most float64) drawnField {
	decimals := []int{0, 1, 3, 6, 11}[rnd.IntN(5)]
	style := rnd.IntN(4)
	f := l.column(name, "NF"[rnd.IntN(2)], 0, func(int) string {
		if rnd.IntN(9) == 0 {
			return ""
		}
		v := least + rnd.Float64()*(most-least)
		switch {
		case decimals == 0:
			return strconv.FormatFloat(math.Round(v), 'f', 0, 64)
		case style == 0:
			return strconv.FormatFloat(v, 'e', 12, 64)
		case style == 1 && v > 0:
			return "+" + strconv.FormatFloat(v, 'f', decimals, 64)
		}
		return strconv.FormatFloat(v, 'f', decimals, 64)
	})
	f.decimals = decimals
	f.size = min(19, 9+decimals+rnd.IntN(4))
	if decimals > 0 {
		f.size = 20 + rnd.IntN(5)
	}
	return f
}

func (l *drawnLayer) column(name string, kind byte, size int, cell func(int) string) drawnField {
	f := drawnField{name: name, kind: kind, size: size}
	for i := range l.shapes {
		f.cells = append(f.cells, cell(i))
	}
	return f
}

func (l *drawnLayer) field(name string) *drawnField {
	for i := range l.fields {
		if l.fields[i].name == name {
			return &l.fields[i]
		}
	}
	return nil
}

// geoJSON writes the layer as text, with rings wound at random, and heights on
// some features.
func (l *drawnLayer) geoJSON(rnd *rand.Rand, name string) string {
	var b strings.Builder
	b.WriteString(`{"type":"FeatureCollection","name":"` + name + `",`)
	if l.epsg != 4326 {
		b.WriteString(fmt.Sprintf(`"crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:EPSG::%d"}},`, l.epsg))
	}
	b.WriteString(`"features":[`)
	for i, mp := range l.shapes {
		if i > 0 {
			b.WriteString(",\n")
		}
		b.WriteString(`{"type":"Feature","properties":{`)
		for f, field := range l.fields {
			if f > 0 {
				b.WriteString(",")
			}
			b.WriteString(strconv.Quote(field.name) + ":" + field.json(i))
		}
		b.WriteString(`},"geometry":` + geometryJSON(rnd, mp) + "}")
	}
	b.WriteString("]}\n")
	return b.String()
}

func (f *drawnField) json(i int) string {
	text := f.cells[i]
	switch {
	case text == "":
		return "null"
	case f.kind == 'N' || f.kind == 'F':
		return strings.TrimPrefix(text, "+")
	case f.kind == 'L':
		return strconv.FormatBool(text == "T" || text == "Y")
	}
	return strconv.Quote(text)
}

func geometryJSON(rnd *rand.Rand, mp orb.MultiPolygon) string {
	if mp == nil {
		return "null"
	}
	height := ""
	if rnd.IntN(3) == 0 {
		height = ",211.5"
	}
	polygons := make([]string, len(mp))
	for p, polygon := range mp {
		rings := make([]string, len(polygon))
		for r, ring := range polygon {
			if rnd.IntN(3) == 0 {
				ring = backward(ring)
			}
			points := make([]string, len(ring))
			for k, q := range ring {
				points[k] = fmt.Sprintf("[%v,%v%s]", q[0], q[1], height)
			}
			rings[r] = "[" + strings.Join(points, ",") + "]"
		}
		polygons[p] = "[" + strings.Join(rings, ",") + "]"
	}
	if len(mp) == 1 {
		return `{"type":"Polygon","coordinates":` + polygons[0] + "}"
	}
	return `{"type":"MultiPolygon","coordinates":[` + strings.Join(polygons, ",") + "]}"
}
