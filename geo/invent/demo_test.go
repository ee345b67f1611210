package invent_test

import (
	"math"
	"reflect"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"rxsplit/geo/invent"
	"rxsplit/internal/oracle"
)

const acre = 4046.8564224 // m², NIST Handbook 44 Appendix C

func demo(t *testing.T, epsg int) *invent.Layer {
	t.Helper()
	l, err := invent.Demo(epsg)
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func TestDemo(t *testing.T) {
	l := demo(t, 32615)
	checkPrescription(t, l)
	checkSteps(t, l)
	checkRecords(t, &l.Shapes)
	if o := checkOutline(t, &l.Shapes); len(o) != 2 {
		t.Errorf("the outline has %d holes, want the grove", len(o)-1)
	}
}

// checkPrescription looks for what makes the field worth a demo.
func checkPrescription(t *testing.T, l *invent.Layer) {
	t.Helper()
	f := factsOf(l)
	for _, c := range []struct {
		what          string
		got, min, max float64
	}{
		{"zones", float64(f.zones), 40, 80},
		{"acres", f.acres, 150, 300},
		{"zones with a hole", float64(f.holed), 1, 80},
		{"zones of several parts", float64(f.multi), 1, 10},
		{"zones with rate 0", float64(f.zero), 1, 1},
		{"acres below 20 fl oz/ac", f.below, 5, 0.2 * f.acres},
		{"acres above 40 fl oz/ac", f.above, 5, 0.2 * f.acres},
		{"lowest rate", f.lowest, 85, 118},
		{"highest rate", f.highest, 255, 300},
		{"smallest part in acres", f.smallest, 0.36, 10},
	} {
		if c.got < c.min || c.got > c.max {
			t.Errorf("%s: got %v, want %v to %v", c.what, c.got, c.min, c.max)
		}
	}
}

// facts are what the users of the demo rely on. Acres are those of the
// plane, which are within 0.1 % of the ellipsoid's.
type facts struct {
	zones, holed, multi, zero                      int
	acres, below, above, lowest, highest, smallest float64
}

// factsOf grades a field at the loading that carries 30 fl oz/ac at its mean rate.
func factsOf(l *invent.Layer) facts {
	f := facts{zones: l.Shapes.Len(), lowest: math.Inf(1), smallest: math.Inf(1)}
	areas := make([]float64, f.zones)
	var pounds, treated float64
	for i := range areas {
		shape := l.Shapes.Shape(i)
		areas[i] = planarOf(shape) / acre
		f.acres += areas[i]
		if len(shape) > 1 {
			f.multi++
		}
		if rings, all := l.Shapes.ShapeRings(i); all-rings > len(shape) {
			f.holed++
		}
		if l.Rates[i] == 0 {
			f.zero++
			continue
		}
		for _, polygon := range shape {
			f.smallest = min(f.smallest, planarOf(orb.MultiPolygon{polygon})/acre)
		}
		pounds += areas[i] * l.Rates[i]
		treated += areas[i]
		f.lowest, f.highest = min(f.lowest, l.Rates[i]), max(f.highest, l.Rates[i])
	}
	for i, rate := range l.Rates {
		stabilizer := 30 * rate / (pounds / treated)
		switch {
		case rate == 0:
		case stabilizer < 20:
			f.below += areas[i]
		case stabilizer > 40:
			f.above += areas[i]
		}
	}
	return f
}

// checkSteps looks for rates that are not in steps of 5, and for coordinates that
// are not in centimeters.
func checkSteps(t *testing.T, l *invent.Layer) {
	t.Helper()
	for i, rate := range l.Rates {
		if rate != math.Round(rate/5)*5 {
			t.Errorf("zone %d: rate %v", i, rate)
		}
	}
	for _, p := range l.Shapes.Points {
		for _, v := range p {
			if v != math.Round(v*100)/100 {
				t.Fatalf("point %v", p)
			}
		}
	}
}

// The union of a library that knows nothing of shared vertices has the same area.
func TestDemoUnion(t *testing.T) {
	l := demo(t, 32615)
	var all []geom.Geometry
	var sum float64
	for i := range l.Shapes.Len() {
		sum += planarOf(l.Shapes.Shape(i))
		for polygon := range l.Shapes.Polygons(i) {
			all = append(all, toGeom(polygon).AsGeometry())
		}
	}
	union, err := geom.UnionMany(all)
	if err != nil {
		t.Fatal(err)
	}
	if got := union.Area(); math.Abs(got/sum-1) > 1e-9 {
		t.Errorf("union covers %v m², zones %v", got, sum)
	}
}

// A field drawn in UTM and in lon/lat is the same field.
func TestDemoInOtherSystems(t *testing.T) {
	utm := demo(t, 32615)
	for _, epsg := range []int{4326, 26915, 3857, 5070} {
		other := demo(t, epsg)
		if !reflect.DeepEqual(utm.Rates, other.Rates) || !reflect.DeepEqual(utm.Shapes.RingEnds, other.Shapes.RingEnds) {
			t.Errorf("EPSG:%d: other zones than in UTM", epsg)
		}
		if epsg == 4326 {
			center := other.Shapes.Extent().Center()
			water := orb.Point{-90.4, 47.35}
			if math.Abs(center[0]-water[0]) > 0.01 || math.Abs(center[1]-water[1]) > 0.01 {
				t.Errorf("the field lies at %v, want about %v", center, water)
			}
		}
		checkOutline(t, &other.Shapes)
	}
	if _, err := invent.Demo(4267); err == nil {
		t.Error("NAD 27 was accepted")
	}
}

// What GDAL's ogrinfo reads in the demo's field: all records, valid by GEOS, one
// with rate 0, some of several parts and its acres.
func TestDemoByOGR(t *testing.T) {
	got := oracle.Query(t, "/vsizip/../../cmd/internal/app/demo/field.zip", `select count(*) as zones, sum(ST_IsValid(geometry)) as valid,
		sum(DRY_LBAC = 0) as dry, sum(ST_NumGeometries(geometry) > 1) as multi,
		sum(ST_Area(geometry)) / 4046.8564224 as acres,
		min(DRY_LBAC) as lowest, max(DRY_LBAC) as highest, sum(ZONE_NAME = 'Waterway') as ways,
		max(abs(N_LBAC - 0.46 * DRY_LBAC)) as off from field`)
	zones := got["zones"]
	for _, c := range []struct {
		name     string
		min, max float64
	}{
		{"zones", 40, 80}, {"valid", zones, zones}, {"dry", 1, 1}, {"multi", 1, 10}, {"acres", 150, 300},
		{"lowest", 0, 0}, {"highest", 255, 300}, {"ways", 1, 1}, {"off", 0, 0.0501}, // N has one decimal
	} {
		if v, ok := got[c.name]; !ok || v < c.min || v > c.max {
			t.Errorf("%s: got %v, want %v to %v", c.name, got[c.name], c.min, c.max)
		}
	}
}
