package text

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/read"
	"rxsplit/rx/tell"
)

// Check prints a checked prescription for a terminal of 80 columns.
func Check(w io.Writer, r report.Result) error {
	p := &printer{w: w}
	t := text{p, r, figures.In(r.Units)}
	t.head()
	t.doubts()
	t.verdicts()
	t.worst()
	t.oneLoading()
	t.ways()
	t.findings(slices.DeleteFunc(slices.Clone(t.Findings), rx.Finding.Doubt)) // those were told
	t.next()
	return p.err
}

type text struct {
	*printer
	report.Result
	q figures.Quantities
}

func (t *text) head() {
	src, p, a := t.Prescription.Source, t.Prescription, t.Assessment
	t.wrapped("Field     ", "          ", fmt.Sprintf("%s: %s, %s %s", src.Name, figures.Plural(len(p.Zones), "zone", "zones"), t.q.Area(p.Area()), unit.Symbol[unit.Area](t.Units)))
	t.wrapped("          ", "          ", src.System)
	t.wrapped("Dry rate  ", "          ", report.RateHead(t.Prescription))
	if low, high, ok := p.CarrierRange(); ok {
		of := report.OfCarrier(p)
		t.wrapped("          ", "          ", fmt.Sprintf("%s %s%s where it is above 0, mean %s, %s in all",
			t.q.DryRange(low, high), unit.Symbol[unit.DryRate](t.Units), of, t.q.Dry(a.Mean), t.q.Mass(a.Mass)))
	}
	t.wrapped("Label     ", "          ", fmt.Sprintf("%s: %s %s", a.Terms.Label.Name, t.q.RateRange(a.Range.Min, a.Range.Max), unit.Symbol[unit.LiquidRate](t.Units)))
	if a.Loading == 0 {
		t.wrapped("Loading   ", "          ", "none: no zone has a dry rate above 0")
		t.f("\n")
		return
	}
	loading := t.Planned(a.Loading)
	if a.LoadingFrom == "given" {
		loading = a.Loading.Text(t.Units)
	}
	t.wrapped("Loading   ", "          ", loading+", "+report.LoadingFrom(a, t.Units))
	t.wrapped("          ", "          ", "on label there: "+report.OnLabelText(a, t.q))
	for i := range a.Further {
		t.wrapped("Liquid    ", "          ", report.LiquidText(&a.Further[i], t.q))
	}
	t.f("\n")
}

func (t *text) verdicts() {
	t.f("If %s is impregnated at that loading:\n\n", report.Impregnated(t.Prescription))
	var rows [][]string
	for _, v := range report.ShownVerdicts(t.Assessment) {
		s := t.Assessment.Shares[v]
		row := []string{report.VerdictText(v), figures.Count(s.Zones), t.q.Area(s.Area), "", ""}
		if s.Zones > 0 && v != rx.NoRate && v != rx.NoDry {
			row[3] = t.q.DryRange(s.Dry.Min, s.Dry.Max)
			row[4] = t.q.SideRange(s.Stabilizer, t.Assessment.Range)
		}
		rows = append(rows, row)
		if off := t.Assessment.OverSeason; v == rx.Within && off.Zones > 0 {
			rows = append(rows, []string{"  " + report.SeasonText, figures.Count(off.Zones), t.q.Area(off.Area),
				t.q.DryRange(off.Dry.Min, off.Dry.Max), t.q.RateRange(off.Stabilizer.Min, off.Stabilizer.Max)})
		}
	}
	t.table("  ", []column{
		{"verdict", true}, {"zones", false}, {unit.Symbol[unit.Area](t.Units), false},
		{"dry " + unit.Symbol[unit.DryRate](t.Units), false}, {"stabilizer " + unit.Symbol[unit.LiquidRate](t.Units), false},
	}, rows)
	t.f("\n")
}

// mostZones is how many of the worst zones the text lists.
const mostZones = 6

// worst lists the off-label zones with the most acres and where they are.
func (t *text) worst() {
	off, all := report.OffZones(t.Prescription, t.Assessment, mostZones)
	if all == 0 {
		return
	}
	zones := t.Prescription.Zones
	t.f("Off label, the largest first:\n\n")
	var rows [][]string
	for _, i := range off {
		z := zones[i]
		rows = append(rows, []string{
			fmt.Sprint(z.Number()), report.OffWord(t.Assessment, i), t.q.Area(z.Area), t.q.Dry(z.Carrier),
			t.q.SideRate(unit.StabilizerRate(t.Assessment.Loading, z.Carrier), t.Assessment.Range), figures.Place(t.Prescription.Place(i)),
		})
	}
	t.table("  ", []column{
		{"zone", false}, {"verdict", true}, {unit.Symbol[unit.Area](t.Units), false}, {"dry", false}, {"stabilizer", false}, {"where (lat, lon)", false},
	}, rows)
	if more := all - len(off); more > 0 {
		t.f("  and %s more\n", figures.Plural(more, "zone", "zones"))
	}
	t.f("\n")
}

func (t *text) oneLoading() {
	a := t.Assessment
	if w := a.Window; a.OneLoading() {
		t.wrapped("", "", fmt.Sprintf("One loading alone can serve every zone: %s.%s", t.Planned(w.Min), t.withRateError()))
	} else if w != nil {
		t.wrapped("", "", fmt.Sprintf("One loading can serve every zone: %s.%s", t.windowText(*w), t.withRateError()))
	} else {
		t.wrapped("", "", "No single loading serves every zone: "+a.WhyNoWindow+".")
	}
	t.f("\n")
}

// withRateError says what the spreader's rate error leaves of the loadings.
func (t *text) withRateError() string {
	e := t.Assessment.Terms.RateError
	if e == 0 {
		return ""
	}
	w, _ := t.Assessment.Terms.Window(t.Prescription, e)
	if w == nil {
		return fmt.Sprintf(" With a rate error of %s none is safe.", e)
	}
	return fmt.Sprintf(" With a rate error of %s: %s.", e, t.windowText(*w))
}

// windowText prints loadings as a meter reads them, rounded inward; with all their digits
// where no graduation is inside.
func (t *text) windowText(w rx.Range[unit.Loading]) string {
	read, ok := t.Assessment.Terms.Inward(w)
	if !ok {
		return "from " + w.Min.Text(t.Units) + " to " + w.Max.Text(t.Units)
	}
	if t.q.Window(read.Min) == t.q.Window(read.Max) {
		return t.q.Window(read.Min) + " " + unit.Symbol[unit.Loading](t.Units)
	}
	return fmt.Sprintf("from %s %s to %s %[2]s", t.q.Window(read.Min), unit.Symbol[unit.Loading](t.Units), t.q.Window(read.Max))
}

// doubts come before any verdict, which holds only if the input means what it was taken for.
func (t *text) doubts() {
	if !slices.ContainsFunc(t.Findings, rx.Finding.Doubt) {
		return
	}
	t.wrapped("", "", "In doubt: what follows holds only if the input is meant as it was read. Nothing is written before this is put right, or answered with split --accept.")
	t.f("\n")
	for _, f := range t.Findings {
		if f.Doubt() {
			t.finding(f)
			t.wrapped("          -> ", "             ", "or --accept "+f.Rule()+`="why it is meant so"`)
		}
	}
	t.f("\n")
}

func (t *text) findings(list []rx.Finding) {
	if len(list) == 0 {
		return
	}
	t.f("Findings:\n\n")
	for _, worse := range []bool{true, false} {
		for _, f := range list {
			if f.Severity > rx.Note == worse {
				t.finding(f)
			}
		}
	}
	t.f("\n")
}

func (t *text) finding(f rx.Finding) {
	said := tell.Finding(f, t.Units)
	t.wrapped(fmt.Sprintf("  %-8s", f.Severity), "          ", said.Text)
	if f.Place != nil {
		t.f("          at %s\n", figures.Place(*f.Place))
	}
	if reason := t.Reason(f); reason != "" {
		t.wrapped("          -> ", "             ", "accepted: "+reason)
	} else if said.Hint != "" && f.Severity > rx.Note {
		t.wrapped("          -> ", "             ", said.Hint)
	}
}

// Inspect prints what a file holds, for a terminal of 80 columns, and the command
// that comes next: words are the file and the flags that it was read with.
func Inspect(w io.Writer, c *read.Content, s unit.System, words string) error {
	p := &printer{w: w}
	q := figures.In(s)
	p.wrapped("File      ", "          ", fmt.Sprintf("%s: %s, layer %s", c.Source.Name, c.Source.Format, c.Source.Layer))
	p.wrapped("System    ", "          ", c.Source.SystemText())
	p.wrapped("Polygons  ", "          ", fmt.Sprintf("%s in %s of %s, %s %s",
		figures.Plural(c.Polygons, "polygon", "polygons"), figures.Count(c.Shapes), figures.Plural(c.Source.Records, "record", "records"), q.Area(c.Area), unit.Symbol[unit.Area](s)))
	p.wrapped("Where     ", "          ", fmt.Sprintf("latitude %.5f to %.5f, longitude %.5f to %.5f", c.Extent.Min[1], c.Extent.Max[1], c.Extent.Min[0], c.Extent.Max[0]))
	p.f("\n")
	rows := make([][]string, len(c.Fields))
	for i, f := range c.Fields {
		rows[i] = []string{f.Name, f.Kind.String(), "", "", "", fmt.Sprint(f.Nulls), data.FieldNote(f)}
		if f.Numbers > 0 {
			rows[i][2], rows[i][3], rows[i][4] = figures.Trim(f.Min), figures.Trim(f.Max), figures.Trim(f.Mean())
		}
	}
	p.table("  ", []column{{"field", true}, {"type", true}, {"lowest", false}, {"highest", false}, {"mean", false}, {"empty", false}, {"", true}}, rows)
	p.f("\n")
	t := text{p, report.Result{Findings: c.Findings, Units: s}, q}
	t.findings(t.Findings)
	p.nextCheck(c, words)
	return p.err
}

// nextCheck prints a check to type, with the field that has to be named.
func (p *printer) nextCheck(c *read.Content, words string) {
	names, toName := read.RateFields(c.Fields)
	switch {
	case c.Landed:
		p.command("Next: rxsplit check PRESCRIPTION --label FILE --already-applied %s", words)
		p.wrapped("", "", "where PRESCRIPTION is that of the next pass.")
	case c.Shapes == 0 || len(names) == 0:
		p.wrapped("", "", "Next: a prescription takes polygons and a field of numbers that are their dry rates; export it again with both.")
	case !toName:
		p.command("Next: rxsplit check %s --label FILE", words)
	case len(names) == 1:
		p.command("Next: rxsplit check %s --label FILE --rate-field %s", words, report.Word(names[0]))
	default:
		p.command("Next: rxsplit check %s --label FILE --rate-field NAME", words)
		p.wrapped("", "", "where NAME is the field of the dry rate: "+strings.Join(names, ", ")+".")
	}
}

// PanTests tells how even the pan tests of a job's spreader are; nothing where there
// are none.
func PanTests(w io.Writer, j *equip.Job, s unit.System) error {
	if j.Spreader == nil || len(j.Spreader.PanTests) == 0 {
		return nil
	}
	p := &printer{w: w}
	p.f("\nThe spreader's pattern, by its pan tests:\n\n")
	for i, test := range j.Spreader.PanTests {
		head := fmt.Sprintf("%d", i+1)
		if rate, ok := test.Rate.Get(); ok {
			head += ", " + rate.Brief(s)
		}
		p.wrapped("  ", "     ", head+": "+test.Tell(j.Spreader.Swath, s)+".")
	}
	p.f("\n")
	p.wrapped("", "", fmt.Sprintf("CV under %s is satisfactory, over %s poor (%s).", equip.SatisfactoryCV.Brief(s), equip.PoorCV.Brief(s), equip.SourceCV))
	return p.err
}
