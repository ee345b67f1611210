package ground

import (
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/label/unit"
)

// meshed gives a field of a test the mesh that its outline is made from.
func meshed(t *testing.T, f *Field) *Field {
	t.Helper()
	lonLat := *f.zones
	lonLat.Points = make([]orb.Point, len(f.zones.Points))
	if err := crs.Local(orb.Point{-93, 42}).ToLonLat(lonLat.Points, f.zones.Points); err != nil {
		t.Fatal(err)
	}
	mesh, err := geo.NewMesh(&lonLat, geo.MeshOptions{Scale: geo.LonLatScale(lonLat.Extent()), Tolerance: 3 * unit.Millimeter})
	if err != nil {
		t.Fatal(err)
	}
	f.Prescription.Mesh, f.Prescription.LonLat = mesh, &lonLat
	return f
}

// A rectangle with a lap of 20 m: the passes meet it square, so that sections or not, all is
// covered and nothing outside. The lap is driven into each corner and begun anew there: inside
// of it a square of half a boom is covered twice. Closed form.
func TestLapAroundARectangle(t *testing.T) {
	for _, sections := range []int{0, 5} {
		f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 200, 400)}, 200))
		c := tenMeters
		c.Laps, c.Sections = 1, sections
		p := driveOn(t, f, c).Products[0]
		nearly(t, "driven", p.Driven, unit.Area(160*360+20*2*(180+380)+4*100)*meters, 1e-6)
		nearly(t, "twice", p.Twice.Area, 400*meters, 2e-3)
		if p.Skip.Area+p.Outside.Area > meters {
			t.Errorf("%d sections: %.2f m² bare and %.2f outside", sections, float64(p.Skip.Area/meters), float64(p.Outside.Area/meters))
		}
		if want := 200 * float64(p.Driven); math.Abs(p.Total-want) > 1e-6*want {
			t.Errorf("%d sections: %.2f lb, want %.2f", sections, p.Total, want)
		}
	}
}

// Passes that meet the headland's edge at an angle: closed form of what n sections cover
// twice there. Each is open until its last corner is on covered ground: a triangle of its
// width and as long as the edge takes for that.
func TestSectionsAtAnObliqueHeadland(t *testing.T) {
	const side, w = 200.0, 20.0
	for _, sections := range []int{1, 4, 10} {
		// A parallelogram whose ends lie at 45° to the passes.
		f := meshed(t, planned([]orb.Polygon{ring(orb.Point{0, 0}, orb.Point{side, side}, orb.Point{side, side + 400}, orb.Point{0, 400})}, 200))
		c := tenMeters
		c.Laps, c.Sections = 1, sections
		land, err := f.headland(c)
		if err != nil {
			t.Fatal(err)
		}
		inner := geo.Shapes{}
		inner.Append(land.open.Shape(0))
		drive, err := f.passes(0, c, headland{open: land.open})
		if err != nil {
			t.Fatal(err)
		}
		// The passes alone, against the ground that the lap leaves: what is outside of it is twice.
		f.zones = &inner
		f.Prescription.Zones[0].Record = 0
		r, err := f.Look([]*Drive{drive}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		n := float64(sections)
		part := w / n
		// Where the inner edges run along the passes, the boom reaches over on both sides; of
		// the eight whole passes between, each section leaves a triangle at both ends.
		whole := (side - 2*w) / w * n * 2 * part * part / 2
		skip, over := float64(r.Products[0].Skip.Area/meters), float64(r.Products[0].Outside.Area/meters)
		if skip > 0.05 || math.Abs(over-whole) > 0.02*whole+1 {
			t.Errorf("%d sections: %.2f m² bare and %.2f over, want none and %.2f", sections, skip, over, whole)
		}
	}
}

// An irregular field of three zones with a lap and sections, against a raster that asks each
// cell by other means: the ground of the passes by sections, cell by cell.
func TestSectionsAgainstARaster(t *testing.T) {
	f := meshed(t, planned([]orb.Polygon{ring(orb.Point{3, 0}, orb.Point{160, 12}, orb.Point{210, 230}, orb.Point{60, 250}, orb.Point{0, 70})}, 200))
	for _, sections := range []int{1, 3} {
		c := tenMeters
		c.Laps, c.Sections = 1, sections
		land, err := f.headland(c)
		if err != nil {
			t.Fatal(err)
		}
		drive, err := f.passes(0, c, headland{open: land.open})
		if err != nil {
			t.Fatal(err)
		}
		free := land.open.Shape(0)[0][0]
		inside := func(p orb.Point) (in bool) {
			for i := 1; i < len(free); i++ {
				a, b := free[i-1], free[i]
				if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
					in = !in
				}
			}
			return in
		}
		const cell = 0.25
		left := f.bound.Min[0]
		want := 0.0
		for y := f.bound.Min[1] + cell/2; y < f.bound.Max[1]; y += cell {
			for pass := range 11 {
				for k := range sections {
					part := 20 / float64(sections)
					middle := left + float64(pass)*20 + (float64(k)+0.5)*part
					for _, beside := range []float64{0, -0.499, 0.499, -0.25, 0.25} {
						if inside(orb.Point{middle + beside*part, y}) {
							want += part * cell
							break
						}
					}
				}
			}
		}
		r, err := f.Look([]*Drive{drive}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		nearly(t, fmt.Sprint(sections, " sections: covered"), r.Products[0].Covered.Area, unit.Area(want)*meters, 2e-3)
	}
}

// An edge that is drawn from cells has steps; a lap along it goes straight. What it leaves of
// the steps is at most the half of each that lies outside of the line through their corners.
func TestLapAlongSteps(t *testing.T) {
	var edge []orb.Point
	for i := range 50 {
		edge = append(edge, orb.Point{float64(i) * 8, float64(i) * 8}, orb.Point{float64(i+1) * 8, float64(i) * 8})
	}
	f := meshed(t, planned([]orb.Polygon{ring(append(edge, orb.Point{400, 400}, orb.Point{400, 900}, orb.Point{0, 900})...)}, 200))
	c := tenMeters
	c.Laps = 1
	p := driveOn(t, f, c).Products[0]
	if skip := float64(p.Skip.Area / meters); skip > 50*32 {
		t.Errorf("%.1f m² bare, and at most %v lie in the steps", skip, 50*32)
	}
	if off := p.Off.Area - p.Skip.Area - p.Twice.Area; off > 0.01*f.Prescription.Area() {
		t.Errorf("%.1f m² off target for other reasons: the lap follows the steps", float64(off/meters))
	}
}

// Ground that is too narrow for a lap is left to the passes.
func TestLapInANarrowNeck(t *testing.T) {
	f := meshed(t, planned([]orb.Polygon{ring(orb.Point{0, 0}, orb.Point{100, 0}, orb.Point{100, 45}, orb.Point{200, 45}, orb.Point{200, 0}, orb.Point{300, 0},
		orb.Point{300, 100}, orb.Point{200, 100}, orb.Point{200, 55}, orb.Point{100, 55}, orb.Point{100, 100}, orb.Point{0, 100})}, 200))
	c := tenMeters
	c.Laps = 1
	p := driveOn(t, f, c).Products[0]
	if skip := float64(p.Skip.Area / meters); skip > 16*100 {
		t.Errorf("%.1f m² bare: the neck of 1000 m² too, it seems", skip)
	}
	c.Laps = 9 // more than the field has room for
	if skip := float64(driveOn(t, f, c).Products[0].Skip.Area / meters); skip > 16*200 {
		t.Errorf("%.1f m² bare with nine laps", skip)
	}
}
