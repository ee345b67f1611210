package read

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// inPlane opens rectangles, x from and to and a rate each, that are 400 m high and
// drawn in a system's own unit from a corner, all in meters.
func inPlane(t *testing.T, epsg string, corner [2]float64, of float64, rectangles ...[3]float64) *File {
	t.Helper()
	var features []string
	for _, r := range rectangles {
		x0, x1, y0, y1 := (corner[0]+r[0])/of, (corner[0]+r[1])/of, corner[1]/of, (corner[1]+400)/of
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"R":%v},"geometry":{"type":"Polygon","coordinates":[[[%.9f,%.9f],[%.9f,%.9f],[%.9f,%.9f],[%.9f,%.9f],[%.9f,%.9f]]]}}`,
			r[2], x0, y0, x1, y0, x1, y1, x0, y1, x0, y0))
	}
	f, err := Open("-", FileOptions{Stdin: strings.NewReader(`{"type":"FeatureCollection","features":[` + strings.Join(features, ",") + `]}`), CRS: epsg})
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// Gaps and overlaps of files that are drawn in a plane, in meters or in feet: what is
// narrow is narrow on the ground, and ground that is settled has its acres. The scale of
// the projections is within 0.1 % of 1 here.
func TestSettledInAPlane(t *testing.T) {
	const usFoot = 1200.0 / 3937
	for _, c := range []struct {
		name, epsg string
		corner     [2]float64 // meters
		of         float64    // the unit, in meters
	}{
		{"UTM in meters", "EPSG:26915", [2]float64{480_000, 4_500_000}, 1},
		{"State Plane in feet", "EPSG:2264", [2]float64{600_000, 180_000}, usFoot},
	} {
		t.Run(c.name, func(t *testing.T) {
			read := func(by overlapChoice, r ...[3]float64) *rx.Prescription {
				p, err := Prescription(inPlane(t, c.epsg, c.corner, c.of, r...), Options{RateUnit: "lb/ac", Overlap: by})
				if err != nil {
					t.Fatal(err)
				}
				return p
			}
			for gap, want := range map[float64]string{0.5: "crs note, gap warning", 0.9: "crs note, gap warning", 1.2: "crs note", 2: "crs note"} {
				p := read("", [3]float64{0, 400, 200}, [3]float64{400 + gap, 800, 180})
				if got := rules(p.Findings); got != want {
					t.Errorf("%v m apart: findings %q, want %q", gap, got, want)
				}
			}
			for by, want := range map[overlapChoice][2]float64{
				overlapFirst: {400, 300}, overlapLast: {300, 400}, overlapMax: {400, 300},
			} {
				p := read(by, [3]float64{0, 400, 200}, [3]float64{300, 700, 180})
				for i, width := range want {
					if got, want := float64(p.Zones[i].Area/unit.SquareMeter), width*400; math.Abs(got-want) > 1e-3*want {
						t.Errorf("--overlap %s: zone %d has %v m², want %v", by, i+1, got, want)
					}
				}
				if box := p.LonLat.Extent(); math.Abs(box.Max[0]) > 180 || math.Abs(box.Max[1]) > 90 {
					t.Errorf("--overlap %s: zones lie at %v, which is not lon/lat", by, box)
				}
			}
		})
	}
}

// With --overlap max, of equal rates the first zone owns the ground, and one without a
// rate never does.
func TestOwnerOfEqualRates(t *testing.T) {
	for _, c := range []struct {
		first, second string
		owner         int
	}{
		{"200", "200", 0}, {"201", "200", 0}, {"200", "201", 1}, {"null", "1", 1}, {"0", "null", 0}, {"200", "null", 0}, {"null", "null", 0}, {"0", "0", 0},
	} {
		text := strings.Replace(field(rates("R", c.first, c.second, "150", "140")...), square(1), strings.ReplaceAll(square(1), "-90.395", "-90.396"), 1)
		p := prescription(t, text, Options{RateFields: []string{"R"}, RateUnit: "lb/ac", Overlap: overlapMax})
		want := []float64{1, 1}
		if c.owner == 1 {
			want = []float64{0.8, 1.2}
		}
		for i := range want {
			if got := float64(p.Zones[i].Area); math.Abs(got-want[i]*squareAcres) > 1e-3 {
				t.Errorf("%s and %s: zone %d has %v ac, want %v", c.first, c.second, i+1, got, want[i]*squareAcres)
			}
		}
	}
}

// While more rings break a rule than are listed, nobody knows what those are: no
// overlap is told beside them.
func TestNoOverlapsBesideUnlistedRings(t *testing.T) {
	spiked := func(x float64) []orb.Ring { // runs out to the north and back
		return []orb.Ring{{{x, 0}, {x + 400, 0}, {x + 400, 400}, {x + 200, 400}, {x + 200, 500}, {x + 200, 400}, {x, 400}, {x, 0}}}
	}
	for n, want := range map[int]string{listed: "overlap", listed + 1: "rings"} {
		zones := [][]orb.Ring{{rectangle(0, 1000, 400, 1400)}, {rectangle(100, 1000, 500, 1400)}}
		for i := range n {
			zones = append(zones, spiked(500*float64(i)))
		}
		p := prescription(t, drawn(zones...), Options{RateUnit: "lb/ac"})
		var got []string
		for _, f := range p.Findings {
			if f.Severity == rx.Error {
				got = append(got, f.Rule())
			}
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%d rings with a spike: errors %q, want %q", n, got, want)
		}
	}
}

// Rates of N need the analysis of each product, not of the first alone.
func TestEachProductNeedsItsAnalysis(t *testing.T) {
	text := field(`"A":40,"B":20`, `"A":60,"B":30`)
	for _, c := range []struct {
		analysis []string
		want     string // empty: they are enough
	}{
		{[]string{"46-0-0", "21-0-0-24S"}, ""},
		{[]string{"46-0-0"}, "rates of N need the analysis of each product"},
		{nil, "rates of N need the analysis of each product"},
		{[]string{"46-0-0", "0-0-60"}, "0-0-60 has no N"},
	} {
		p, err := Prescription(open(t, text), Options{RateFields: []string{"A", "B"}, RateUnit: "lb/ac", RateOf: "N", Analysis: c.analysis})
		if c.want == "" {
			if err != nil || !about(p.Zones[0].Dry, 40/0.46+20/0.21) {
				t.Errorf("%v: %v", c.analysis, err)
			}
			continue
		}
		var e *Error
		if !errors.As(err, &e) || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: got %v, want %q", c.analysis, err, c.want)
		}
	}
}
