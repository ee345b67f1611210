package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// drawn returns GeoJSON of records that are drawn in meters from a place, a list
// of rings each, all wound as shells; holes are turned.
func drawn(records ...[]orb.Ring) string {
	place := orb.Point{-90.4, 47.3}
	scale := geo.LonLatScale(orb.Bound{Min: place, Max: place})
	var features []string
	for i, rings := range records {
		var texts []string
		for k, ring := range rings {
			ring := slices.Clone(ring)
			if k > 0 {
				slices.Reverse(ring)
			}
			var points []string
			for _, p := range ring {
				points = append(points, fmt.Sprintf("[%.9f,%.9f]", place[0]+p[0]/scale.X, place[1]+p[1]/scale.Y))
			}
			texts = append(texts, "["+strings.Join(points, ",")+"]")
		}
		features = append(features, fmt.Sprintf(`{"type":"Feature","properties":{"R":%d},"geometry":{"type":"Polygon","coordinates":[%s]}}`, 180+40*(i%2), strings.Join(texts, ",")))
	}
	return `{"type":"FeatureCollection","features":[` + strings.Join(features, ",\n") + `]}`
}

func rectangle(x0, y0, x1, y1 float64) orb.Ring {
	return orb.Ring{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}, {x0, y0}}
}

// at180 is a zone 0.01° wide around the 180° meridian, from one longitude to another.
func at180(west, east float64) string {
	return fmt.Sprintf(`{"type":"Feature","properties":{"R":180},"geometry":{"type":"Polygon","coordinates":[[[%[1]g,65],[%[2]g,65],[%[2]g,65.005],[%[1]g,65.005],[%[1]g,65]]]}}`, west, east)
}

// What is wrong with the ground of zones, what it is called, how bad it is, and in
// which zones.
func TestGroundInDoubt(t *testing.T) {
	left, right := rectangle(0, 0, 400, 400), rectangle(400, 0, 800, 400)
	for _, c := range []struct {
		name, text string
		want       string // rules
		zones      string // of the first
		says       string
	}{
		{"sound", drawn([]orb.Ring{left}, []orb.Ring{right}), "", "", ""},
		{"bow-tie", drawn([]orb.Ring{left}, []orb.Ring{{{400, 0}, {500, 300}, {800, 0}, {800, 400}, {400, 0}}}), "self-crossing error", "[2]", "crosses itself"},
		{"spike", drawn([]orb.Ring{{{0, 0}, {400, 0}, {400, 200}, {700, 200}, {400, 200}, {400, 400}, {0, 400}, {0, 0}}}), "spike warning", "[1]", "runs out along a line"},
		{"open ring", drawn([]orb.Ring{left}, []orb.Ring{right[:4]}), "ring-closed warning", "[2]", "zone 2: rings that did not end where they begin were closed"},
		{"hole outside its shell", drawn([]orb.Ring{left, rectangle(500, 100, 600, 200)}), "hole-outside error", "[1]", "a hole lies outside its outline"},
		{"hole in a hole", drawn([]orb.Ring{left, rectangle(100, 100, 300, 300), rectangle(150, 150, 250, 250)}), "holes-overlap error", "[1]", ""},
		{"a ring twice", drawn([]orb.Ring{left, rectangle(100, 100, 300, 300), rectangle(100, 100, 300, 300)}), "repeated-ring error", "[1]", ""},
		{"holes that cut through", drawn([]orb.Ring{left, {{0, 200}, {200, 100}, {400, 200}, {200, 300}, {0, 200}}}), "cut-through warning", "[1]", ""},
		{"a zone twice", drawn([]orb.Ring{left}, []orb.Ring{left}), "overlap error", "[1 2]", "cover the same 39.5"},
		{"a gap", drawn([]orb.Ring{left}, []orb.Ring{rectangle(400.5, 0, 800, 400)}), "gap warning", "[1 2]", "1 narrow gap at zones 1 and 2, 0.05 ac in total"},
		{"a sliver", drawn([]orb.Ring{left}, []orb.Ring{rectangle(400, 0, 400.2, 400)}, []orb.Ring{rectangle(400.2, 0, 800, 400)}), "sliver note", "[2]", "zone 2 (0.02 ac) is a sliver"},
		{"no sliver", drawn([]orb.Ring{left}, []orb.Ring{rectangle(400, 0, 401.1, 400)}, []orb.Ring{rectangle(401.1, 0, 800, 400)}), "", "", ""},
		{"a hole makes a frame a sliver", drawn([]orb.Ring{left, rectangle(0.5, 0.5, 399.5, 399.5)}, []orb.Ring{rectangle(0.5, 0.5, 399.5, 399.5)}), "sliver note", "[1]", ""},
		{"a neck below the tolerance", drawn([]orb.Ring{{{0, 0}, {400, 0}, {400, 199.9995}, {600, 199.9995}, {600, 0}, {1000, 0}, {1000, 400}, {600, 400}, {600, 200.0005}, {400, 200.0005}, {400, 400}, {0, 400}, {0, 0}}}), "", "", ""},
		{"T-junctions", drawn([]orb.Ring{left}, []orb.Ring{rectangle(400, 0, 800, 200)}, []orb.Ring{rectangle(400, 200, 800, 400)}), "", "", ""},
		{"noise of a millimeter", drawn([]orb.Ring{left}, []orb.Ring{{{400.001, -0.001}, {800, 0}, {800, 400}, {399.999, 400.001}, {400.001, -0.001}}}), "", "", ""},
		{"across the meridian in one piece", at180(179.995, -179.995), "antimeridian error, winding note", "[1]", "zone 1 crosses the 180° meridian in one piece"},
		{"across the meridian, counted on", at180(179.995, 180.005), "", "", ""},
	} {
		p := prescription(t, c.text, Options{RateUnit: "lb/ac"})
		got := rules(severest(p.Findings))
		if got != c.want {
			t.Errorf("%s: findings %q, want %q", c.name, got, c.want)
			continue
		}
		if c.want == "" {
			continue
		}
		f := severest(p.Findings)[0]
		if fmt.Sprint(f.Zones) != c.zones || !strings.Contains(said(f).Text, c.says) || said(f).Hint == "" || f.Place == nil && f.Rule() != "ring-closed" {
			t.Errorf("%s: %+v, want zones %s, %q, a place and a hint", c.name, f, c.zones, c.says)
		}
	}
}

// severest are the findings with the worst first.
func severest(findings []rx.Finding) (out []rx.Finding) {
	for _, severity := range []rx.Severity{rx.Error, rx.Warning, rx.Note} {
		for _, f := range findings {
			if f.Severity == severity {
				out = append(out, f)
			}
		}
	}
	return out
}

// A shapefile's ring that is wound as a hole and lies in no shell is taken as
// ground, which is a warning; so is a .shx of another file.
func TestOddShapefiles(t *testing.T) {
	l := invent.FourZones()
	l.Shapes = geo.Shapes{}
	stray := rectangle(-90.39, 47.3, -90.385, 47.305) // counter-clockwise
	for i := range 4 {
		own := rectangle(-90.4, 47.3+0.01*float64(i), -90.395, 47.305+0.01*float64(i))
		own.Reverse()
		mp := orb.MultiPolygon{{own}}
		if i == 1 {
			mp = orb.MultiPolygon{{own, stray}}
		}
		l.Shapes.Append(mp)
	}
	p, err := Prescription(openFile(t, parts(t, l), FileOptions{}), dry)
	if err != nil {
		t.Fatal(err)
	}
	f := finding(t, p.Findings, "hole-outside")
	if f.Severity != rx.Warning || fmt.Sprint(f.Zones) != "[2]" || said(f).Hint == "" || !strings.HasPrefix(said(f).Text, "zone 2: ") {
		t.Errorf("%+v", f)
	}
	if p.Zones[1].Area < 1.9*p.Zones[0].Area {
		t.Errorf("%v, want the stray ring's acres as well", p.Zones[1].Area)
	}
}

// More pairs and rings than anybody wants to read are counted, with all acres.
func TestFindingsAreCapped(t *testing.T) {
	heap := make([][]orb.Ring, 8) // 28 pairs
	for i := range heap {
		heap[i] = []orb.Ring{rectangle(0, 0, 400, 400)}
	}
	p := prescription(t, drawn(heap...), Options{RateUnit: "lb/ac"})
	last := severest(p.Findings)[listed]
	one := p.Zones[0].Area
	if got := len(significant(p.Findings)); got != listed+1 || !strings.HasPrefix(said(last).Text, "28 pairs of zones overlap") || math.Abs(float64(last.Area/one)-28) > 1e-6 {
		t.Errorf("%d findings, the last %+v, want %d and 28 pairs", got, last, listed+1)
	}
	bows := make([][]orb.Ring, 25)
	for i := range bows {
		x := 500 * float64(i)
		bows[i] = []orb.Ring{{{x, 0}, {x + 400, 400}, {x + 400, 0}, {x + 100, 400}, {x, 0}}}
	}
	p = prescription(t, drawn(bows...), Options{RateUnit: "lb/ac"})
	if f := finding(t, p.Findings, "rings"); f.Severity != rx.Error || !strings.HasPrefix(said(f).Text, "5 more rings") {
		t.Errorf("%+v, want 5 more", f)
	}
}

// Ground that two zones share with a third is settled pair by pair, and looked at
// again: the third's gap is seen.
func TestSettledGroundIsLookedAtAgain(t *testing.T) {
	text := drawn([]orb.Ring{rectangle(0, 0, 400, 400)}, []orb.Ring{rectangle(300, 0, 700, 400)}, []orb.Ring{rectangle(350, 0, 750, 400)}, []orb.Ring{rectangle(750.5, 0, 900, 400)})
	p := prescription(t, text, Options{RateUnit: "lb/ac", Overlap: overlapFirst})
	if got := rules(p.Findings); got != "overlap-settled note, gap warning" {
		t.Errorf("findings %q", got)
	}
	if got := fmt.Sprint(p.Findings[0].Zones); got != "[2 3]" { // each once
		t.Errorf("cut were %s", got)
	}
	var area, want float64
	for _, z := range p.Zones {
		area += float64(z.Area)
	}
	want = (750*400 + 149.5*400) / 4046.8564224
	if math.Abs(area-want) > 1e-3*want {
		t.Errorf("%v ac, want %v", area, want)
	}
}

// inParts is a zone of several parts beside another zone.
func inParts(a, b, other orb.Ring) string {
	text := drawn([]orb.Ring{a}, []orb.Ring{b}, []orb.Ring{other})
	part := strings.Split(text, `"coordinates":`)
	first, second := part[1][:strings.Index(part[1], "}")], part[2][:strings.Index(part[2], "}")]
	rest := strings.SplitN(text, ",\n", 3)[2]
	return fmt.Sprintf(`{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"R":200},"geometry":{"type":"MultiPolygon","coordinates":[%s,%s]}},%s`, first, second, rest)
}

// Parts of one zone that cover the same ground are told, and joined with --overlap;
// parts that share an edge are cut as one.
func TestPartsOfOneZone(t *testing.T) {
	const acre = 4046.8564224
	for _, c := range []struct {
		name        string
		a, b, other orb.Ring
		want        string     // without --overlap
		says        string     // of the finding
		first, last [2]float64 // square meters of the zones
		settled     string
	}{
		{"over each other", rectangle(0, 0, 400, 400), rectangle(300, 0, 700, 400), rectangle(700, 0, 900, 400), "overlap error", "two parts of zone 1 cover the same 9.8",
			[2]float64{700 * 400, 200 * 400}, [2]float64{700 * 400, 200 * 400}, "1 pair of parts of one zone overlapped and were joined; 9.8"},
		{"over each other and the other", rectangle(0, 0, 400, 400), rectangle(300, 0, 700, 400), rectangle(600, 0, 900, 400), "overlap error, overlap error", "two parts of zone 1",
			[2]float64{700 * 400, 200 * 400}, [2]float64{600 * 400, 300 * 400}, "1 pair of parts of one zone overlapped and were joined; 1 pair of zones overlapped: the ground"},
		{"side by side, under the other", rectangle(0, 0, 400, 400), rectangle(400, 0, 700, 400), rectangle(600, 0, 900, 400), "overlap error", "zones 1 and 2 cover the same 9.8",
			[2]float64{700 * 400, 200 * 400}, [2]float64{600 * 400, 300 * 400}, "1 pair of zones overlapped: the ground went to the zone that --overlap"},
	} {
		text := inParts(c.a, c.b, c.other)
		p := prescription(t, text, Options{RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != c.want || !strings.HasPrefix(said(p.Findings[0]).Text, c.says) {
			t.Errorf("%s: findings %q, the first %+v; want %q", c.name, got, p.Findings[0], c.want)
		}
		for by, want := range map[overlapChoice][2]float64{overlapFirst: c.first, overlapLast: c.last} {
			p, err := Prescription(open(t, text), Options{RateUnit: "lb/ac", Overlap: by})
			if err != nil {
				t.Errorf("%s, %s: %v", c.name, by, err)
				continue
			}
			if got := rules(p.Findings); got != "overlap-settled note" || !strings.HasPrefix(said(p.Findings[0]).Text, c.settled) {
				t.Errorf("%s, %s: findings %q: %s", c.name, by, got, said(p.Findings[0]).Text)
			}
			for i, z := range p.Zones {
				if got := float64(z.Area) * acre; math.Abs(got-want[i]) > 1e-3*want[i] {
					t.Errorf("%s, %s: zone %d has %v m², want %v", c.name, by, i+1, got, want[i])
				}
			}
		}
	}
}

// What settling leaves over is told.
func TestSettlingLooksForWhatIsLeft(t *testing.T) {
	f := open(t, drawn([]orb.Ring{rectangle(0, 0, 400, 400)}, []orb.Ring{rectangle(300, 0, 700, 400)}, []orb.Ring{rectangle(600, 0, 900, 400)}))
	p := &rx.Prescription{Drawn: &f.Layer.Shapes, LonLat: f.LonLat, Fields: make([]rx.RateField, 1)}
	if err := f.mesh(p); err != nil {
		t.Fatal(err)
	}
	pairs, total, _, err := p.Mesh.Overlaps(9)
	if err != nil || len(pairs) != 2 {
		t.Fatal(pairs, err)
	}
	if err := f.settle(p, make([]unit.DryRate, 3), pairs[:1], total, overlapFirst); err != nil {
		t.Fatal(err)
	}
	if got := rules(p.Findings); got != "overlap-settled note, overlap error" || fmt.Sprint(p.Findings[1].Zones) != "[2 3]" {
		t.Errorf("findings %q", got)
	}
}

// A shapefile that is cut at the 180° meridian is one field without a .prj as well.
func TestCutAtTheMeridianWithoutPrj(t *testing.T) {
	var shapes geo.Shapes
	for _, ring := range []orb.Ring{rectangle(179.995, 10, 180, 10.005), rectangle(-180, 10, -179.995, 10.005)} {
		ring.Reverse()
		shapes.Append(orb.MultiPolygon{{ring}})
	}
	p, err := Prescription(openFile(t, partsWith(t, &shapes, invent.FourZones().Columns()[0], 0, ""), FileOptions{}), dry)
	if err != nil {
		t.Fatal(err)
	}
	if got := rules(p.Findings); got != "no-prj note" {
		t.Errorf("findings %q", got)
	}
}

// The ground of a file is that of all its polygons, also where parts of one record
// share some: two squares of 400 m that share a quarter, and one apart.
func TestUnionOfPartsThatOverlap(t *testing.T) {
	text := drawn([]orb.Ring{rectangle(0, 0, 400, 400)}, []orb.Ring{rectangle(200, 200, 600, 600)}, []orb.Ring{rectangle(900, 0, 1000, 100)})
	f := open(t, text)
	parts := &geo.Shapes{}
	parts.Append(append(f.LonLat.Shape(0), f.LonLat.Shape(1)...))
	parts.Append(f.LonLat.Shape(2))
	f.LonLat = parts
	ground, err := f.Union()
	if err != nil {
		t.Fatal(err)
	}
	area, err := geo.AreaOf(ground)
	if want := (2*400*400 - 200*200 + 100*100) / 4046.8564224; err != nil || len(ground) != 2 || math.Abs(float64(area)-want) > 1e-3*want {
		t.Errorf("%d pieces of %v ac, want 2 of %v (%v)", len(ground), area, want, err)
	}
}

// Keep-outs, strips and logs that jump across the 180° meridian would lie around the globe: they
// are refused. One that is cut there, or counts on, is where it was drawn.
func TestNothingLiesAroundTheGlobe(t *testing.T) {
	jumps, on, cut := at180(179.995, -179.995), at180(179.995, 180.005), at180(179.995, 180)+","+at180(-180, -179.995)
	for text, want := range map[string]string{jumps: "%s 1 crosses the 180° meridian in one piece", on: "", cut: "", cut + "," + jumps: "%s 3 crosses"} {
		path := filepath.Join(t.TempDir(), "around.geojson")
		if err := os.WriteFile(path, []byte(`{"type":"FeatureCollection","features":[`+text+`]}`), 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := Open(path, FileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		_, union := f.Union()
		_, log := openLog(path, FileOptions{})
		_, _, strips := Strips(path, FileOptions{})
		for of, err := range map[string]error{"keep-out": union, "polygon": f.OnOneSide("polygon"), "swath": log, "strip": strips} {
			told := err != nil && strings.Contains(err.Error(), "180° meridian")
			if told != (want != "") || told && !strings.Contains(err.Error(), strings.Replace(want, "%s", of, 1)) {
				t.Errorf("%s: %v, want %q", of, err, want)
			}
		}
	}
}

// A keep-out that crosses itself is called by what it is, and a file without any keeps nothing out.
func TestNoKeepOut(t *testing.T) {
	for text, want := range map[string]string{
		`{"type":"Polygon","coordinates":[[[-93,42],[-92.99,42.01],[-92.99,42],[-93,42.01],[-93,42]]]}`: "keep-out 1",
		`{"type":"FeatureCollection","features":[]}`:                                                    "holds no polygon",
		`{"type":"Feature","properties":{},"geometry":null}`:                                            "holds no polygon",
	} {
		f, err := Open(fileOf(t, "kept.geojson", text), FileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if _, err := f.Union(); err == nil || !strings.Contains(err.Error(), want) || strings.Contains(err.Error(), "zone") {
			t.Errorf("%v, want %s", err, want)
		}
	}
}

// TestBorderWithoutSharedCorners: two zones meet a third one along its edge of 790 m, where
// their corner lies 1e-7 degrees, 11 mm, beside it, as a line that was straight in another
// system: the hint says that so little is no zone that was drawn twice.
func TestBorderWithoutSharedCorners(t *testing.T) {
	ring := func(points string) string {
		return `{"type":"Feature","properties":{"R":200},"geometry":{"type":"Polygon","coordinates":[[` + points + `]]}}`
	}
	const why = "do not share their corners"
	for _, c := range []struct {
		corner string // latitude
		little bool
	}{{"44.9999999", true}, {"44.999", false}} {
		middle := "[-93.995," + c.corner + "]"
		text := `{"type":"FeatureCollection","features":[` +
			ring("[-94,45],"+middle+",[-93.995,45.005],[-94,45.005],[-94,45]") + "," +
			ring(middle+",[-93.99,45],[-93.99,45.005],[-93.995,45.005],"+middle) + "," +
			ring("[-94,44.995],[-93.99,44.995],[-93.99,45],[-94,45],[-94,44.995]") + "]}"
		p := prescription(t, text, Options{RateUnit: "lb/ac"})
		if got := rules(p.Findings); got != "overlap error, overlap error" {
			t.Errorf("corner at %s: findings %q", c.corner, got)
			continue
		}
		if got := said(p.Findings[0]).Hint; strings.Contains(got, why) != c.little {
			t.Errorf("corner at %s: hint %q", c.corner, got)
		}
	}
}
