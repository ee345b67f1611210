package ground

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// sprayedBut is one zone of 200 by 400 m that a boom sprays but for a strip, from 80 to 100 m
// across and from 100 to 300 m ahead, of which the middle 160 m are read.
func sprayedBut() *Field {
	f := planned([]orb.Polygon{rectangle(0, 0, 200, 400)}, 200)
	f.Prescription.LonLat = &geo.Shapes{}
	f.Prescription.LonLat.Append(orb.MultiPolygon{rectangle(-93, 42, -92.998, 42.004)})
	f.Plan.Layers[0] = rx.Layer{Name: "liquid", Product: rx.Liquid, Rate: 30}
	f.Plan.Stabilizer = []unit.LiquidRate{30}
	f.Plan.Strips = &rx.Strips{List: []rx.Strip{{Rep: 4}}}
	f.strips, f.read = &geo.Shapes{}, &geo.Shapes{}
	f.strips.Append(orb.MultiPolygon{rectangle(80, 100, 100, 300)})
	f.read.Append(orb.MultiPolygon{rectangle(80, 120, 100, 280)})
	f.keepOuts = f.strips
	return f
}

// Driven along its strips the boom shuts off over them: they stay untreated, nothing is missed or
// off target, and they are no keep-outs. Driven a quarter of a pass aside it sprays a quarter of
// the strip, and as much beside it stays bare.
func TestPassesLeaveStripsOut(t *testing.T) {
	f := sprayedBut()
	r := driveOn(t, f, tenMeters)
	p := r.Products[0]
	nearly(t, "covered", p.Covered.Area, (200*400-20*200)*meters, 1e-6)
	nearly(t, "bare", p.Skip.Area, 0, 0)
	nearly(t, "off target", p.Off.Area, 0, 0)
	nearly(t, "kept out", p.KeepOut.Area, 0, 0)
	nearly(t, "none", r.Liquids[0].Classes[None].Area, 20*200*meters, 1e-6)
	if p.OnTarget < 1-1e-9 || r.Strips[0].Rep != 4 || r.Strips[0].Sprayed > 1e-6 || len(r.Findings) > 0 {
		t.Errorf("on target %v, strips %v, findings %v", p.OnTarget, r.Strips, r.Findings)
	}

	aside := tenMeters
	aside.Offset = 5 * unit.Meter
	r = driveOn(t, f, aside)
	if got := float64(r.Strips[0].Sprayed); math.Abs(got-0.25) > 1e-3 {
		t.Errorf("%v of the strip is sprayed, want a quarter", got)
	}
	nearly(t, "bare beside it", r.Products[0].Skip.Area, 5*200*meters, 1e-3)
	if !found(r, "lands-strip") {
		t.Errorf("findings %v", r.Findings)
	}
}

// So it shuts off over keep-outs, which the layer of a liquid leaves out as well.
func TestPassesLeaveKeepOutsOut(t *testing.T) {
	f := sprayedBut()
	f.Plan.Strips, f.strips, f.read = nil, nil, nil
	r := driveOn(t, f, tenMeters)
	p := r.Products[0]
	nearly(t, "covered", p.Covered.Area, (200*400-20*200)*meters, 1e-6)
	nearly(t, "kept out", p.KeepOut.Area, 0, 0)
	nearly(t, "off target", p.Off.Area, 0, 0)
	nearly(t, "none", r.Liquids[0].Classes[None].Area, 20*200*meters, 1e-6)
}

// Ground that is kept out wants no liquid: left bare it is on target and not missed, in the figures
// of the field, of its zone and in the drawings, and sprayed it is off target. By hand: a pass of
// 20 by 400 m over a field of 200 by 400 m whose keep-out of 20 by 200 m lies under it.
func TestKeepOutsWantNoLiquid(t *testing.T) {
	for _, c := range []struct {
		name           string
		off, on        float64
		share          unit.Ratio
		offTarget, bad float64 // m²; bad is what is drawn as below or above target
	}{
		{"shut off over it", 100, 300, 0.1, 72000, 72000},
		{"sprayed", 400, 400, 0.05, 76000, 76000},
	} {
		f := sprayedBut()
		f.Plan.Strips, f.strips, f.read = nil, nil, nil
		r, err := f.Look([]*Drive{loggedNorth(t, f, c.off, c.on)}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		p := r.Products[0]
		nearly(t, c.name+": off target", p.Off.Area, unit.Area(c.offTarget)*meters, 1e-3)
		nearly(t, c.name+": bare", p.Skip.Area, 72000*meters, 1e-3)
		if math.Abs(float64(p.OnTarget-c.share)) > 1e-3 || math.Abs(float64(p.Zones[0].OnTarget-c.share)) > 1e-3 {
			t.Errorf("%s: %v of the field and %v of its zone are on target, want %v", c.name, p.OnTarget, p.Zones[0].OnTarget, c.share)
		}
		d, err := r.Drawn(Options{})
		if err != nil {
			t.Fatal(err)
		}
		drawn := func(l *Layer, kinds ...Kind) (sum unit.Area) {
			for _, row := range l.Rows {
				if slices.Contains(kinds, row.Kind) {
					sum += row.Area
				}
			}
			return sum
		}
		nearly(t, c.name+": drawn off target", drawn(d.ByTarget, Under, Over), unit.Area(c.bad)*meters, 1e-3)
		nearly(t, c.name+": drawn bare", drawn(d.ByCover, Bare), 72000*meters, 1e-3)
	}
}

// A log that was sprayed through a strip is told with its number; one that shut off over what is
// read of it, and late at an end, is not.
func TestSprayedStripIsTold(t *testing.T) {
	for _, c := range []struct {
		name     string
		off, on  float64 // where the boom shut off and came on again, driving north
		sprayed  float64
		warned   bool
		anything bool
	}{
		{"as planned", 100, 300, 0, false, false},
		{"late at both ends", 118, 315, 0, false, false},
		{"a tenth", 136, 300, 0.1, false, true},
		{"half", 200, 300, 0.5, true, true},
		{"all of it", 300, 300, 1, true, true},
	} {
		f := sprayedBut()
		d := loggedNorth(t, f, c.off, c.on)
		r, err := f.Look([]*Drive{d}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(r.Strips[0].Sprayed); math.Abs(got-c.sprayed) > 1e-3 {
			t.Errorf("%s: %v of the strip is sprayed, want %v", c.name, got, c.sprayed)
		}
		warned := false
		for _, one := range r.Findings {
			warned = warned || one.Rule() == "lands-strip" && one.Severity == rx.Warning
		}
		if warned != c.warned || found(r, "lands-strip") != c.anything {
			t.Errorf("%s: findings %v", c.name, r.Findings)
		}
	}
}

// What a log lays in a keep-out, here all of 20 by 200 m of it, is told with its area and amount, and
// where it is; what it lays in the field is counted apart from it.
func TestSprayedKeepOutIsTold(t *testing.T) {
	f := sprayedBut()
	f.Plan.Strips, f.strips, f.read = nil, nil, nil
	r, err := f.Look([]*Drive{loggedNorth(t, f, 0, 0)}, Options{})
	if err != nil {
		t.Fatal(err)
	}
	p := r.Products[0]
	nearly(t, "in the keep-out", p.KeepOut.Area, 20*200*meters, 1e-6)
	nearly(t, "covered", p.Covered.Area, 20*400*meters, 1e-6)
	if want := 30 * float64(20*200*meters); math.Abs(p.InKeepOut/want-1) > 1e-6 {
		t.Errorf("%v fl oz in the keep-out, want %v", p.InKeepOut, want)
	}
	told := slices.ContainsFunc(r.Findings, func(one rx.Finding) bool { return one.Rule() == "lands-keep-out" && one.Severity == rx.Error })
	if at := slices.IndexFunc(r.Spots, func(s Spot) bool { return s.What == "keep-out" }); !told || at < 0 {
		t.Errorf("findings %v, spots %v", r.Findings, r.Spots)
	} else {
		nearly(t, "the spot", r.Spots[at].Area, 20*200*meters, 1e-6)
	}
}

// Where half as much again was weighed, 30 fl oz/ac are 45, above the label's 40: of one log, of two
// that share a product, and of swaths that are drawn.
func TestWeighedAmountsCorrect(t *testing.T) {
	for name, drives := range map[string]func(f *Field) []*Drive{
		"one log":  func(f *Field) []*Drive { return []*Drive{loggedNorth(t, f, 0, 0)} },
		"two logs": func(f *Field) []*Drive { return []*Drive{loggedNorth(t, f, 200, 400), loggedNorth(t, f, 0, 200)} },
		"swaths": func(f *Field) []*Drive {
			d := loggedNorth(t, f, 0, 0)
			d.Log.Rows, d.Swaths = d.Log.Rows[:1], &geo.Shapes{}
			swath := rectangle(80, 0, 100, 400)
			if err := f.plane.ToLonLat(swath[0], swath[0]); err != nil {
				t.Fatal(err)
			}
			d.Swaths.Append(orb.MultiPolygon{swath})
			return []*Drive{d}
		},
	} {
		f := sprayedBut()
		f.Plan.Strips, f.strips, f.read, f.keepOuts = nil, nil, nil, nil
		list := drives(f)
		for _, d := range list {
			d.Log.Machines = []string{""}
			d.Weighed = 1.5 * d.Log.Rows[0].Rate * 20 * 400 / float64(len(list))
		}
		r, err := f.Look(list, Options{})
		if err != nil {
			t.Fatal(err)
		}
		l := r.Liquids[0]
		nearly(t, name+": within as logged", l.Classes[Within].Area, 20*400*meters, 1e-4)
		if l.Corrected == nil {
			t.Fatalf("%s: nothing is corrected", name)
		}
		nearly(t, name+": above as weighed", l.Corrected.Classes[Above].Area, 20*400*meters, 1e-4)
	}
}

// A log of dry is none of a liquid layer, and one of the mix is of no use where nobody says how much
// of that is product.
func TestLogsOfAnotherProduct(t *testing.T) {
	for want, d := range map[string]*Drive{
		"boom: its rates are of dry product, and layer liquid is liquid":                         {Log: &track.Log{Name: "boom", Amount: track.Mass}},
		"boom: its rates are of the mix, and the plan does not know how much of that is product": {Log: &track.Log{Name: "boom", Amount: track.Volume}, Mix: true},
	} {
		if _, err := sprayedBut().Look([]*Drive{d}, Options{}); err == nil || err.Error() != want {
			t.Errorf("got %v, want %s", err, want)
		}
	}
}

// loggedNorth is the log of one pass of 20 m northward through the strip, a row every meter, at
// 30 fl oz/ac, that was off between two places.
func loggedNorth(t *testing.T, f *Field, off, on float64) *Drive {
	t.Helper()
	l := &track.Log{Name: "boom", Amount: track.Volume, Width: 20}
	for y := range 401 {
		at := []orb.Point{{90, float64(y)}}
		if err := f.plane.ToLonLat(at, at); err != nil {
			t.Fatal(err)
		}
		row := track.NewRow(at[0], int32(y))
		row.Time, row.Rate = float64(y)/10, 30*29.5735295625/4046.8564224
		if float64(y) > off && float64(y) <= on {
			row.Open = 0
		}
		l.Rows = append(l.Rows, row)
	}
	return &Drive{Layer: 0, Log: l}
}

func found(r *Result, rule string) bool {
	for _, f := range r.Findings {
		if f.Rule() == rule {
			return true
		}
	}
	return false
}
