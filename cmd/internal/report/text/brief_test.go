package text

import (
	"fmt"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/rxtest"
)

// briefOf prints a check on one look, and returns its lines.
func briefOf(t *testing.T, r report.Result) []string {
	t.Helper()
	var b strings.Builder
	if err := Brief(&b, r); err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
}

// A check is seen on one look: 24 lines of 80 columns, whatever the field, in either
// system of units, with the command at the end.
func TestBriefIsOneLook(t *testing.T) {
	clean := rxtest.Strip(rxtest.Ground{Acres: 20, Rate: 170}, rxtest.Ground{Acres: 30, Rate: 200})
	for name, layer := range map[string]*invent.Layer{"demo": reporttest.Contours(t), "grid": reporttest.Grid(t, 5000, 20), "clean": clean} {
		for _, s := range []unit.System{unit.US, unit.Metric} {
			r := reporttest.Plan(t, layer, "")
			r.Units, r.Assessment.Terms.Units = s, s
			r.Command = "a-folder-with-a-name/and-a-file-with-a-long-name.zip --job a-folder-with-a-name/job.yaml"
			lines := briefOf(t, r)
			if len(lines) > briefLines {
				t.Errorf("%s, %s: %d lines", name, s, len(lines))
			}
			for _, line := range lines {
				if width(line) > lineWidth {
					t.Errorf("%s, %s: %d columns: %s", name, s, width(line), line)
				}
			}
			if last := lines[len(lines)-1]; !strings.HasSuffix(last, fmt.Sprintf("--way %s --out DIR", r.Ways[0].Name)) {
				t.Errorf("%s, %s: the last line is %q", name, s, last)
			}
			if patches := check.Patches(r.Prescription, r.Assessment); name == "clean" && len(patches) > 0 || name != "clean" && len(patches) == 0 {
				t.Errorf("%s: %d patches", name, len(patches))
			}
			if impregnate := r.Decide().Impregnate; impregnate != (name == "clean") || strings.HasPrefix(lines[0], "Do not impregnate this as one blend at ") == impregnate {
				t.Errorf("%s: impregnate %v, and the first line is %q", name, impregnate, lines[0])
			}
		}
	}
}

// Errors are never cut; what else has no room is counted, and shown in full.
func TestBriefCutsNoError(t *testing.T) {
	r := reporttest.Plan(t, reporttest.Contours(t), "")
	conflict := rx.NewRule[struct {
		Materials     []string
		Known, Remedy string
	}]("compatible", rx.AboutEquipment, rx.EveryPlan)
	for i := range 12 {
		data := struct {
			Materials     []string
			Known, Remedy string
		}{[]string{fmt.Sprintf("material %d", i)}, strings.Repeat("known ", 30), ""}
		severity := rx.Warning
		if i%2 == 0 {
			severity = rx.Error
		}
		r.Findings = append(r.Findings, conflict.Find(severity, data))
	}
	lines := briefOf(t, r)
	all := strings.Join(strings.Fields(strings.Join(lines, " ")), " ")
	if got := strings.Count(all, strings.TrimSpace(strings.Repeat("known ", 30))); got != 6 {
		t.Errorf("%d of 6 errors are told whole:\n%s", got, strings.Join(lines, "\n"))
	}
	if !strings.Contains(all, " more: --full") {
		t.Errorf("nothing is counted:\n%s", strings.Join(lines, "\n"))
	}
}

// What is in doubt is told with what mends it, on the one look: whole where there is room,
// the first on a line at least, and no other finding gives way to a hint.
func TestBriefSaysHowToMend(t *testing.T) {
	doubt := rx.NewRule[rx.Nothing]("area-differs/of others", rx.AboutFile, rx.EveryPlan).InDoubt()
	small := rxtest.Strip(rxtest.Ground{Acres: 20, Rate: 170}, rxtest.Ground{Acres: 30, Rate: 200})
	for name, c := range map[string]struct {
		layer         *invent.Layer
		doubts, hints int
	}{
		"room for one":  {reporttest.Contours(t), 1, 1},
		"room for none": {reporttest.Contours(t), 4, 1},
		"room for all":  {small, 3, 3},
		"room for some": {small, 4, 2},
		"no doubt":      {small, 0, 0},
	} {
		r := reporttest.Plan(t, c.layer, "")
		for range c.doubts {
			r.Findings = append(r.Findings, doubt.Find(rx.Warning, rx.Nothing{}))
		}
		lines := briefOf(t, r)
		all := strings.Join(lines, "\n")
		if got := strings.Count(all, "-> compare with the file that it was exported with"); got != c.hints {
			t.Errorf("%s: %d of %d hints:\n%s", name, got, c.hints, all)
		}
		if c.hints > 1 && len(lines) > briefLines {
			t.Errorf("%s: %d lines:\n%s", name, len(lines), all)
		}
	}
}

// A line that is too long is cut at a word, and shows that.
func TestOneLine(t *testing.T) {
	for line, want := range map[string]string{
		strings.Repeat("x", 80): strings.Repeat("x", 80),
		strings.Repeat("x", 60) + " yy, " + strings.Repeat("z", 20): strings.Repeat("x", 60) + " yy ... (--full)",
		"one\ntwo": "one two",
	} {
		var b strings.Builder
		(&printer{w: &b}).oneLine(line)
		if b.String() != want+"\n" {
			t.Errorf("got %q, want %q", b.String(), want)
		}
	}
}

// What is to be done next: of a doubt, to correct the input or to answer it, once a rule; else to
// write the first way; of errors of the file, to repair it.
func TestWhatIsNext(t *testing.T) {
	doubt := rx.NewRule[rx.Nothing]("area-differs/of others", rx.AboutFile, rx.EveryPlan).InDoubt()
	wrong := rx.NewRule[rx.Nothing]("area-differs/of others", rx.AboutFile, rx.EveryPlan)
	for _, c := range []struct {
		found []rx.Finding
		want  []string
		not   string
	}{
		{nil, []string{"Next: write the layers and sheets of the first way with\n", "--way wet-boom --out DIR\n"}, "--accept"},
		{[]rx.Finding{doubt.Find(rx.Warning, rx.Nothing{}), doubt.Find(rx.Warning, rx.Nothing{})},
			[]string{"Next: correct the input and check it again; or, if it is meant as it was read:\n", ` --out DIR --accept area-differs="REASON"` + "\n"}, "Next: write"},
		{[]rx.Finding{wrong.Find(rx.Error, rx.Nothing{})}, []string{"Next: repair the file first; 1 error has to go before it can be split."}, "--way"},
		{[]rx.Finding{wrong.Find(rx.Error, rx.Nothing{}), wrong.Find(rx.Error, rx.Nothing{})}, []string{"Next: repair the file first; 2 errors have to go before it can be split."}, "--way"},
	} {
		r := reporttest.Plan(t, reporttest.Contours(t), "")
		r.Findings = c.found
		var b strings.Builder
		if err := Check(&b, r); err != nil {
			t.Fatal(err)
		}
		_, next, _ := strings.Cut(b.String(), "\nNext: ")
		for _, want := range c.want {
			if next = "Next: " + strings.TrimPrefix(next, "Next: "); !strings.Contains(next, want) || strings.Contains(next, c.not) {
				t.Errorf("%d findings: want %q and no %q in %q", len(c.found), want, c.not, next)
			}
		}
	}
}

// Where no way is on label, what may still help is told and nothing that can't: untreated zones
// where they are not allowed yet, and a lower rate where the season has room for one.
func TestNextWhereNoWayIs(t *testing.T) {
	const none, leave, room = "Next: no way puts every treated acre on label; see the reasons above, and change the terms or the prescription",
		", or allow zones to stay untreated with --leave-off", "; of the stabilizer the season has room for 25 fl oz/ac (--stabilizer-rate)"
	for _, c := range []struct {
		most, already, intended unit.LiquidRate
		leaveOff                bool
		want                    string
	}{
		{45, 0, 30, false, none + leave + "."},
		{45, 0, 30, true, none + "."},
		{45, 20, 30, false, none + leave + room + "."},
		{45, 20, 30, true, none + room + "."},
		{45, 20, 25, false, none + leave + "."},
		{45, 40, 30, false, none + "."}, // room for less than the label's least
	} {
		r := reporttest.Plan(t, invent.FourZones(), "")
		a := *r.Assessment
		profile := *a.Terms.Label
		profile.Rate, profile.SeasonMax = label.Range[unit.LiquidRate]{Min: 20, Max: 40}, label.Know(c.most)
		a.Terms.Label, a.Terms.AlreadyApplied, a.Terms.Intended, a.Terms.LeaveOff = &profile, c.already, c.intended, c.leaveOff
		r.Assessment, r.Ways, r.Findings = &a, nil, nil
		var b strings.Builder
		if err := Check(&b, r); err != nil {
			t.Fatal(err)
		}
		if got := strings.Join(strings.Fields(b.String()), " "); !strings.HasSuffix(got, c.want) {
			t.Errorf("most %v, %v applied, %v intended, %v: %s", c.most, c.already, c.intended, c.leaveOff, got[max(0, strings.Index(got, "Next:")):])
		}
	}
}

// What is the same as another way stands on its line, or on the next one below the cost where it has no room.
func TestSameWaysStandOnOneLine(t *testing.T) {
	const line, same = "loads     ready        1 pass", "the same as aaaaaa and bbbbbb and cccccc and "
	for last, want := range map[string]string{
		"dddd":  line + "; " + same + "dddd", // 80 columns
		"ddddd": line + "\n                       " + same + "ddddd",
	} {
		r := reporttest.Plan(t, reporttest.Contours(t), "")
		r.Ways = []rx.Way{{Name: rx.Loads, State: rx.Ready, Passes: 1}}
		for _, name := range []string{"aaaaaa", "bbbbbb", "cccccc", last} {
			r.Ways = append(r.Ways, rx.Way{Name: rx.WayName(name), State: rx.Ready, SameAs: rx.Loads})
		}
		if got := strings.Join(briefOf(t, r), "\n"); !strings.Contains(got, "\n"+want+"\n") {
			t.Errorf("the last is %s: %s", last, got)
		}
	}
}

// Loadings are told as a meter reads them, rounded inward: two graduations, the one that is inside, or what is
// worked out where none is.
func TestWindowOfOneGraduation(t *testing.T) {
	for most, want := range map[string]string{"20.08": "from 20.02 fl oz/ton to 20.08 fl oz/ton", "20.12": "20.1 fl oz/ton", "20.22": "from 20.1 fl oz/ton to 20.2 fl oz/ton"} {
		terms := rxtest.Terms(rxtest.Profile(t, "name: Narrow (invented)\nrate: {min: 20.02 fl oz/ac, max: "+most+" fl oz/ac}\n"))
		p := rxtest.Plain(rxtest.Ground{Acres: 10, Rate: 2000})
		x := &text{Result: report.Result{Prescription: p, Assessment: rxtest.Grade(t, p, terms), Units: unit.US}, q: figures.In(unit.US)}
		w, _ := terms.Window(p, 0)
		if got := x.windowText(*w); got != want {
			t.Errorf("up to %s: %q, want %q", most, got, want)
		}
		x.Assessment.Terms.RateError = 0.5
		if got := x.withRateError(); got != " With a rate error of 50 % none is safe." {
			t.Errorf("rates far off: %q", got)
		}
		x.Assessment.Terms.RateError = 0
		if got := x.withRateError(); got != "" {
			t.Errorf("rates never off: %q", got)
		}
	}
}
