package ground

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/crs"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// meters is an area of a test.
const meters = unit.SquareMeter

// planned is a field of polygons in meters with a dry rate each, impregnated at 320 fl oz/ton,
// and a label of 20 to 40 fl oz/ac.
func planned(polygons []orb.Polygon, rates ...float64) *Field {
	f := &Field{
		Prescription: &rx.Prescription{Fields: []rx.RateField{{Name: "R", Unit: 1}}},
		Plan:         &rx.Plan{Layers: []rx.Layer{{Name: "dry", Product: rx.Dry, Treated: true, Loading: 320, Columns: []rx.RateColumn{{}}}}},
		Assessment:   &rx.Assessment{},
		plane:        crs.Local(orb.Point{-93, 42}), zones: &geo.Shapes{},
	}
	f.Assessment.Liquid = rx.JobLiquid{Name: "stabilizer", Label: &label.Profile{Rate: label.Range[unit.LiquidRate]{Min: 20, Max: 40}}}
	for i, p := range polygons {
		f.zones.Append(orb.MultiPolygon{p})
		dry := unit.DryRate(rates[i])
		f.Prescription.Zones = append(f.Prescription.Zones, rx.Zone{Record: int32(i), Dry: dry, Carrier: dry, Area: unit.Area(math.Abs(areaOf(orb.MultiPolygon{p}))) * meters})
	}
	f.bound = f.zones.Extent()
	return f
}

func ring(points ...orb.Point) orb.Polygon { return orb.Polygon{append(points, points[0])} }

func rectangle(x0, y0, x1, y1 float64) orb.Polygon {
	return ring(orb.Point{x0, y0}, orb.Point{x1, y0}, orb.Point{x1, y1}, orb.Point{x0, y1})
}

// tenMeters is a swath of 20 m at 10 m/s.
var tenMeters = Course{Width: 20 * unit.Meter, Speed: unit.Speed(10 * 3600 / 1609.344)}

func driveOn(t *testing.T, f *Field, c Course) *Result {
	t.Helper()
	d, err := f.Passes(0, c)
	if err != nil {
		t.Fatal(err)
	}
	r, err := f.Look([]*Drive{d}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func nearly(t *testing.T, what string, got, want unit.Area, relative float64) {
	t.Helper()
	if math.Abs(float64(got-want)) > relative*math.Abs(float64(want))+1e-9 {
		t.Errorf("%s is %.4f m², want %.4f", what, float64(got/meters), float64(want/meters))
	}
}

// A rectangle a whole number of swaths wide, with seams on the edges of passes or square
// across them, no lag: what lands is the plan.
func TestPassesEqualThePlan(t *testing.T) {
	for name, zones := range map[string][]orb.Polygon{
		"across": {rectangle(0, 0, 200, 130), rectangle(0, 130, 200, 260), rectangle(0, 260, 200, 400)},
		"along":  {rectangle(0, 0, 60, 400), rectangle(60, 0, 120, 400), rectangle(120, 0, 200, 400)},
	} {
		f := planned(zones, 100, 200, 300) // 16, 32 and 48 fl oz/ac
		r := driveOn(t, f, tenMeters)
		p, c := r.Products[0], r.Liquids[0].Classes
		for what, area := range map[string]unit.Area{"bare": p.Skip.Area, "twice": p.Twice.Area, "outside": p.Outside.Area, "off target": p.Off.Area, "none": c[None].Area} {
			nearly(t, name+": "+what, area, 0, 0)
		}
		z := f.Prescription.Zones
		nearly(t, name+": below", c[Below].Area, z[0].Area, 1e-4)
		nearly(t, name+": within", c[Within].Area, z[1].Area, 1e-4)
		nearly(t, name+": above", c[Above].Area, z[2].Area, 1e-4)
		if want := float64(f.Prescription.DryMass()); math.Abs(p.Total/want-1) > 1e-9 || math.Abs(p.InField/want-1) > 1e-4 {
			t.Errorf("%s: %.2f lb in all and %.2f in the field, want %.2f", name, p.Total, p.InField, want)
		}
		for i, on := range p.Zones {
			if math.Abs(on.Mean-on.Target) > 1e-9*on.Target || math.Abs(float64(on.OnTarget)-1) > 1e-12 {
				t.Errorf("%s: zone %d gets %v of %v", name, i, on.Mean, on.Target)
			}
		}
	}
}

// A seam at an angle θ to the passes: one rate at each place of the machine smears it over
// w·|sin θ| across the seam. Of each pass two triangles miss their target: w/2 wide, and as
// long as the seam takes for that. Closed form.
func TestObliqueSeam(t *testing.T) {
	const w, side = 20.0, 200.0
	for _, degrees := range []float64{30, 45, 60, 75} {
		tan := math.Tan(degrees * math.Pi / 180) // from the direction of the passes
		// The seam runs from (0, y0) to (side, y0 + side/tan).
		y0, y1 := 100.0, 100+side/tan
		top := y1 + 100
		f := planned([]orb.Polygon{
			ring(orb.Point{0, 0}, orb.Point{side, 0}, orb.Point{side, y1}, orb.Point{0, y0}),
			ring(orb.Point{0, y0}, orb.Point{side, y1}, orb.Point{side, top}, orb.Point{0, top}),
		}, 130, 200)
		r := driveOn(t, f, tenMeters)
		want := side / w * 2 * (w / 2 * (w / 2 / tan) / 2)
		nearly(t, "off target", r.Products[0].Off.Area, unit.Area(want)*meters, 2e-3)
		// The band between the places where the ends of the boom cross the seam is w·sin θ wide
		// across it: its ground is that times the seam's length in each pass.
		angle := math.Atan(tan)
		length := w / math.Sin(angle)
		nearly(t, "a quarter of the smeared band", r.Products[0].Off.Area, unit.Area(side/w*w*math.Cos(angle)*length/4)*meters, 2e-3)
	}
}

// Bands across the passes with a lag: dead time and an even ramp. Closed form: a change from
// a to b misses where the rate is more than a tenth off the target of the place.
func TestLagOnBands(t *testing.T) {
	rates := []float64{130, 200, 150, 240, 180}
	var zones []orb.Polygon
	for i := range rates {
		zones = append(zones, rectangle(0, float64(i)*200, 200, float64(i+1)*200))
	}
	const w, passes, v = 20.0, 10, 10.0
	for _, c := range []struct{ dead, ramp, ahead float64 }{{0, 0, 0}, {2, 0, 0}, {2, 2, 0}, {1, 3, 0}, {2, 2, 3}, {2, 2, 2}, {0, 4, 1}} {
		course := tenMeters
		course.Dead, course.Ramp, course.Ahead = unit.Time(c.dead)*unit.Second, unit.Time(c.ramp)*unit.Second, unit.Time(c.ahead)*unit.Second
		r := driveOn(t, planned(zones, rates...), course)
		want := 0.0
		for i := 1; i < len(rates); i++ {
			for _, change := range [][2]float64{{rates[i-1], rates[i]}, {rates[i], rates[i-1]}} {
				want += passes / 2 * w * offWay(change[0], change[1], c.dead*v, c.ramp*v, c.ahead*v)
			}
		}
		// A ramp is laid in steps of a meter.
		if off := float64(r.Products[0].Off.Area / meters); math.Abs(off-want) > 0.02*want+passes*w*0.01 {
			t.Errorf("%+v: %.1f m² off target, want %.1f", c, off, want)
		}
	}
}

// offWay is how long, in meters, a change from a to b is off its target by more than a
// tenth: behind the seam against b, before it, with a look-ahead, against a.
func offWay(a, b, dead, ramp, ahead float64) (sum float64) {
	return wayOf(a, b, dead, ramp, ahead, func(rate, target float64) bool { return math.Abs(rate-target) > 0.1*target })
}

// wayOf is how much, in meters, of the 200 on both sides of a change from a to b has a property.
func wayOf(a, b, dead, ramp, ahead float64, has func(rate, target float64) bool) (sum float64) {
	const step = 0.001
	for s := -200.0; s < 200; s += step {
		share := 0.0
		if ramp > 0 {
			share = (s - (dead - ahead)) / ramp
		} else if s >= dead-ahead {
			share = 1
		}
		rate := a + (b-a)*min(max(share, 0), 1)
		target := a
		if s >= 0 {
			target = b
		}
		if has(rate, target) {
			sum += step
		}
	}
	return sum
}

// Ground that leaves the label where a blend's bands meet, at 15 mph with a swath of 70 ft and 4 s
// for a change of rate, half of it dead: without look-ahead, and with the one that is best. At
// 320 fl oz/ton, 20 to 40 fl oz/ac are 125 to 250 lb/ac. Closed form.
func TestOffLabelAtSeams(t *testing.T) {
	const w, passes, band, v = 21.336, 10, 400.0, 15 * 1609.344 / 3600
	rates := []float64{100, 200, 300, 150, 240, 110}
	var zones []orb.Polygon
	for i := range rates {
		zones = append(zones, rectangle(0, float64(i)*band, passes*w, float64(i+1)*band))
	}
	f := planned(zones, rates...)
	course := Course{Width: 70 * unit.Foot, Speed: 15, Dead: 2 * unit.Second, Ramp: 2 * unit.Second}
	best, err := f.BestAhead(0, course, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(float64(best.Time/unit.Second)-3) > 0.26 || math.Abs(float64(best.Way/unit.Foot)-22*float64(best.Time/unit.Second)) > 1e-6 {
		t.Errorf("best is %v s or %v ft", float64(best.Time/unit.Second), float64(best.Way/unit.Foot))
	}
	onLabel := func(rate float64) bool { return rate >= 125 && rate <= 250 }
	leaves := func(rate, target float64) bool { return onLabel(target) && !onLabel(rate) }
	var found []float64
	for _, ahead := range []float64{0, float64(best.Time / unit.Second)} {
		course.Ahead = unit.Time(ahead) * unit.Second
		d, err := f.Passes(0, course)
		if err != nil {
			t.Fatal(err)
		}
		tables, err := coverage.Sweep(&coverage.Ground{Pieces: d.laid.Pieces, Products: 1, Zones: f.zones}, coverage.Options{Marks: 1, Judge: func(s *coverage.State) coverage.Marks {
			if s.Zone >= 0 && leaves(s.Density[0], rates[s.Zone]) {
				return 1
			}
			return 0
		}})
		if err != nil {
			t.Fatal(err)
		}
		want := 0.0
		for i := 1; i < len(rates); i++ {
			want += passes / 2 * w * (wayOf(rates[i-1], rates[i], 2*v, 2*v, ahead*v, leaves) + wayOf(rates[i], rates[i-1], 2*v, 2*v, ahead*v, leaves))
		}
		// A ramp is laid in steps of a meter.
		got := tables.Marks[0].Area
		if math.Abs(got-want) > 0.005*want+passes/2*w*0.4 {
			t.Errorf("%v s ahead: %.1f m² leave the label, want %.1f", ahead, got, want)
		}
		found = append(found, got)
	}

	if found[1] > found[0]/3 {
		t.Errorf("%.0f m² without look-ahead, %.0f with the best one", found[0], found[1])
	}
}

// The look-ahead that is best on bands is the time to the middle of the ramp.
func TestBestLookAhead(t *testing.T) {
	f := planned([]orb.Polygon{rectangle(0, 0, 200, 200), rectangle(0, 200, 200, 400), rectangle(0, 400, 200, 600)}, 130, 200, 140)
	course := tenMeters
	course.Dead, course.Ramp = 2*unit.Second, 2*unit.Second
	best, err := f.BestAhead(0, course, Options{})
	if err != nil {
		t.Fatal(err)
	}
	least, at := math.Inf(1), 0.0
	for ahead := 0.0; ahead <= 4; ahead += 0.25 {
		sum := 0.0
		for _, change := range [][2]float64{{130, 200}, {200, 130}, {200, 140}, {140, 200}} {
			sum += offWay(change[0], change[1], 20, 20, ahead*10)
		}
		if sum < least-1e-9 {
			least, at = sum, ahead
		}
	}
	if got := float64(best.Time / unit.Second); math.Abs(got-at) > 0.26 || math.Abs(got-3) > 0.51 {
		t.Errorf("best is %v s, the closed form has %v", got, at)
	}
	if !(best.Off < best.OffNow/3) || math.Abs(float64(best.Way/unit.Meter)-10*float64(best.Time/unit.Second)) > 1e-6 {
		t.Errorf("%+v", best)
	}
}

// Look-aheads are tried on laps that are laid once where nothing changes, and on pieces that are
// joined: what is found is what a field that is driven anew has.
func TestBestLookAheadWithLaps(t *testing.T) {
	fresh := func() *Field {
		return meshed(t, planned([]orb.Polygon{rectangle(0, 0, 200, 200), rectangle(0, 200, 200, 400), rectangle(0, 430, 200, 600)}, 130, 200, 140))
	}
	course := tenMeters
	course.Dead, course.Ramp, course.Laps, course.Sections = 2*unit.Second, 2*unit.Second, 1, 4
	best, err := fresh().BestAhead(0, course, Options{})
	if err != nil {
		t.Fatal(err)
	}
	for ahead, want := range map[unit.Time]unit.Area{0: best.OffNow, best.Time: best.Off} {
		course.Ahead = ahead
		off := driveOn(t, fresh(), course).Products[0].Off
		if math.Abs(float64(off.Area/want)-1) > 2e-3 {
			t.Errorf("%v s ahead: %.1f m² off target, and %.1f while looking for the best", float64(ahead/unit.Second), float64(off.Area/meters), float64(want/meters))
		}
	}
}

// errorsAsked counts how often work asks whether it is to go on.
type errorsAsked struct {
	context.Context
	n *int
}

func (c errorsAsked) Err() error { *c.n++; return nil }

// Where lines have to be spread out, look-aheads are tried as much more coarsely: strips of
// 10 km come to three sweeps at most, and usual ones to 17.
func TestFewLookAheadsOnNeedles(t *testing.T) {
	for _, c := range []struct {
		long        float64
		least, most int
	}{{100, 17, 17}, {10_000, 2, 4}} {
		var zones []orb.Polygon
		var rates []float64
		for i := range 200 {
			zones, rates = append(zones, rectangle(float64(i), 0, float64(i)+1, c.long)), append(rates, 130+float64(i%2)*50)
		}
		asked := func(change unit.Time) (n int) {
			course := tenMeters
			course.Dead, course.Ramp = change, change
			if _, err := planned(zones, rates...).BestAhead(0, course, Options{Context: errorsAsked{t.Context(), &n}}); err != nil {
				t.Fatal(err)
			}
			return n
		}
		if one, all := asked(0), asked(2*unit.Second); all < c.least*one || all > c.most*one {
			t.Errorf("strips of %v m: %d asked in all, %d in a sweep, want %d to %d times that", c.long, all, one, c.least, c.most)
		}
	}
}

// An irregular field against a raster of its own: each cell asks the same questions by other
// means, in the middle of the cell.
func TestPassesAgainstARaster(t *testing.T) {
	zones := []orb.Polygon{
		ring(orb.Point{3, 0}, orb.Point{160, 12}, orb.Point{171, 90}, orb.Point{80, 131}, orb.Point{0, 70}),
		ring(orb.Point{171, 90}, orb.Point{210, 230}, orb.Point{60, 250}, orb.Point{80, 131}),
	}
	rates := []float64{130, 260} // 20.8 and 41.6 fl oz/ac
	f := planned(zones, rates...)
	r := driveOn(t, f, tenMeters)
	zoneAt := func(p orb.Point) int {
		for z, polygon := range zones {
			in := false
			for i, a := range polygon[0][:len(polygon[0])-1] {
				b := polygon[0][i+1]
				if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
					in = !in
				}
			}
			if in {
				return z
			}
		}
		return -1
	}
	const cell = 0.25
	count := map[string]float64{}
	for x := -20 + cell/2; x < 240; x += cell {
		for y := -20 + cell/2; y < 270; y += cell {
			rate, pass := 0.0, math.Floor(x/20)
			if pass >= 0 && pass <= 10 {
				for _, side := range []float64{0, -0.499, 0.499, -0.25, 0.25} {
					if z := zoneAt(orb.Point{(pass + 0.5 + side) * 20, y}); z >= 0 {
						rate = rates[z]
						break
					}
				}
			}
			switch z := zoneAt(orb.Point{x, y}); {
			case z < 0 && rate > 0:
				count["outside"] += cell * cell
			case z >= 0 && rate == 0:
				count["skip"] += cell * cell
			case z >= 0 && rate > 250:
				count["above"] += cell * cell
			}
			if z := zoneAt(orb.Point{x, y}); z >= 0 && math.Abs(rate-rates[z]) > 0.1*rates[z] {
				count["off"] += cell * cell
			}
		}
	}
	field := float64(f.Prescription.Area() / meters)
	for what, got := range map[string]unit.Area{
		"outside": r.Products[0].Outside.Area, "skip": r.Products[0].Skip.Area, "off": r.Products[0].Off.Area, "above": r.Liquids[0].Classes[Above].Area,
	} {
		if off := math.Abs(float64(got/meters) - count[what]); off > 1e-3*field {
			t.Errorf("%s is %.1f m², the raster has %.1f", what, float64(got/meters), count[what])
		}
	}
}

// Ground above the season maximum is told in all, whatever it is by the rates of a pass, and as a
// class where that alone is wrong.
func TestOverTheSeason(t *testing.T) {
	zones := []orb.Polygon{rectangle(0, 0, 60, 400), rectangle(60, 0, 120, 400), rectangle(120, 0, 200, 400), rectangle(200, 0, 300, 400)}
	f := planned(zones, 100, 200, 300, 200) // 16, 32, 48 and 32 fl oz/ac
	f.Assessment.Liquid.Label.SeasonMax = label.Know(unit.LiquidRate(50))
	f.Assessment.Liquid.Already = []unit.LiquidRate{40, 10, 5, 20}
	r := driveOn(t, f, tenMeters)
	c, z := r.Liquids[0].Grades, f.Prescription.Zones
	nearly(t, "in all", c.Season.Area, z[0].Area+z[2].Area+z[3].Area, 1e-4)
	for class, zone := range map[Class]int{Below: 0, Within: 1, Above: 2, OverSeason: 3} {
		nearly(t, class.String(), c.Classes[class].Area, z[zone].Area, 1e-4)
	}
	if !found(r, "lands-over-season") {
		t.Error("no finding tells of it")
	}
	f.Assessment.Liquid.Already = []unit.LiquidRate{40, 10, 5, 0}
	if r = driveOn(t, f, tenMeters); !found(r, "lands-over-season") {
		t.Error("no finding tells of ground that is below or above as well")
	}
}

// A star of needles is met by passes far more often than it has corners, by as many as go over it:
// it is refused before that is laid. A grid that they go over aslant is not.
func TestPassesOverNeedles(t *testing.T) {
	var star []orb.Point
	for i := range 2000 {
		sin, cos := math.Sincos(math.Pi * float64(i) / 1000)
		far := 20 + 980*float64(i%2)
		star = append(star, orb.Point{far * cos, far * sin})
	}
	var refused *Error
	if _, err := planned([]orb.Polygon{ring(star...)}, 200).Passes(0, tenMeters); !errors.As(err, &refused) || refused.Hint == "" {
		t.Errorf("needles: %v", err)
	}
	var cells []orb.Polygon
	var rates []float64
	for i := range 400 {
		x, y := 100*float64(i%20), 100*float64(i/20)
		cells, rates = append(cells, rectangle(x, y, x+100, y+100)), append(rates, 100+float64(i%3)*50)
	}
	course := tenMeters
	course.Azimuth = 45
	if _, err := planned(cells, rates...).Passes(0, course); err != nil {
		t.Error(err)
	}
}

// Where there is one rate no change can be called for earlier; where there are two the best
// look-ahead is found, however many sections close by themselves.
func TestLookAheadOfSections(t *testing.T) {
	zones := []orb.Polygon{rectangle(0, 0, 200, 200), rectangle(0, 200, 200, 400)}
	course := tenMeters
	course.Dead, course.Ramp = 2*unit.Second, 2*unit.Second
	for _, second := range []float64{150, 250} {
		var found []LookAhead
		for _, sections := range []int{1, 8} {
			course.Sections = sections
			best, err := planned(zones, 150, second).BestAhead(0, course, Options{})
			if err != nil {
				t.Fatal(err)
			}
			best.Layer = nil
			found = append(found, best)
		}
		one, eight := found[0], found[1]
		nearly(t, "off with sections", eight.Off, one.Off, 1e-9)
		nearly(t, "off now with sections", eight.OffNow, one.OffNow, 1e-9)
		if one.Time != eight.Time || (one.Time > 0) != (second != 150) {
			t.Errorf("to %v: %v s, with sections %v s", second, one.Time/unit.Second, eight.Time/unit.Second)
		}
	}
}
