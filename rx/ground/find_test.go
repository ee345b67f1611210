package ground

import (
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/swath"
	"rxsplit/geo/track"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// emptyResult is one of a field of a hectare on which nothing is odd.
func emptyResult() *Result {
	return &Result{Field: planned([]orb.Polygon{rectangle(0, 0, 100, 100)}, 200)}
}

func told(r *Result) string {
	var list []string
	for _, f := range r.Findings {
		list = append(list, fmt.Sprint(f.Rule(), " ", f.Severity))
	}
	return strings.Join(list, ", ")
}

// Of a liquid that is off label each kind of ground is told from a hundredth of an acre on, at its
// largest spot; below the label it is an error where the label forbids that.
func TestFoundOfALiquid(t *testing.T) {
	const seen = 0.01 * unit.Acre
	profile := func(forbids bool) *label.Profile {
		p := &label.Profile{Rate: label.Range[unit.LiquidRate]{Min: 20, Max: 40}}
		if forbids {
			p.BelowLabel = label.Forbidden
		}
		return p
	}
	for _, c := range []struct {
		liquid Liquid
		want   string
	}{
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}}, ""},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{Above: {Area: seen}}}}, "lands-above error"},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{Above: {Area: 0.999 * seen}}}}, ""},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{Below: {Area: seen}}}}, "lands-below warning"},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(true)}, Grades: Grades{Classes: Classes{Below: {Area: seen}}}}, "lands-below error"},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Season: Extent{Area: seen}}}, "lands-over-season error"},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{OverSeason: {Area: seen}}}}, ""}, // Season has it all
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{Within: {Area: seen}}}}, ""},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{}, Grades: Grades{Classes: Classes{Above: {Area: seen}}}}, ""},
		{Liquid{Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{Above: {Area: seen}}}}, ""},
		{Liquid{Missing: []string{"dry"}}, "lands-not-graded warning"},
		{Liquid{Graded: true, Liquid: rx.JobLiquid{Label: profile(false)}, Grades: Grades{Classes: Classes{Above: {Area: 3 * seen}, Below: {Area: 2 * seen}}, Season: Extent{Area: seen}}}, "lands-above error, lands-over-season error, lands-below warning"},
	} {
		r := emptyResult()
		r.findLiquid(&c.liquid)
		if got := told(r); got != c.want {
			t.Errorf("%+v: %q, want %q", c.liquid.Grades, got, c.want)
		}
	}
	r := emptyResult()
	name := "stabilizer"
	r.Spots = []Spot{{What: "below", Of: name, Place: orb.Point{1, 2}}, {What: "above", Of: "other", Place: orb.Point{3, 4}}, {What: "above", Of: name, Place: orb.Point{5, 6}}, {What: "above", Of: name, Place: orb.Point{7, 8}}}
	r.findLiquid(&Liquid{Graded: true, Limit: 60, Liquid: rx.JobLiquid{Name: name, Label: profile(false)}, Grades: Grades{Classes: Classes{Above: {3 * seen, seen / 2}, OverSeason: {2 * seen, 0}}}})
	d := r.Findings[0].Data.(landed)
	if *r.Findings[0].Place != (orb.Point{5, 6}) || d.Spot != (spot{5, 6}) || r.Findings[0].Area != 3*seen || d.Error.Area != seen || d.Season != 60 || d.Alone != 2*seen || d.Label.Min != 20 || d.Label.Max != 40 || d.Registered {
		t.Errorf("%+v %+v", r.Findings[0], d)
	}
}

// Of a layer: bare, covered twice, beside the field, in a keep-out; untreated dry may lie in one. A
// weighed amount more than 5 % off is told, and is a slip where it is more than twice the logged one.
func TestFoundOfALayer(t *testing.T) {
	const seen = 0.01 * unit.Acre
	dry := &rx.Layer{Name: "dry", Product: rx.Dry}
	treated := &rx.Layer{Name: "dry", Product: rx.Dry, Treated: true}
	liquid := &rx.Layer{Name: "liquid", Product: rx.Liquid}
	on, under := Extent{Area: seen, Error: 2 * seen}, Extent{Area: 0.999 * seen}
	for _, c := range []struct {
		product Product
		want    string
	}{
		{Product{Layer: dry, Skip: on, Twice: on, Outside: on, KeepOut: on}, "lands-skip warning, lands-twice note, lands-outside warning"},
		{Product{Layer: treated, KeepOut: on}, "lands-keep-out error"},
		{Product{Layer: liquid, KeepOut: on}, "lands-keep-out error"},
		{Product{Layer: liquid, Skip: under, Twice: under, Outside: under, KeepOut: under}, ""},
		{Product{Layer: dry, Weighed: 1.0499}, ""}, {Product{Layer: dry, Weighed: 0.9501}, ""}, {Product{Layer: dry, Weighed: 1.0501}, "log-weighed warning"},
		{Product{Layer: dry, Weighed: 0.9499}, "log-weighed warning"}, {Product{Layer: dry}, ""},
		{Product{Layer: dry, Delay: &delay{Seconds: -2, Way: 3}}, "log-delay note"},
	} {
		r := emptyResult()
		r.findProduct(&c.product)
		if got := told(r); got != c.want {
			t.Errorf("%+v: %q, want %q", c.product, got, c.want)
		}
	}
	r := emptyResult()
	r.Spots = []Spot{{What: "twice", Of: "dry", Place: orb.Point{5, 6}}}
	r.findProduct(&Product{Layer: liquid, OutField: 128, InKeepOut: 256, Outside: on, KeepOut: on})
	r.findProduct(&Product{Layer: treated, OutField: 12, InKeepOut: 25, Outside: on, KeepOut: on, Twice: on, Joints: on})
	r.findProduct(&Product{Layer: treated, Twice: on, Joints: under})
	var got []string
	for _, f := range r.Findings {
		d := f.Data.(extentOf)
		got = append(got, fmt.Sprintf("%s %s %g", f.Rule(), d.Amount.Words(unit.US), float64(d.Joints/seen)))
		if d.Error.Area != 2*seen || d.Spot != spot(map[bool]orb.Point{true: {5, 6}}[f.Rule() == "lands-twice"]) {
			t.Errorf("%+v", d)
		}
	}
	want := "lands-outside 128 fl oz 0, lands-keep-out 256 fl oz 0, lands-twice 0 lb 1, lands-outside 12 lb 0, lands-keep-out 25 lb 0, lands-twice 0 lb 0"
	if s := strings.Join(got, ", "); s != want {
		t.Errorf("%s, want %s", s, want)
	}
	r = emptyResult()
	r.Field.Assessment.Terms.LeaveOff, r.Field.Assessment.Terms.NoRoom = true, []int{1}
	r.findProduct(&Product{Layer: liquid, KeepOut: on})
	if got := tell.Finding(r.Findings[0], unit.US).Text; !strings.Contains(got, " on 0.01 ac where the season has no room; ") {
		t.Error(got)
	}
	for ratio, slip := range map[float64]bool{1.2: false, 2.11: true, 0.9: false, 1 / 2.11: true, 2.09: false, 1 / 2.09: false} {
		r := emptyResult()
		r.findProduct(&Product{Layer: dry, Weighed: ratio})
		if d := r.Findings[0].Data.(weighed); d.Slip != slip || d.More != (ratio > 1) || math.Abs(float64(d.Off)-math.Abs(ratio-1)) > 1e-12 || float64(d.Ratio) != ratio {
			t.Errorf("%v: %+v", ratio, d)
		}
	}
}

// driven is what a drive of a log has laid: so much on so much ground.
func driven(amount, ground float64) *Drive {
	d := &Drive{Log: &track.Log{Name: "log", Rows: make([]track.Row, 3)}, laid: &swath.Laid{Driven: ground, Pieces: []coverage.Piece{{}}, Step: 3}}
	d.laid.Ledger.Pieces = amount
	return d
}

// A mean rate near that of the mix, where the map says product, is told; so is one more than 2.1
// times off all rates of the plan, which another unit makes of it.
func TestFoundOfAUnit(t *testing.T) {
	boom := rx.Layer{Name: "liquid", Product: rx.Liquid, Rate: 32, Mix: 1280}
	lone := rx.Layer{Name: "liquid", Product: rx.Liquid, Rate: 32}
	near := rx.Layer{Name: "liquid", Product: rx.Liquid, Rate: 32, Mix: 63}
	dry := rx.Layer{Name: "dry", Product: rx.Dry, Dry: rx.Range[unit.DryRate]{Min: 100, Max: 300}}
	for _, c := range []struct {
		layer rx.Layer
		mix   bool
		mean  float64
		want  string
	}{
		{boom, false, 32, ""}, {boom, false, 1280, "log-of error"}, {boom, false, 1280 * 1.24, "log-of error"}, {boom, false, 1280 * 1.26, "log-rates warning"},
		{boom, false, 1280 * 0.76, "log-of error"}, {boom, false, 1280 * 0.74, "log-rates warning"},
		{boom, true, 0.8, "log-of error"}, {boom, true, 32, ""}, {boom, true, 1280, "log-rates warning"},
		{near, false, 63, ""}, {lone, false, 1280, "log-rates warning"},
		{lone, false, 32 * 2.09, ""}, {lone, false, 32 * 2.11, "log-rates warning"}, {lone, false, 32 / 2.09, ""}, {lone, false, 32 / 2.11, "log-rates warning"},
		{dry, false, 100 / 2.09, ""}, {dry, false, 100 / 2.11, "log-rates warning"}, {dry, false, 300 * 2.09, ""}, {dry, false, 300 * 2.11, "log-rates warning"}, {dry, false, 200, ""},
	} {
		r := emptyResult()
		r.Field.Plan.Layers[0] = c.layer
		d := driven(c.mean*5, 5)
		d.Mix = c.mix
		r.findUnit(d)
		if got := told(r); got != c.want {
			t.Errorf("%v of %v and %v (mix %v): %q, want %q", c.mean, c.layer.Rate, c.layer.Mix, c.mix, got, c.want)
		}
		r.Findings = nil
		if r.findUnit(driven(c.mean, 0)); len(r.Findings) > 0 {
			t.Errorf("nothing driven: %s", told(r))
		}
	}
}

// A boom or a spreader of another width than the job's is told where no unit of its own explains it.
func TestFoundOfAWidth(t *testing.T) {
	for _, c := range []struct {
		product          rx.Product
		job              *equip.Job
		widest           float64 // meters
		sections, swaths bool
		want             string
	}{
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20, false, false, ""},
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20 * otherUnit * 1.01, false, false, "log-width warning"},
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20 * otherUnit * 0.99, false, false, ""},
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20 / otherUnit * 0.99, false, false, "log-width warning"},
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20 / otherUnit * 1.01, false, false, ""},
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20 / otherUnit * 0.99, true, false, ""},
		{rx.Dry, &equip.Job{Spreader: &equip.Spreader{Swath: 20 * unit.Meter}}, 20 / otherUnit * 0.99, false, true, ""},
		{rx.Dry, &equip.Job{Boom: &equip.Boom{Width: 2 * unit.Meter}}, 20, false, false, ""},
		{rx.Liquid, &equip.Job{Boom: &equip.Boom{Width: 2 * unit.Meter}}, 20, false, false, "log-width warning"},
		{rx.Liquid, &equip.Job{Spreader: &equip.Spreader{Swath: 2 * unit.Meter}}, 20, false, false, ""},
		{rx.Liquid, nil, 20, false, false, ""}, {rx.Liquid, &equip.Job{Boom: &equip.Boom{Width: 2 * unit.Meter}}, 0, false, false, ""},
	} {
		r := emptyResult()
		r.Field.Plan.Layers[0].Product, r.Field.Assessment.Terms.Job = c.product, c.job
		d := driven(1, 1)
		d.laid.Widest = c.widest
		if c.sections {
			d.Log.Machines = []string{"1", "2"}
		}
		if c.swaths {
			d.Swaths = &geo.Shapes{}
		}
		r.findWidth(d)
		if got := told(r); got != c.want {
			t.Errorf("%+v: %q, want %q", c, got, c.want)
		}
	}
}

// The longest time without work between the days of a layer's logs, of rows that were on.
func TestDaysApart(t *testing.T) {
	log := func(layer int, off bool, days ...float64) *Drive {
		d := &Drive{Layer: layer, Log: &track.Log{}}
		for _, day := range days {
			r := track.NewRow(orb.Point{}, 0)
			r.Time, r.Rate = day*86400, 1
			if off {
				r.Open = 0
			}
			d.Log.Rows = append(d.Log.Rows, r)
		}
		return d
	}
	for want, drives := range map[int][]*Drive{
		0: {log(1, false, 3.1, 3.9), {Layer: 1}}, 1: {log(1, false, 3.99, 4.01)}, 4: {log(1, false, 2, 3), log(1, false, 7.5)},
		5: {log(1, false, 1, 6), log(2, false, 30), log(1, true, 60), log(1, false, math.NaN())},
	} {
		if got := daysOf(drives, 1); got != want {
			t.Errorf("%d, want %d", got, want)
		}
	}
}

// Gaps are told with those that were filled, the ground of those that were not and what fell on
// it; stands by the longest one, and how many nobody knows the amount of.
func TestFoundOfGapsAndStands(t *testing.T) {
	r := emptyResult()
	r.Field.Plan.Layers[0] = rx.Layer{Product: rx.Liquid, Rate: 1}
	d := driven(1, 0)
	d.laid.Ledger.Gaps, d.laid.Ledger.Standing = 128*squareMeters, 256*squareMeters
	d.laid.Gaps, d.laid.Stands = several(d.laid.Gaps, 3), several(d.laid.Stands, 3)
	for i, to := range []orb.Point{{0, 10}, {0, 6}, {50, 0}} {
		g := &d.laid.Gaps[i]
		g.To, g.Width, g.Amount, g.Bridged = to, 20, []float64{5, 5, 0}[i], i == 1
		s := &d.laid.Stands[i]
		s.Seconds, s.Amount, s.At = []float64{9, 30, 12}[i], []float64{2, math.NaN(), math.NaN()}[i], []orb.Point{{}, {50, 50}, {}}[i]
	}
	r.findWays(d)
	if got, want := told(r), "log-gaps warning, log-stand warning"; got != want {
		t.Fatalf("%s, want %s", got, want)
	}
	g, s := r.Findings[0].Data.(gaps), r.Findings[1].Data.(stands)
	if g.Gaps != 3 || g.Bridged != 1 || g.Unfilled != 2 || g.Asked || g.Amount.Volume != 128 || math.Abs(float64(r.Findings[0].Area/unit.SquareMeter)-200) > 1e-9 {
		t.Errorf("%+v %+v", g, r.Findings[0])
	}
	if s.Stands != 3 || s.Unknown != 2 || s.Longest != 30*unit.Second || s.Amount.Volume != 256 || *r.Findings[1].Place != r.Field.lonLat(orb.Point{50, 50}) || orb.Point(s.Spot) != *r.Findings[1].Place {
		t.Errorf("%+v %+v", s, r.Findings[1])
	}
	d.laid.Gaps, d.laid.Stands, d.Bridge, r.Findings = d.laid.Gaps[1:2], nil, true, nil
	if r.findWays(d); told(r) != "log-gaps note" || !r.Findings[0].Data.(gaps).Asked || r.Findings[0].Area != 0 {
		t.Errorf("%s %+v", told(r), r.Findings)
	}
	// 30 m² on the field, 40 m² more than one and a half widths beside it.
	d.laid.Gaps, d.laid.Widest, r.Findings = nil, 10, nil
	at := func(x float64, way float64) coverage.Piece {
		return coverage.Piece{Ring: [4]orb.Point{{x, 10}, {x + 10, 10}, {x + 10, 10 + way}, {x, 10 + way}}}
	}
	d.laid.Pieces = []coverage.Piece{at(20, 3), at(109, 3), at(111, 4)}
	if r.findWays(d); told(r) != "log-far warning" || math.Abs(float64(r.Findings[0].Area/unit.SquareMeter)-40) > 1e-9 {
		t.Errorf("%s %+v", told(r), r.Findings)
	}
	d.laid.Pieces, d.away, d.Log.Rows, r.Findings = d.laid.Pieces[:1], 7, nil, nil
	if r.findWays(d); told(r) != "log-far error" || r.Findings[0].Data != (oddRows{"log", 7}) {
		t.Errorf("%s %+v", told(r), r.Findings)
	}
}

func several[T any](_ []T, n int) []T { return make([]T, n) }

// Each kind of odd rows is told by its own count.
func TestFoundOfRows(t *testing.T) {
	for want, set := range map[string]func(*Drive){
		"log-order note":      func(d *Drive) { d.laid.Odd.Disorder = 4 },
		"log-twice warning":   func(d *Drive) { d.laid.Odd.Twice = 4 },
		"log-no-time warning": func(d *Drive) { d.laid.Odd.NoTime = 4 },
		"log-seconds note":    func(d *Drive) { d.laid.Odd.Spread = 4 },
		"log-no-place warning": func(d *Drive) {
			d.Log.Dropped = []track.Dropped{{Why: "other", Count: 9}, {Why: "no-place", Count: 4}}
		},
		"log-alone warning":    func(d *Drive) { d.laid.Odd.Alone = 4 },
		"log-jump warning":     func(d *Drive) { d.laid.Odd.Jumps = 4 },
		"log-turns warning":    func(d *Drive) { d.laid.Odd.Rough = 4 },
		"log-no-width warning": func(d *Drive) { d.laid.Odd.NoWidth = 4 },
		"log-no-rate warning":  func(d *Drive) { d.laid.Odd.NoRate = 4 },
		"log-clock warning":    func(d *Drive) { d.Log.SetBack = 4 },
		"log-year warning": func(d *Drive) {
			for i, year := range []int{1900, 1979, 2100, 9999} {
				d.Log.Rows[i].Time = float64(time.Date(year, 12, 31, 0, 0, 0, 0, time.UTC).Unix())
			}
		},
		"log-zero note":       func(d *Drive) { d.laid.Odd.Zero = 4 },
		"log-overlap warning": func(d *Drive) { d.overlap.swaths = 4 },
		"log-untimed note":    func(d *Drive) { d.laid.Odd.Untimed = true },
		"log-nothing error":   func(d *Drive) { d.laid.Pieces = nil },
		"log-mixed error":     func(d *Drive) { d.laid.Odd.Mixed = true },
		"":                    func(d *Drive) { d.laid.Odd.Untimed, d.Swaths = true, &geo.Shapes{} },
	} {
		r, d := emptyResult(), driven(1, 0)
		d.Log.Rows = make([]track.Row, 4)
		set(d)
		r.findLog(d)
		if got := told(r); got != want || want != "" && r.Findings[0].Data != (oddRows{"log", 4}) {
			t.Errorf("%q %+v, want %q of 4", got, r.Findings, want)
		}
	}
	r, d := emptyResult(), driven(1, 0)
	d.laid.Step, d.laid.Noise, d.laid.Odd.NoRate, d.laid.Odd.NoRateOn = 0.5, 0.126, 1, 50
	if r.findLog(d); told(r) != "log-no-rate warning, log-creep note" || math.Abs(float64(r.Findings[0].Area/unit.SquareMeter)-50) > 1e-9 {
		t.Errorf("%s %+v", told(r), r.Findings)
	}
	d.laid.Noise, d.laid.Odd.NoRate, r.Findings = 0.124, 0, nil
	if r.findLog(d); told(r) != "" {
		t.Error(told(r))
	}
}

// A rate that follows its target so many seconds later, on steps of a second, is found within a
// fifth of one; few changes, a rate of its own and more than ten seconds tell nothing.
func TestDelayOfTheRate(t *testing.T) {
	log := func(late float64, changes int, noise float64) *track.Log {
		l := &track.Log{}
		target := func(at float64) float64 { return []float64{120, 200, 150, 260, 180}[int(math.Floor(at/20)+5)%5] }
		for i := range 20 * changes {
			r := track.NewRow(orb.Point{-93, 42 + 0.00005*float64(i)}, int32(i))
			r.Time, r.Target = float64(i), target(float64(i))
			low := math.Floor(float64(i) - late)
			part := float64(i) - late - low
			r.Rate = target(low)*(1-part) + target(low+1)*part + noise*math.Sin(float64(i*i))
			l.Rows = append(l.Rows, r)
		}
		return l
	}
	for _, late := range []float64{-3, 0, 1, 2.5, 4, 9} {
		d := delayOf(log(late, 30, 2))
		if d == nil || math.Abs(d.Seconds-late) > 0.2 || d.Fit < 0.95 || d.Changes < 28 || d.Changes > 30 {
			t.Errorf("%v: %+v", late, d)
			continue
		}
		if want := math.Abs(d.Seconds) * 0.00005 * 111_200; math.Abs(float64(d.Way/unit.Meter)-want) > 1e-3*want+1e-9 {
			t.Errorf("%v: %v m, want %v", late, d.Way/unit.Meter, want)
		}
	}
	shut := log(3, 30, 2)
	for i := range shut.Rows {
		shut.Rows[i].Open = 0
	}
	other := log(3, 30, 2)
	for i := range other.Rows {
		other.Rows[i].Rate = 150 + 40*math.Sin(float64(i*i))
	}
	for name, l := range map[string]*track.Log{"few changes": log(3, 6, 2), "too late": log(12, 30, 2), "shut": shut, "a rate of its own": other, "no rows": {}} {
		if d := delayOf(l); d != nil {
			t.Errorf("%s: %+v", name, d)
		}
	}
	if d := delayOf(log(3, 8, 2)); d == nil {
		t.Error("seven changes tell nothing")
	}
	for most := range int32(2) { // the machine with most rows counts
		two, other := &track.Log{}, log(-4, 20, 2).Rows
		for i, r := range log(3, 30, 2).Rows {
			r.Machine = most
			two.Rows = append(two.Rows, r)
			if i < len(other) {
				r = other[i]
				r.Machine, r.Time = 1-most, float64(i)+0.5
				two.Rows = append(two.Rows, r)
			}
		}
		if d := delayOf(two); d == nil || math.Abs(d.Seconds-3) > 0.2 {
			t.Errorf("of two machines, most rows by %d: %+v", most, d)
		}
	}
}

// Pieces of a rate that go straight on become one; a bend, another rate or a step aside begins
// another. Each keeps its ground.
func TestJoinedStraight(t *testing.T) {
	var pieces []coverage.Piece
	lay := func(x, y, width, way, rate float64) {
		pieces = append(pieces, coverage.Piece{Density: rate, Ring: [4]orb.Point{{x, y}, {x + width, y}, {x + width, y + way}, {x, y + way}}})
	}
	for i := range 5 {
		lay(0, 3*float64(i), 20, 3, 30)
	}
	lay(0, 15, 20, 3, 40) // another rate
	lay(0, 18, 20, 3, 40)
	lay(1, 21, 20, 3, 40)                                                                                          // a step aside
	lay(1, 24, 18, 3, 40)                                                                                          // a narrower boom
	pieces = append(pieces, coverage.Piece{Density: 40, Ring: [4]orb.Point{{1, 27}, {19, 27}, {20, 30}, {3, 30}}}) // a bend
	got := ""
	for _, p := range merged(pieces, goOn) {
		got += fmt.Sprintf("%v from %v to %v; ", p.Density, p.Ring[0], p.Ring[2])
	}
	if want := "30 from [0 0] to [20 15]; 40 from [0 15] to [20 21]; 40 from [1 21] to [21 24]; 40 from [1 24] to [19 27]; 40 from [1 27] to [20 30]; "; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
}

// A layer is to put its rate on each zone that gets it: a liquid one where there is to be
// stabilizer, or everywhere where it has none; a dry one where there is dry.
func TestTargetsOfZones(t *testing.T) {
	f := planned([]orb.Polygon{rectangle(0, 0, 10, 10), rectangle(10, 0, 20, 10), rectangle(20, 0, 30, 10)}, 200, 0, math.NaN())
	f.Plan.Stabilizer = []unit.LiquidRate{30, 0, 0}
	f.Plan.Layers[0].Columns[0].Rates = []unit.DryRate{200, 0, unit.DryRate(math.NaN())}
	f.Plan.Layers = append(f.Plan.Layers, rx.Layer{Product: rx.Liquid, Rate: 30}, rx.Layer{Product: rx.Liquid})
	for layer, want := range [][]float64{{200, 0, 0}, {30, 0, 0}, {0, 0, 0}} {
		for zone, rate := range want {
			if got := f.target(layer, zone); got != rate {
				t.Errorf("layer %d, zone %d: %v, want %v", layer, zone, got, rate)
			}
		}
	}
}

// A year of which no receiver can log is one before 1980 or from 2100 on; what lies within 366 days of
// 1970 counts from another moment. Seconds by hand: ten years to 1980 have 3652 days, 130 to 2100 have 47482.
func TestOddYears(t *testing.T) {
	const day = 86400
	for at, want := range map[float64]int{
		-1: 1, 0: 0, 366*day - 1: 0, 366 * day: 1, 3652*day - 1: 1, 3652 * day: 0, 1_770_000_000: 0, 47482*day - 1: 0, 47482 * day: 1,
	} {
		if got := oddYears(&track.Log{Rows: []track.Row{{Time: at}}}); got != want {
			t.Errorf("%v: %d", at, got)
		}
	}
}
