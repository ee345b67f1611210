package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"rxsplit/label/unit"
)

// What can be read but is hardly meant is a warning, and only that.
func TestImplausible(t *testing.T) {
	far := strings.Replace(field(rates("R", "200", "200", "200")...), square(2), strings.ReplaceAll(square(2), "47.3", "47.6"), 1)
	small := strings.ReplaceAll(field(rates("R", "200")...), square(0), "[[-90.4,47.3],[-90.3999,47.3],[-90.3999,47.3001],[-90.4,47.3001],[-90.4,47.3]]")
	large := strings.ReplaceAll(field(rates("R", "200")...), square(0), "[[-90.4,47.3],[-90.3,47.3],[-90.3,47.4],[-90.4,47.4],[-90.4,47.3]]")
	for _, c := range []struct {
		name, text, want string
		opt              Options
	}{
		{"a field", field(rates("R", "200", "180")...), "", Options{}},
		{"rates of 10", field(rates("R", "10", "10")...), "rate-low warning", Options{}},
		{"rates of 15", field(rates("R", "15.1", "15.1")...), "", Options{}},
		{"rates of 200 that count tons", field(rates("R", "200", "180")...), "rate-high warning", Options{RateUnit: "ton/ac"}},
		{"rates of 3000", field(rates("R", "2999", "2999")...), "", Options{}},
		{"zeros count for nothing", field(rates("R", "20", "0", "0", "0", "0")...), "", Options{}},
		{"a garden", small, "field-small warning", Options{}},
		{"a farm", large, "field-large note", Options{}},
		{"a zone 33 km off", far, "far-apart warning", Options{}},
	} {
		if c.opt.RateUnit == "" {
			c.opt.RateUnit = "lb/ac"
		}
		p := prescription(t, c.text, c.opt)
		if got := rules(p.Findings); got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
		}
	}
	p := prescription(t, far, Options{RateUnit: "lb/ac"})
	if f := finding(t, p.Findings, "far-apart"); fmt.Sprint(f.Zones) != "[3]" || f.Area != p.Zones[2].Area {
		t.Errorf("far apart: zones %v, %v; want zone 3", f.Zones, f.Area)
	}
	// Of several the farthest is named. 0.3° of a meridian are 33.36 km there (WGS 84, 111.19 km a degree).
	two := field(rates("R", "200", "200", "200", "200", "200")...)
	two = strings.Replace(strings.Replace(two, square(2), strings.ReplaceAll(square(2), "47.3", "47.6"), 1), square(3), strings.ReplaceAll(square(3), "47.3", "47.5"), 1)
	f := finding(t, prescription(t, two, Options{RateUnit: "lb/ac"}).Findings, "far-apart")
	if d, ok := f.Data.(distance); fmt.Sprint(f.Zones) != "[3 4]" || !ok || math.Abs(float64(d.Farthest/unit.Meter)-33360) > 60 || f.Place == nil || math.Abs(f.Place[1]-47.6) > 1e-9 {
		t.Errorf("zones %v, %+v at %v; want 3 and 4, 33.36 km, 47.6° north", f.Zones, f.Data, f.Place)
	}
}

// A field across the antimeridian is one field.
func TestAntimeridian(t *testing.T) {
	text := `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"R":200},"geometry":{"type":"Polygon","coordinates":[[[179.995,10],[180,10],[180,10.005],[179.995,10.005],[179.995,10]]]}},
{"type":"Feature","properties":{"R":200},"geometry":{"type":"Polygon","coordinates":[[[-180,10],[-179.995,10],[-179.995,10.005],[-180,10.005],[-180,10]]]}}]}`
	p := prescription(t, text, Options{RateUnit: "lb/ac"})
	if got := rules(p.Findings); got != "" {
		t.Errorf("findings %q, want none", got)
	}
	if a, b := p.Zones[0].Area, p.Zones[1].Area; a < 70*unit.Acre || a > 80*unit.Acre || a-b > 1e-9*a || b-a > 1e-9*a {
		t.Errorf("%v and %v, want the same acres", a, b)
	}
}
