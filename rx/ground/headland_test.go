package ground

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/swath"
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
// of it a square of half a boom would be covered twice, were the sections over it not shut. An odd
// number has one in the middle, half of which is over ground that is not covered. Closed form.
func TestLapAroundARectangle(t *testing.T) {
	for sections, shut := range map[int]float64{0: 0, 1: 0, 2: 1, 5: 4. / 5, 7: 6. / 7, 10: 1} {
		f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 200, 400)}, 200))
		c := tenMeters
		c.Laps, c.Sections = 1, sections
		p := driveOn(t, f, c).Products[0]
		nearly(t, fmt.Sprint(sections, ": driven"), p.Driven, unit.Area(160*360+20*2*(180+380)+4*100-400*shut)*meters, 1e-6)
		nearly(t, fmt.Sprint(sections, ": twice"), p.Twice.Area+meters, unit.Area(1+400*(1-shut))*meters, 2e-3)
		if p.Skip.Area+p.Outside.Area > meters {
			t.Errorf("%d sections: %.2f m² bare and %.2f outside", sections, float64(p.Skip.Area/meters), float64(p.Outside.Area/meters))
		}
		if want := 200 * float64(p.Driven); math.Abs(p.Total-want) > 1e-6*want {
			t.Errorf("%d sections: %.2f lb, want %.2f", sections, p.Total, want)
		}
	}
}

// leftOf returns by how much a place lies to the left of the line from a to b, and how far along it.
func leftOf(a, b, p orb.Point) (left, along float64) {
	x, y := (b[0]-a[0])/math.Hypot(b[0]-a[0], b[1]-a[1]), (b[1]-a[1])/math.Hypot(b[0]-a[0], b[1]-a[1])
	return (p[1]-a[1])*x - (p[0]-a[0])*y, (p[0]-a[0])*x + (p[1]-a[1])*y
}

// inward returns a convex polygon's corners as its sides move inward: where each meets the next.
func inward(corners []orb.Point, by float64) (out []orb.Point) {
	n := len(corners)
	for i := range corners {
		a, b, c := corners[(i+n-1)%n], corners[i], corners[(i+1)%n]
		in, out1 := math.Atan2(b[1]-a[1], b[0]-a[0]), math.Atan2(c[1]-b[1], c[0]-b[0])
		half, far := (in+out1)/2+math.Pi/2, by/math.Cos((out1-in)/2)
		out = append(out, orb.Point{b[0] + far*math.Cos(half), b[1] + far*math.Sin(half)})
	}
	return out
}

// Sections that shut on laps where ground is covered already, against a raster that drives around
// a polygon on its own: the straight ways between its corners, one after the other.
func TestShutOnLapsAgainstARaster(t *testing.T) {
	const w, cell = 20.0, 0.25
	field := []orb.Point{{3, 0}, {160, 12}, {210, 160}, {60, 230}, {-20, 100}} // turns of more than 30°
	type way struct{ a, b orb.Point }
	for _, c := range []struct{ laps, sections int }{{1, 1}, {1, 3}, {1, 8}, {3, 5}} {
		f := meshed(t, planned([]orb.Polygon{ring(append([]orb.Point{}, field...)...)}, 200))
		course := tenMeters
		course.Laps, course.Sections = c.laps, c.sections
		land, err := f.headland(course)
		if err != nil {
			t.Fatal(err)
		}
		drive := &Drive{laid: &swath.Laid{}}
		newWay(course, f.zones).laps(drive.laid, land, []float64{200})
		r, err := f.Look([]*Drive{drive}, Options{})
		if err != nil {
			t.Fatal(err)
		}

		var ways []way // in the order in which they are driven
		for k := range c.laps {
			corners := inward(field, (float64(k)+0.5)*w)
			first := 0
			for i, p := range corners {
				if begin := land.laps[k].ring[0]; math.Hypot(p[0]-begin[0], p[1]-begin[1]) < 0.1 {
					first = i
				}
			}
			for i := range corners {
				ways = append(ways, way{corners[(first+i)%len(corners)], corners[(first+i+1)%len(corners)]})
			}
		}
		under := func(p orb.Point, ways []way) bool {
			return slices.ContainsFunc(ways, func(s way) bool {
				left, along := leftOf(s.a, s.b, p)
				return math.Abs(left) <= w/2 && along >= 0 && along <= math.Hypot(s.b[0]-s.a[0], s.b[1]-s.a[1])
			})
		}
		// open reports whether the section of a way is open where a place is.
		open := func(i int, p orb.Point) bool {
			s := ways[i]
			left, _ := leftOf(s.a, s.b, p)
			part := w / float64(c.sections)
			middle := (math.Floor(left/part+float64(c.sections)/2)+0.5)*part - w/2
			length := math.Hypot(s.b[0]-s.a[0], s.b[1]-s.a[1])
			x, y := (s.b[0]-s.a[0])/length, (s.b[1]-s.a[1])/length
			for _, side := range []float64{0, -0.499, 0.499, -0.25, 0.25} {
				to := middle + side*part - left
				if !under(orb.Point{p[0] - to*y, p[1] + to*x}, ways[:i]) {
					return true
				}
			}
			return false
		}
		twice := 0.0
		for x := -20 + cell/2; x < 210; x += cell {
			for y := cell / 2; y < 230; y += cell {
				p, n := orb.Point{x, y}, 0
				for i := range ways {
					if under(p, ways[i:i+1]) && open(i, p) {
						n++
					}
				}
				if n > 1 {
					twice += cell * cell
				}
			}
		}
		// A section shuts up to a quarter of a meter late, and opens as early: half a boom at a corner.
		got := float64(r.Products[0].Twice.Area / meters)
		if got < 0.98*twice-1 || got > 1.02*twice+1+float64(len(ways))*w/2/4 {
			t.Errorf("%+v: %.1f m² twice, the raster has %.1f", c, got, twice)
		}
		left := 0.0
		for i := range land.open.Len() {
			left += math.Abs(areaOf(land.open.Shape(i)))
		}
		if skip := float64(r.Products[0].Skip.Area / meters); skip > left+1 {
			t.Errorf("%+v: %.1f m² bare, and the laps leave %.1f", c, skip, left)
		}
	}
}

// A lap that is bent all along has no ground to shut over, however slow its inner end is.
func TestNothingIsShutInABend(t *testing.T) {
	for _, radius := range []float64{21, 25, 40, 90} {
		var round []orb.Point
		for i := range 180 {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / 180)
			round = append(round, orb.Point{radius * cos, radius * sin})
		}
		f := meshed(t, planned([]orb.Polygon{ring(round...)}, 200))
		course := tenMeters
		course.Laps, course.Sections = 1, 8
		land, err := f.headland(course)
		if err != nil {
			t.Fatal(err)
		}
		lap := land.laps[0] // its end meets its beginning
		if runs := land.shutting(20, 8, []float64{200}).laps[0]; runs[0].open != 255 || runs[0].to < lap.length()-max(2, 200/(radius-20)-40) {
			t.Errorf("radius %v: %v of %v m", radius, runs, lap.length())
		}
	}
}

// Ground that got nothing, as it was to get nothing under the middle of the boom, is not
// covered: nothing is shut over it. The lap's strip along the lower edge leaves its upper 5 m bare, but
// for what the ways up at both ends put there.
func TestNothingIsShutOverBareGround(t *testing.T) {
	f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 200, 15), rectangle(0, 15, 200, 400)}, 0, 200))
	course := tenMeters
	course.Laps, course.Sections = 1, 4
	p := driveOn(t, f, course).Products[0]
	nearly(t, "bare", p.Skip.Area, 5*160*meters, 0.01)
	f.Prescription.Zones[0].Dry, f.Prescription.Zones[0].Carrier = 200, 200
	p = driveOn(t, f, course).Products[0]
	nearly(t, "bare or twice, where that strip is covered", p.Skip.Area+p.Twice.Area+meters, meters, 0.01)
}

// Without laps, sections are shut over ground that is to get nothing: half of the last pass.
func TestSectionsOverGroundThatGetsNothing(t *testing.T) {
	for sections, width := range map[int]unit.Area{1: 200, 4: 190} {
		f := planned([]orb.Polygon{rectangle(0, 0, 190.001, 400), rectangle(190.001, 0, 200, 400)}, 200, 0)
		course := tenMeters
		course.Sections = sections
		nearly(t, fmt.Sprint(sections, " sections: covered"), driveOn(t, f, course).Products[0].Covered.Area, width*400*meters, 1e-3)
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

// A field that is narrower than the swath has no lap, and is all left to the passes.
func TestNoLapInANarrowField(t *testing.T) {
	f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 19, 400)}, 200))
	c := tenMeters
	c.Laps = 1
	p := driveOn(t, f, c).Products[0]
	nearly(t, "covered", p.Covered.Area, 20*400*meters, 1e-3)
	if p.Skip.Area > meters {
		t.Errorf("%.1f m² bare", float64(p.Skip.Area/meters))
	}
}

// A field hardly wider than the swath has a round of centimeters as its lap, which goes nowhere: it
// is driven all the same.
func TestLapOfCentimeters(t *testing.T) {
	for _, wider := range []float64{0.01, 0.05, 0.2, 0.4, 1} {
		f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 20+wider, 20+wider)}, 200))
		c := tenMeters
		c.Width, c.Laps = 20*unit.Meter, 1
		p := driveOn(t, f, c).Products[0]
		if covered := p.Covered.Area; covered > unit.Area((20+wider)*(20+wider))*meters*1.001 {
			t.Errorf("%g m wider: %v covered", wider, covered)
		}
	}
}

// A corner of the field gets nothing: the lap drives through it shut and is begun anew where ground
// gets product again, so that all of that is covered and none of the corner. The corner is three
// swaths wide each way.
func TestLapThroughACornerThatGetsNothing(t *testing.T) {
	corners := []orb.Polygon{rectangle(0, 0, 60, 60), rectangle(140, 0, 200, 60), rectangle(140, 340, 200, 400), rectangle(0, 340, 60, 400)}
	rest := []orb.Polygon{
		ring(orb.Point{60, 0}, orb.Point{200, 0}, orb.Point{200, 400}, orb.Point{0, 400}, orb.Point{0, 60}, orb.Point{60, 60}),
		ring(orb.Point{0, 0}, orb.Point{140, 0}, orb.Point{140, 60}, orb.Point{200, 60}, orb.Point{200, 400}, orb.Point{0, 400}),
		ring(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 340}, orb.Point{140, 340}, orb.Point{140, 400}, orb.Point{0, 400}),
		ring(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 400}, orb.Point{60, 400}, orb.Point{60, 340}, orb.Point{0, 340}),
	}
	for i := range corners {
		f := meshed(t, planned([]orb.Polygon{corners[i], rest[i]}, 0, 200))
		c := tenMeters
		c.Laps, c.Sections = 1, 1
		p := driveOn(t, f, c).Products[0]
		nearly(t, fmt.Sprint(i, ": covered"), p.Covered.Area, (200*400-60*60)*meters, 1e-3)
		if off := p.Skip.Area + p.Outside.Area; off > 20*meters {
			t.Errorf("corner %d: %.2f m² bare or outside", i, float64(off/meters))
		}
		if p.Zones[0].Covered > 1e-3 || p.Zones[1].Covered < 0.999 {
			t.Errorf("corner %d: zones are covered to %v", i, p.Zones)
		}
	}
}

// holed is a field with so many square holes in each direction, 40 m apart.
func holed(n int) orb.Polygon {
	side := 40 * float64(n)
	p := rectangle(0, 0, side, side)
	for i := range n * n {
		x, y := 40*float64(i%n), 40*float64(i/n)
		hole := rectangle(x+15, y+15, x+25, y+25)[0]
		slices.Reverse(hole)
		p = append(p, hole)
	}
	return p
}

// A lap around a hole turns all the way, which takes some 2000 pieces of ground: a file of a few
// kilobytes with hundreds of them is refused before they are laid. Laps with corners are cheap.
func TestLapsAroundManyHoles(t *testing.T) {
	course := tenMeters
	course.Laps = 1
	field := func(p ...orb.Polygon) *Field { return meshed(t, planned(p, slices.Repeat([]float64{200}, len(p))...)) }
	if _, err := field(holed(3)).Passes(0, course); err != nil {
		t.Error(err)
	}
	var refused *Error
	if _, err := field(holed(10)).Passes(0, course); !errors.As(err, &refused) || !strings.Contains(err.Error(), "small") || refused.Hint == "" {
		t.Errorf("100 holes: %v", err)
	}
	var squares []orb.Polygon
	for i := range 64 {
		x, y := 100*float64(i%8), 100*float64(i/8)
		squares = append(squares, rectangle(x, y, x+60, y+60))
	}
	if _, err := field(squares...).Passes(0, course); err != nil {
		t.Errorf("64 squares: %v", err)
	}
}
