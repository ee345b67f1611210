package page

import (
	"context"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
	"github.com/chromedp/chromedp/kb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/internal/oracle/browser"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// open shows a page; each in a document of its own, so that addresses act.
func open(t *testing.T, tab context.Context, r report.Result, address string) {
	t.Helper()
	if _, err := chromedp.Call(tab, emulation.SetFocusEmulationEnabled, emulation.SetFocusEmulationEnabledParams{Enabled: true}); err != nil {
		t.Fatal(err)
	}
	browser.Do(t, tab, chromedp.Navigate("about:blank"), chromedp.Navigate(onDisk(t, pageOf(t, r))+address))
}

// opensWithDecisionAndMap: decision and map share the first screen, side by side where it is
// wide; at 200 % a screen of 1400 px is one of 700.
func opensWithDecisionAndMap(t *testing.T, tab context.Context) {
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Refit} {
		r := reporttest.Plan(t, reporttest.Contours(t), way)
		for _, size := range [][2]int64{{1400, 900}, {800, 1000}, {700, 900}, {390, 844}} {
			browser.Do(t, tab, chromedp.EmulateViewport(size[0], size[1]))
			open(t, tab, r, "")
			for _, color := range []string{"light", "dark"} {
				browser.Scheme(t, tab, color)
				got := browser.Evaluate[[]float64](t, tab, `(() => { const d = document.getElementById("decision").getBoundingClientRect(), m = document.getElementById("field").getBoundingClientRect();
					return [d.bottom, m.top, m.left - d.right, document.getElementById("field").querySelectorAll("path").length]; })()`)
				if got[0] > float64(size[1]) || got[1] > 0.62*float64(size[1]) || got[3] < 60 {
					t.Errorf("way %q, %d px, %s: the decision ends at %.0f, the map begins at %.0f with %.0f paths", way, size[0], color, got[0], got[1], got[3])
				}
				if size[0] == 1400 && got[2] < 0 {
					t.Errorf("way %q: decision and map are not side by side", way)
				}
			}
		}
	}
	browser.Scheme(t, tab, "light")
}

const chosenNow = `[document.querySelector("#map .readout").textContent, location.hash, document.querySelector("#zones-table tr.chosen")?.cells[0].textContent ?? "", "" + document.querySelectorAll("#picked > *").length]`

// linksZoneRowAndFinding chooses a zone by the mailed address, on the map, by its row and by a
// finding: each shows in all places.
func linksZoneRowAndFinding(t *testing.T, tab context.Context) {
	r := reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom)
	browser.Do(t, tab, chromedp.EmulateViewport(1400, 900))
	open(t, tab, r, "#zone=47")
	check := func(how, zone string) {
		t.Helper()
		got := browser.Evaluate[[]string](t, tab, chosenNow)
		if !strings.HasPrefix(got[0], "Zone "+zone+":") || got[1] != "#zone="+zone || got[2] != zone || got[3] != "1" {
			t.Errorf("%s: %q, want zone %s everywhere", how, got, zone)
		}
	}
	check("address", "47")
	browser.Evaluate[bool](t, tab, `document.querySelector("#z10").dispatchEvent(new MouseEvent("click", {bubbles: true})); true`)
	check("map", "10")
	if n := browser.Evaluate[int](t, tab, `document.querySelectorAll("#findings ~ .scroll tr.chosen").length`); n == 0 {
		t.Error("no finding about zone 10 is marked") // it is below the label
	}
	browser.Evaluate[bool](t, tab, `[...document.querySelectorAll("#zones-table tbody tr")].find(r => r.cells[0].textContent == "5").click(); true`)
	check("row", "5")
	marked := browser.Evaluate[[]int](t, tab, `(() => { const cell = [...document.querySelectorAll("#off-label ~ .scroll [data-zones]")].find(c => c.dataset.zones.includes(" "));
		cell.querySelector("button").click(); return [cell.dataset.zones.split(" ").length, document.querySelectorAll("#picked > use").length]; })()`)
	if marked[0] < 2 || marked[0] != marked[1] {
		t.Errorf("a patch of %d zones marks %d", marked[0], marked[1])
	}
}

// showsItsViews presses each button: the zones are filled as the legend says, and dry rates
// have one color everywhere.
func showsItsViews(t *testing.T, tab context.Context) {
	r := reporttest.Plan(t, reporttest.Contours(t), rx.Refit)
	browser.Do(t, tab, chromedp.EmulateViewport(1400, 900))
	open(t, tab, r, "")
	views := browser.Evaluate[[]string](t, tab, `[...document.querySelectorAll(".views button")].map(b => b.dataset.view)`)
	if want := "map-dry map-verdict map-ground map-change map-layer-dry"; !strings.HasPrefix(strings.Join(views, " "), want) {
		t.Errorf("views %q, want %s", views, want)
	}
	list := themes(r, figures.In(r.Units))
	for k, view := range views {
		got := browser.Evaluate[[]string](t, tab, fmt.Sprintf(`(() => { document.querySelector('.views button[data-view="%s"]').click();
			return [[...document.querySelectorAll(".field .legend:not([hidden])")].map(l => l.dataset.view).join(), ...[...document.querySelectorAll("#zones > g")].map(g => g.getAttribute("fill"))]; })()`, view))
		if got[0] != view {
			t.Errorf("%s: the legend of %q is shown", view, got[0])
		}
		for i, fill := range got[1:] {
			if want := list[k].Fills[list[k].Class[i]]; fill != want {
				t.Errorf("%s: zone %d is filled %s, want %s", view, i+1, fill, want)
				break
			}
		}
	}
	colors := map[string]string{}
	for _, theme := range list {
		if theme.ID != "map-dry" && !strings.HasPrefix(theme.ID, "map-layer-dry") {
			continue
		}
		for _, c := range theme.classes {
			if other, ok := colors[c.Text]; ok && other != c.Fill {
				t.Errorf("%s has two colors", c.Text)
			}
			colors[c.Text] = c.Fill
		}
	}
}

// goesByKeysAndCloser: an arrow key goes to a zone on that side; wheel, buttons and double tap
// change what the frame holds.
func goesByKeysAndCloser(t *testing.T, tab context.Context) {
	r := reporttest.Plan(t, reporttest.Contours(t), "")
	drawer := svg.NewDrawer(groundOf(r.Prescription))
	browser.Do(t, tab, chromedp.EmulateViewport(1400, 900))
	open(t, tab, r, "#zone=10")
	at := func() (zone int) {
		zone, _ = strconv.Atoi(strings.TrimPrefix(browser.Evaluate[string](t, tab, `location.hash`), "#zone="))
		return zone
	}
	browser.Evaluate[bool](t, tab, `document.querySelector("#z10").focus(); true`)
	moves := 0
	for _, c := range []struct {
		key    string
		dx, dy float64
	}{{kb.ArrowRight, 1, 0}, {kb.ArrowDown, 0, 1}, {kb.ArrowLeft, -1, 0}, {kb.ArrowUp, 0, -1}} {
		before := at()
		browser.Do(t, tab, chromedp.KeyEvent(c.key))
		after := at()
		a, b := drawer.Spot(zoneAt(r.Prescription, before)), drawer.Spot(zoneAt(r.Prescription, after))
		if along := (b[0]-a[0])*c.dx + (b[1]-a[1])*c.dy; before != after && along <= 0 {
			t.Errorf("key %q goes from zone %d to %d", c.key, before, after)
		}
		if before != after {
			moves++
		}
	}
	if moves < 3 {
		t.Errorf("%d of 4 arrow keys go anywhere", moves)
	}
	if stops := browser.Evaluate[int](t, tab, `document.querySelectorAll("#field [tabindex='0']").length`); stops != 1 {
		t.Errorf("%d stops of the tab key on the map, want 1", stops)
	}
	wide := func(script string) float64 {
		return browser.Evaluate[float64](t, tab, script+`; document.getElementById("field").viewBox.baseVal.width`)
	}
	full := wide(`0`)
	for _, c := range []struct {
		name, script string
		closer       bool
	}{
		{"wheel", `document.getElementById("field").dispatchEvent(new WheelEvent("wheel", {deltaY: -300, clientX: 900, clientY: 400, bubbles: true, cancelable: true}))`, true},
		{"double tap", `document.getElementById("field").dispatchEvent(new MouseEvent("dblclick", {bubbles: true}))`, false},
		{"button", `document.querySelector(".zoom-in").click()`, true},
		{"whole field", `document.querySelector(".zoom-fit").click()`, false},
		{"pinch", `(() => { const f = document.getElementById("field"), go = (type, id, x) => f.dispatchEvent(new PointerEvent(type, {pointerId: id, pointerType: "touch", clientX: x, clientY: 400, bubbles: true}));
			go("pointerdown", 1, 850); go("pointerdown", 2, 950); go("pointermove", 2, 1050); go("pointerup", 1, 850); go("pointerup", 2, 1050); })()`, true},
	} {
		if got := wide(c.script); (got < 0.99*full) != c.closer {
			t.Errorf("%s: the frame holds %.0f of %.0f", c.name, got, full)
		}
	}
}

// triesLoadings sets ten loadings, by figures and by keys: the acres are those of a check with
// that loading given.
func triesLoadings(t *testing.T, tab context.Context) {
	for _, s := range []unit.System{unit.US, unit.Metric} {
		terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
		terms.Units = s
		p := rxtest.Read(t, reporttest.Contours(t))
		browser.Do(t, tab, chromedp.EmulateViewport(1400, 900))
		open(t, tab, reporttest.PlanFor(t, p, terms, ""), "")
		for k := range 10 {
			value := math.Round(unit.Loading(150 + 50*float64(k)).In(s))
			enterLoading(t, tab, value)
			compareTried(t, tab, p, terms, value)
		}
		if s == unit.US { // which is above the label's 40, and doesn't read as 40.0
			_, high, _ := p.CarrierRange()
			said := browser.Evaluate[string](t, tab, fmt.Sprintf(`(() => { const n = document.getElementById("explore-number"); n.value = %g; n.dispatchEvent(new Event("change")); return document.getElementById("explore-said").textContent; })()`, 40.03*2000/high.In(s)))
			if !strings.Contains(said, "the highest 40.03;") {
				t.Errorf("a highest rate of 40.03: %s", said)
			}
		}
		before := browser.Evaluate[float64](t, tab, `(() => { document.getElementById("explore-range").focus(); return +document.getElementById("explore-number").value; })()`)
		browser.Do(t, tab, chromedp.KeyEvent(kb.ArrowLeft))
		after := browser.Evaluate[float64](t, tab, `+document.getElementById("explore-number").value`)
		if after != before-1 {
			t.Errorf("the arrow key goes from %g to %g", before, after)
		}
		compareTried(t, tab, p, terms, after)
		had := terms // every other zone has had 50, which leaves 30
		had.Already, had.AlreadyApplied = make([]unit.LiquidRate, len(p.Zones)), 50
		for i := range had.Already {
			had.Already[i] = unit.LiquidRate(50 * (i % 2))
		}
		open(t, tab, reporttest.PlanFor(t, p, had, ""), "")
		value := math.Round(unit.Loading(320).In(s))
		enterLoading(t, tab, value)
		compareTried(t, tab, p, had, value)
		open(t, tab, reporttest.PlanFor(t, p, terms, ""), "")
		dragged := browser.Evaluate[float64](t, tab, `(() => { const c = document.getElementById("explore-curve"), b = c.getBoundingClientRect();
			c.dispatchEvent(new PointerEvent("pointerdown", {clientX: b.left + b.width / 2, clientY: b.top + 9, bubbles: true})); return +document.getElementById("explore-number").value; })()`)
		if dragged == after {
			t.Error("dragging changes nothing")
		}
	}
}

// enterLoading enters a loading as a figure.
func enterLoading(t *testing.T, tab context.Context, value float64) {
	t.Helper()
	browser.Evaluate[bool](t, tab, fmt.Sprintf(`(() => { const n = document.getElementById("explore-number"); n.value = %g; n.dispatchEvent(new Event("change")); return true; })()`, value))
}

// Of more zones than the page lists, ground of one rate that has had as much is one.
func TestRatesOfManyZones(t *testing.T) {
	const n = mostZones + 500
	var grounds []rxtest.Ground
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 80 fl oz/ac\n"))
	for i := range n {
		grounds = append(grounds, rxtest.Ground{Acres: 1, Rate: unit.DryRate(100 + 100*(i%2))})
		terms.Already = append(terms.Already, unit.LiquidRate(i/2%2*60))
	}
	terms.AlreadyApplied = 60
	dye := rx.JobLiquid{Name: "dye", Loading: 100, On: equip.OnBlend, Label: rxtest.Profile(t, "name: Dye\nrate: {min: 3 fl oz/ac, max: 12 fl oz/ac}\nseason-max: 16 fl oz/ac\n"), AlreadyApplied: 8}
	for i := range n { // of the ground that has had 60, half has had 8
		dye.Already = append(dye.Already, unit.LiquidRate(i/2%2*i/4%2*8))
	}
	terms.Further = []rx.JobLiquid{{Name: "oil", Loading: 50, On: equip.OnBlend}, dye}
	p := rxtest.Plain(grounds...)
	r := report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms)}
	rate, area, had := rates(r)
	if fmt.Sprint(area) != "[1250 1250 1250 1250]" || fmt.Sprint(had) != "[[0 fl oz/ac 60 fl oz/ac 0 fl oz/ac 60 fl oz/ac] [0 fl oz/ac 4 fl oz/ac 0 fl oz/ac 4 fl oz/ac]]" || rate[0] != rate[1] || rate[1] == rate[2] {
		t.Errorf("rates %v, areas %v, had %v", rate, area, had)
	}
	if got := liquids(r, had); len(got) != 2 || fmt.Sprint(got[0].Seasons, got[1].Seasons) != "[80 20 80 20] [16 12 16 12]" {
		t.Errorf("the season leaves %v", got)
	}
}

// A further liquid has a season of its own: what its label leaves beside what lies there, on
// the field or zone by zone.
func TestSeasonOfAFurtherLiquid(t *testing.T) {
	terms := rxtest.Terms(rxtest.Label(t, ""))
	p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 150}, rxtest.Ground{Acres: 20, Rate: 200})
	dye := rx.JobLiquid{Name: "dye", Loading: 100, On: equip.OnBlend, Label: rxtest.Profile(t, "name: Dye\nrate: {min: 3 fl oz/ac, max: 12 fl oz/ac}\nseason-max: 16 fl oz/ac\n"), AlreadyApplied: 7}
	for want, already := range map[string][]unit.LiquidRate{"9 []": nil, "9 [16 9]": {0, 7}} {
		dye.Already = already
		terms.Further = []rx.JobLiquid{dye}
		r := report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms)}
		_, _, had := rates(r)
		if got := liquids(r, had)[1]; fmt.Sprint(got.Season, got.Seasons) != want {
			t.Errorf("%v already: the season leaves %v %v, want %s", already, got.Season, got.Seasons, want)
		}
	}
}

// compareTried holds the acres and the map of a loading that is set against a check.
func compareTried(t *testing.T, tab context.Context, p *rx.Prescription, terms rx.Terms, value float64) {
	t.Helper()
	terms.Loading = unit.Loading(value / unit.Loading(1).In(terms.Units))
	r := reporttest.PlanFor(t, p, terms, "")
	got := browser.Evaluate[map[string]string](t, tab, `Object.fromEntries([...document.querySelectorAll("[data-tried]")].map(e => [e.dataset.tried, e.textContent]))`)
	for _, v := range []rx.Verdict{rx.Below, rx.Within, rx.Above} {
		area, _ := verdictGround(r.Assessment, v)
		if want := figures.In(r.Units).Area(area) + " " + unit.Symbol[unit.Area](r.Units); got[v.String()] != want {
			t.Errorf("at %g: %s %s, want %s", value, got[v.String()], v, want)
		}
	}
	fills := browser.Evaluate[[]string](t, tab, `[...document.querySelectorAll("#zones > g")].map(g => g.getAttribute("fill"))`)
	for i, fill := range fills {
		want := verdictFill(r.Assessment.Verdicts[i])
		if r.Assessment.OffBySeason(i) {
			want = svg.Season.Fill()
		}
		if fill != want {
			t.Errorf("at %g: zone %d is filled %s, want %s", value, i+1, fill, want)
			return
		}
	}
}

// isWholeWithoutAScript: tables and printed maps are there.
func isWholeWithoutAScript(t *testing.T, tab context.Context) {
	if _, err := chromedp.Call(tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{Value: true}); err != nil {
		t.Fatal(err)
	}
	r := reporttest.Plan(t, reporttest.Contours(t), rx.Loads)
	open(t, tab, r, "")
	if _, err := chromedp.Call(tab, emulation.SetScriptExecutionDisabled, emulation.SetScriptExecutionDisabledParams{}); err != nil {
		t.Fatal(err)
	}
	got := browser.Evaluate[[]int](t, tab, `[[...document.querySelectorAll("figure.map > svg")].filter(e => e.getBoundingClientRect().height > 100).length, document.querySelectorAll("#zones-table tbody tr").length,
		[...document.querySelectorAll("button")].filter(e => e.getClientRects().length).length, document.querySelectorAll(".card").length, document.getElementById("explore").getClientRects().length]`)
	if want := []int{len(themes(r, figures.In(r.Units))), len(r.Prescription.Zones), 0, 5, 0}; fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("maps, rows, buttons, cards, explorer: %v, want %v", got, want)
	}
}

func sortsAndFilters(t *testing.T, tab context.Context) {
	r := reporttest.Plan(t, reporttest.Contours(t), rx.WetBoom)
	browser.Do(t, tab, chromedp.EmulateViewport(1400, 900))
	open(t, tab, r, "")
	areas := browser.Evaluate[[]float64](t, tab, `(() => { document.querySelectorAll("#zones-table th button")[1].click(); return [...document.querySelectorAll("#zones-table tbody tr")].map(r => parseFloat(r.cells[1].textContent)); })()`)
	for i := 1; i < len(areas); i++ {
		if areas[i] < areas[i-1] {
			t.Fatalf("row %d has %g after %g", i+1, areas[i], areas[i-1])
		}
	}
	if len(areas) != len(r.Prescription.Zones) {
		t.Errorf("%d rows", len(areas))
	}
	shown := browser.Evaluate[int](t, tab, `(() => { const f = document.getElementById("zones-filter"); f.value = "below"; f.dispatchEvent(new Event("input")); return [...document.querySelectorAll("#zones-table tbody tr")].filter(r => !r.hidden).length; })()`)
	if want := r.Assessment.Shares[rx.Below].Zones; shown != want || want == 0 {
		t.Errorf("%d rows are below, want %d", shown, want)
	}
}

// findsTheZoneAmongJoinedShapes clicks on cells of a grid: each is the one that is told.
func findsTheZoneAmongJoinedShapes(t *testing.T, tab context.Context) {
	r := reporttest.Plan(t, reporttest.Grid(t, joinedCells, 12), rx.WetBoom)
	drawer := svg.NewDrawer(groundOf(r.Prescription))
	browser.Do(t, tab, chromedp.EmulateViewport(1400, 900))
	open(t, tab, r, "")
	const at = `(() => { const svg = document.getElementById("field"); svg.scrollIntoView({block: "center"});
		const p = new DOMPoint(%g, %g).matrixTransform(svg.getScreenCTM()), e = document.elementFromPoint(p.x, p.y);
		e.dispatchEvent(new MouseEvent("click", {clientX: p.x, clientY: p.y, bubbles: true})); return document.querySelector("#map .readout").textContent; })()`
	for i := 7; i < len(r.Prescription.Zones); i += 71 {
		p := drawer.Spot(i)
		text := browser.Evaluate[string](t, tab, fmt.Sprintf(at, p[0], p[1]))
		want := fmt.Sprintf("Zone %d:", r.Prescription.Zones[i].Number())
		if !strings.HasPrefix(text, want) || !strings.Contains(text, report.OffWord(r.Assessment, i)) {
			t.Errorf("at %s there stands %q", want, text)
		}
	}
}

// paintsSoon measures pages of many cells on a slowed processor, where RXSPLIT_LATENCY asks for
// it.
func paintsSoon(t *testing.T, tab context.Context) {
	if os.Getenv("RXSPLIT_LATENCY") == "" {
		t.Skip("measured where RXSPLIT_LATENCY is set")
	}
	for _, cells := range []int{60, mostZones, 200_000} {
		r := reporttest.Plan(t, reporttest.Contours(t), rx.Loads)
		if cells > 60 {
			r = reporttest.Plan(t, reporttest.Grid(t, cells, 12), rx.Loads)
		}
		page := pageOf(t, r)
		if _, err := chromedp.Call(tab, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 4}); err != nil {
			t.Fatal(err)
		}
		browser.Do(t, tab, chromedp.Navigate("about:blank"), chromedp.Navigate(onDisk(t, page)))
		const painted = `performance.getEntriesByName("first-contentful-paint")[0]`
		browser.Until(t, tab, painted)
		first := browser.Evaluate[float64](t, tab, painted+`.startTime`)
		if _, err := chromedp.Call(tab, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 1}); err != nil {
			t.Fatal(err)
		}
		t.Logf("%d cells: %d bytes, first paint after %.0f ms at a quarter of the speed", cells, len(page), first)
		if len(page) > mostOf(cells) || first > 2000 {
			t.Errorf("%d cells: %d bytes, first paint after %.0f ms", cells, len(page), first)
		}
	}
}
