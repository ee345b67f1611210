// Package rxtest makes prescriptions for tests.
package rxtest

import (
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/geojson"
	"rxsplit/geo/invent"
	"rxsplit/geo/shapefile"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
)

// Ground is a zone that has no shape: some acres at a rate, NaN for none.
type Ground struct {
	Acres unit.Area
	Rate  unit.DryRate
}

// Plain returns a prescription whose zones have acres and rates but no polygons:
// enough for everything that does not draw.
func Plain(grounds ...Ground) *rx.Prescription {
	p := &rx.Prescription{
		Source: rx.Source{Name: "plain"},
		Fields: []rx.RateField{{Name: "RATE", Unit: unit.PoundPerAcre, Symbol: "lb/ac", Share: 1}},
		Drawn:  &geo.Shapes{}, LonLat: &geo.Shapes{},
	}
	for i, g := range grounds {
		p.Zones = append(p.Zones, rx.Zone{Record: int32(i), Area: g.Acres, Dry: g.Rate, Carrier: g.Rate})
	}
	return p
}

// FourGrounds are the zones of the worked field: (ac, lb/ac) (40,100) (60,180)
// (45,250) (15,300).
func FourGrounds() []Ground {
	return []Ground{{40, 100}, {60, 180}, {45, 250}, {15, 300}}
}

// Label returns an invented profile of 20 to 40 fl oz/ac without how-to limits;
// more is YAML that is added to it.
func Label(t testing.TB, more string) *label.Profile {
	t.Helper()
	return Profile(t, "name: Test inhibitor (invented)\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n"+more)
}

// Profile reads a label profile, or fails.
func Profile(t testing.TB, text string) *label.Profile {
	t.Helper()
	p, err := label.Parse("label.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// HowTo are the limits of a full profile, to be added to [Label].
const HowTo = "min-dry-rate: 100 lb/ac\nmax-liquid: 3 gal/ton\nloading: {min: 100 fl oz/ton, max: 400 fl oz/ton}\n"

// Terms returns terms at the middle of a label.
func Terms(p *label.Profile) rx.Terms {
	return rx.Terms{Label: p, Intended: p.Rate.Middle()}
}

// Further returns a further liquid on the blend, another, at a fixed loading and without a
// label; none for 0.
func Further(l unit.Loading) []rx.JobLiquid {
	if l == 0 {
		return nil
	}
	return []rx.JobLiquid{{Name: "another", Loading: l, On: equip.OnBlend}}
}

// FurtherOf lists the further liquids of a job, nil for none, without their labels.
func FurtherOf(j *equip.Job) (list []rx.JobLiquid) {
	if j == nil {
		return nil
	}
	for _, l := range j.FurtherLiquids {
		list = append(list, rx.NewLiquid(l, nil))
	}
	return list
}

// Grade grades a prescription, or fails.
func Grade(t testing.TB, p *rx.Prescription, terms rx.Terms) *rx.Assessment {
	t.Helper()
	a, err := check.Grade(p, terms)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

// Write writes an invented layer as GeoJSON, in lon/lat, and returns its path.
func Write(t testing.TB, l *invent.Layer) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), l.Name+".geojson")
	file, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	defer file.Close()
	id := func(row int) int64 { return int64(row + 1) }
	if err := geojson.Write(file, l.Name, &l.Shapes, id, l.Columns()); err != nil {
		t.Fatal(err)
	}
	return path
}

// Shapefile writes an invented layer as a shapefile in its own system, which a code such as
// "EPSG:32615" names, and returns its path.
func Shapefile(t testing.TB, l *invent.Layer, code string) string {
	t.Helper()
	system, err := crs.Parse(code)
	if err != nil {
		t.Fatal(err)
	}
	base := filepath.Join(t.TempDir(), "grid")
	var parts [3]*os.File
	for i, ext := range []string{".shp", ".shx", ".dbf"} {
		if parts[i], err = os.Create(base + ext); err != nil {
			t.Fatal(err)
		}
		defer parts[i].Close()
	}
	if err := shapefile.Write(parts[0], parts[1], parts[2], &l.Shapes, l.Columns()); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(base+".prj", []byte(system.WKT()), 0o666); err != nil {
		t.Fatal(err)
	}
	return base + ".shp"
}

// Read reads an invented layer the way a file is read.
func Read(t testing.TB, l *invent.Layer) *rx.Prescription {
	t.Helper()
	return Open(t, Write(t, l), read.Options{RateFields: []string{invent.RateField}, RateUnit: "lb/ac"})
}

// Open reads a file.
func Open(t testing.TB, path string, opt read.Options) *rx.Prescription {
	t.Helper()
	file, err := read.Open(path, read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	p, err := read.Prescription(file, opt)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// Strip returns rectangles side by side, 100 m high, one for each ground, wide
// enough for its acres: a field in lon/lat that has polygons.
func Strip(grounds ...Ground) *invent.Layer {
	const south, north = 40.0, 40.0009
	l := &invent.Layer{Name: "strip", EPSG: 4326}
	west := -90.4
	perDegree := stripAcres(south, north)
	for _, g := range grounds {
		east := west + float64(g.Acres)/perDegree
		ring := orb.Ring{{west, south}, {east, south}, {east, north}, {west, north}, {west, south}}
		l.Shapes.Append(orb.MultiPolygon{{ring}})
		l.Rates = append(l.Rates, float64(g.Rate))
		west = east
	}
	return l
}

// NorthHalf returns the northern half of a record's box, for a keep-out.
func NorthHalf(p *rx.Prescription, record int) orb.MultiPolygon {
	box := p.LonLat.Bound(record)
	box.Min[1] = (box.Min[1] + box.Max[1]) / 2
	return orb.MultiPolygon{box.ToPolygon()}
}

// stripAcres returns the acres of a band of latitude per degree of longitude.
func stripAcres(south, north float64) float64 {
	ring := orb.Ring{{0, south}, {0.01, south}, {0.01, north}, {0, north}, {0, south}}
	area, err := geo.AreaOf(orb.MultiPolygon{{ring}})
	if err != nil {
		return math.NaN()
	}
	return float64(area) / 0.01
}
