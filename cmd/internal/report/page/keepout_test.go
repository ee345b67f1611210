package page

import (
	"bytes"
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/geo"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// withKeepOut is a field of four zones, the second of which has a keep-out over its
// northern half; way is empty for a check.
func withKeepOut(t testing.TB, way rx.WayName, grounds ...rxtest.Ground) (report.Result, orb.MultiPolygon) {
	t.Helper()
	p := rxtest.Read(t, rxtest.Strip(grounds...))
	keepOut := rxtest.NorthHalf(p, 1)
	r := reporttest.PlanFor(t, p, rxtest.Terms(rxtest.Label(t, "")), "")
	ground, found := split.For(p, r.Assessment, keepOut).KeepOut()
	r.KeptOut, r.KeepOut = ground, found
	if way == "" {
		r.Findings = append(r.Findings, *found)
		return r, keepOut
	}
	plan, err := split.For(p, r.Assessment, keepOut).Plan(way)
	if err != nil {
		t.Fatal(err)
	}
	r.Plan, r.KeepOut, r.Findings = plan, plan.KeepOut, append(r.Findings, plan.Findings...)
	return r, keepOut
}

// mapOf returns the figure of one map of a page.
func mapOf(t testing.TB, page []byte, id string) string {
	t.Helper()
	m := regexp.MustCompile(`(?s)<figure class="map(?: plain)?" id="` + id + `">.*?</figure>`).Find(page)
	if m == nil {
		t.Fatalf("no map %s", id)
	}
	return again.ReplaceAllStringFunc(string(m), func(use string) string { return grouped(t, string(page), again.FindStringSubmatch(use)[1]) })
}

// again is where a figure shows what stands elsewhere on the page.
var again = regexp.MustCompile(`<use href="#(map-[^"]*)"/>`)

// grouped returns the group of an id.
func grouped(t testing.TB, page, id string) string {
	t.Helper()
	_, rest, ok := strings.Cut(page, `<g id="`+id+`">`)
	if !ok {
		t.Fatalf("no group %s", id)
	}
	for depth, at := 1, 0; ; {
		open, end := strings.Index(rest[at:], "<g"), strings.Index(rest[at:], "</g>")
		if open >= 0 && open < end {
			depth, at = depth+1, at+open+2
			continue
		}
		if depth--; depth == 0 {
			return rest[:at+end]
		}
		at += end + 4
	}
}

// enclosed returns what a path of straight moves encloses, holes less, in square
// tenths of a pixel.
func enclosed(t testing.TB, path string) (area float64) {
	t.Helper()
	var at, start [2]int
	step := func(dx, dy int) {
		next := [2]int{at[0] + dx, at[1] + dy}
		area += float64(at[0]*next[1]-next[0]*at[1]) / 2
		at = next
	}
	for _, m := range regexp.MustCompile(`([Mlhvz])(-?\d+)?(?: ?(-?\d+))?`).FindAllStringSubmatch(path, -1) {
		a, _ := strconv.Atoi(m[2])
		b, _ := strconv.Atoi(m[3])
		switch m[1] {
		case "M":
			at, start = [2]int{a, b}, [2]int{a, b}
		case "l":
			step(a, b)
		case "h":
			step(a, 0)
		case "v":
			step(0, a)
		case "z":
			step(start[0]-at[0], start[1]-at[1])
		}
	}
	return math.Abs(area)
}

// TestKeepOutsAreDrawn holds the drawn ground against the acres of the keep-out, and
// these against the legend: where the layer leaves it off, and as an outline where
// dry is spread.
func TestKeepOutsAreDrawn(t *testing.T) {
	r, keepOut := withKeepOut(t, rx.WetBoom, rxtest.FourGrounds()...)
	acres, err := geo.AreaOf(keepOut)
	if err != nil {
		t.Fatal(err)
	}
	page := pageOf(t, r)
	meters, _ := svg.NewDrawer(groundOf(r.Prescription)).Simplified() // by 3 tenths of a pixel
	perAcre := 4046.8564224 * 3 / meters * 3 / meters
	for _, test := range []struct{ id, path, legend string }{
		{"map-layer-liquid", `<path class="z cut" role="img" fill="url\(#ink-keep-out\)" d="([^"]*)"><title>Keep-out: 30\.00 ac in all get dry but no stabilizer</title>`, "keep-out (no liquid)"},
		{"map-dry", `<g class="kept"><path d="[^"]*"/><path class="dash" d="([^"]*)"/></g>`, "keep-out (part of the above)"},
	} {
		figure := mapOf(t, page, test.id)
		m := regexp.MustCompile(test.path).FindStringSubmatch(figure)
		if m == nil {
			t.Errorf("%s: no keep-out is drawn", test.id)
			continue
		}
		// The field is 17 px high: a pixel of simplification along the border of the
		// keep-out would be a tenth of it.
		if got := enclosed(t, m[1]) / perAcre; math.Abs(got-float64(acres)) > 0.02*float64(acres) {
			t.Errorf("%s: %.2f ac are drawn as keep-out, want %.2f", test.id, got, acres)
		}
		row := fmt.Sprintf(`%s</th><td class="num">%.2f ac</td><td class="num">1 place</td>`, test.legend, acres)
		if !strings.Contains(figure, row) {
			t.Errorf("%s: the legend has no %q", test.id, row)
		}
		if !strings.Contains(figure, fmt.Sprintf("; %s: %.2f ac.</desc>", test.legend, acres)) {
			t.Errorf("%s: the description says nothing of the keep-out", test.id)
		}
	}
	if n := bytes.Count(page, []byte(`id="ink-keep-out"`)); n != 1 {
		t.Errorf("the pattern is defined %d times", n)
	}
	for name, test := range map[string]struct{ got, want string }{
		"cut":     {planTip(r, figures.In(r.Units), 1), "stabilizer 30.0 fl oz/ac by the plan, on 30.00 ac of it, the rest lies in the keep-outs"},
		"not cut": {planTip(r, figures.In(r.Units), 0), "stabilizer 30.0 fl oz/ac by the plan"},
		"joined":  {joinedPlanTip(r, figures.In(r.Units), []int{0, 1, 2}, "joined"), "stabilizer 30.0 fl oz/ac by the plan, on 115.00 ac of it, the rest lies in the keep-outs, within the label"},
	} {
		if !strings.HasSuffix(test.got, test.want) {
			t.Errorf("a zone that is %s: %q, want %q", name, test.got, test.want)
		}
	}
}

// TestZonesThatAreAllKeepOut: their acres are those of the keep-out, not those
// without dry.
func TestZonesThatAreAllKeepOut(t *testing.T) {
	r, _ := withKeepOut(t, rx.WetBoom, rxtest.FourGrounds()...)
	keepOut := r.Prescription.LonLat.Shape(1)
	ground, _ := split.For(r.Prescription, r.Assessment, keepOut).KeepOut()
	plan, err := split.For(r.Prescription, r.Assessment, keepOut).Plan(rx.WetBoom)
	if err != nil {
		t.Fatal(err)
	}
	r.Plan, r.KeptOut, r.KeepOut, r.Findings = plan, ground, plan.KeepOut, plan.Findings
	figure := mapOf(t, pageOf(t, r), "map-layer-liquid")
	for _, want := range []string{
		`> 30</th><td class="num" data-key="layers.liquid.area" data-value="` + strconv.FormatFloat(float64(plan.Layers[1].Area), 'g', -1, 64) + `">100.00 ac</td><td class="num">3 zones</td>`,
		`keep-out (no liquid)</th><td class="num">60.00 ac</td>`,
	} {
		if !strings.Contains(figure, want) {
			t.Errorf("the map has no %q", want)
		}
	}
	if !bytes.Contains(pageOf(t, r), []byte("; by the plan 0.0 fl oz/ac, as it lies in the keep-outs<")) {
		t.Error("no zone of the map lies in keep-outs")
	}
	if strings.Contains(figure, "> no liquid</th>") {
		t.Error("the keep-out's acres stand twice")
	}
}

// A map of one rate is left off the paper, where tables have its acres; not if it is the one that
// shows where the boom shuts off.
func TestKeepOutsAndStripsArePrinted(t *testing.T) {
	kept, _ := withKeepOut(t, rx.WetBoom, rxtest.FourGrounds()...)
	terms := rxtest.Terms(rxtest.Label(t, ""))
	terms.Strips = rx.StripsAsked{Count: 4, Seed: 1}
	var err error
	if terms.Job, err = equip.ParseJob("job", []byte(`boom: {width: 70 ft, spacing: 20 in, volume: 10 gal/ac, tank: 500 gal, nozzles: ["05"], pressure: {min: 20 psi, max: 70 psi}, speed: {low: 11 mph, usual: 15 mph, high: 18 mph}}`)); err != nil {
		t.Fatal(err)
	}
	field := reporttest.Contours(t)
	for name, c := range map[string]struct {
		r     report.Result
		class string
	}{
		"keep-outs": {kept, "map"},
		"strips":    {reporttest.PlanFor(t, rxtest.Read(t, field), terms, rx.WetBoom), "map"},
		"neither":   {reporttest.Plan(t, field, rx.WetBoom), "map plain"},
	} {
		if want := `<figure class="` + c.class + `" id="map-layer-liquid">`; !bytes.Contains(pageOf(t, c.r), []byte(want)) {
			t.Errorf("%s: no %s", name, want)
		}
	}
}

func TestKeepOutsOfACheckAreOutlined(t *testing.T) {
	r, _ := withKeepOut(t, "", rxtest.FourGrounds()...)
	figure := mapOf(t, pageOf(t, r), "map-dry")
	if !strings.Contains(figure, `class="dash"`) || !strings.Contains(figure, "nothing that is impregnated may land there") {
		t.Error("the keep-out is not outlined, or the note does not speak of it")
	}
}

func TestKeepOutsThatTouchNothingAreNotDrawn(t *testing.T) {
	for name, r := range map[string]report.Result{
		"on ground without dry": func() report.Result {
			r, _ := withKeepOut(t, rx.WetBoom, rxtest.Ground{Acres: 40, Rate: 100}, rxtest.Ground{Acres: 60}, rxtest.Ground{Acres: 45, Rate: 250})
			return r
		}(),
		"none": reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom),
	} {
		page := pageOf(t, r)
		for _, bad := range []string{`class="dash"`, `class="z cut"`, "keep-out ("} {
			if bytes.Contains(page[bytes.Index(page, []byte("<body")):], []byte(bad)) {
				t.Errorf("%s: the page has %q", name, bad)
			}
		}
	}
}
