package page

import (
	"fmt"
	"html/template"
	"io"
	"math"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/label/unit"
)

// Field is what the page of a season says of one of its prescriptions; it keeps nothing of
// the result that it was made of.
type Field struct {
	Path   string
	Name   string // to call it by
	Status string
	Link   string // to its own page, as seen from the season's; empty if it has none
	Wrong  string // why it could not be checked

	Decision   string
	Way, State string // the best
	Loading    string
	Shares     []pageShare
	Small      template.HTML
	Wide, High int

	Treated, Off pageCell
	Dry          pageCell
	Liquid       pageCell
	Cost         pageCell

	units unit.System
	sums  seasonSums
}

// seasonSums is what is added up over fields.
type seasonSums struct {
	treated, off unit.Area
	dry          unit.Mass
	liquid       unit.Volume
	cost         float64
	fields       int // that could be checked
	ways         int // of these, that have a way
	priced       int
}

// FieldOf sums up one checked prescription with its ways, or what is wrong with it; the
// status is the word that the table of many files has for it.
func FieldOf(path, status string, r report.Result, err error) Field {
	f := Field{Path: path, Name: path, Status: status}
	if err != nil {
		f.Wrong = err.Error()
		return f
	}
	q, a := figures.In(r.Units), r.Assessment
	f.units, f.sums.fields = r.Units, 1
	f.Decision = report.DecisionText(r)
	f.sums.treated, f.sums.off, f.sums.dry = r.Prescription.TreatedArea(), a.OffLabel(), a.Mass
	f.Treated = number(q.Area(f.sums.treated))
	f.Off = number(q.Area(f.sums.off))
	f.Dry = number(q.Mass(a.Mass))
	f.best(r, q)
	bar := barOf(r.Prescription.Area(), q)
	if r.Prescription.Area() > 0 {
		for _, v := range shownInBars(a) {
			bar.add(verdictFill(v), report.VerdictText(v), a.Shares[v].Area, "")
		}
	}
	f.Shares = bar.Shares
	theme := verdictTheme(r, q)
	f.Wide, f.High, f.Small = svg.Thumb(groundOf(r.Prescription), theme.Map)
	return f
}

// best is the first way of those that can be taken.
func (f *Field) best(r report.Result, q figures.Quantities) {
	f.Loading, f.Liquid, f.Cost = "–", number("–"), number("–")
	if len(r.Ways) == 0 || !r.Ways[0].Possible() {
		f.Way, f.State = "none", "impossible"
		return
	}
	w := r.Ways[0]
	f.Way, f.State = w.Name.Words(), w.State.String()
	for i, l := range w.Loads {
		if i == 0 {
			f.Loading = ""
		} else {
			f.Loading += "; "
		}
		f.Loading += r.Loadings(l.Loading, l.Further)
	}
	f.sums.ways, f.sums.liquid = 1, w.Metered
	f.Liquid = number(q.Tank(w.Metered))
	if w.Cost != nil {
		f.sums.priced, f.sums.cost = 1, w.Cost.High
		f.Cost = number(unit.Cents(unit.Money(w.Cost.High)))
	}
}

// seasonView is the page of many fields as data.
type seasonView struct {
	Style    template.CSS
	Policy   string
	Patterns template.HTML
	Title    string
	Said     string
	Fields   []Field
	Total    []string
	Units    [3]string
	Version  string
}

// mostSmall is how many fields have a small map.
const mostSmall = 300

// WriteSeason writes the page of many prescriptions: a row each, in their order, with what
// they come to together. It needs no script.
func WriteSeason(w io.Writer, title, version string, fields []Field) error {
	v := seasonView{Style: template.CSS(Style() + headStyle("Prescriptions", title, "rxsplit "+version)), Patterns: svg.Patterns(), Title: title, Fields: fields, Version: version}
	v.Policy = policyOf(string(v.Style), "")
	var sum seasonSums
	var s unit.System
	for i := range fields {
		f := fields[i].sums
		if f.fields > 0 {
			s = fields[i].units
		}
		sum.treated, sum.off, sum.dry, sum.liquid, sum.cost = sum.treated+f.treated, sum.off+f.off, sum.dry+f.dry, sum.liquid+f.liquid, sum.cost+f.cost
		sum.fields, sum.ways, sum.priced = sum.fields+f.fields, sum.ways+f.ways, sum.priced+f.priced
		if i >= mostSmall {
			fields[i].Small = ""
		}
	}
	v.total(sum, s)
	return lay(w, "season.html", v)
}

// total says what all fields come to, and of how many each sum is.
func (v *seasonView) total(sum seasonSums, s unit.System) {
	q := figures.In(s)
	v.Units[0], v.Units[1], v.Units[2] = q.Symbols()
	v.Said = fmt.Sprintf("%s, %s %s treated; impregnated as one blend each, %s %s would be off label.",
		figures.Plural(len(v.Fields), "prescription", "prescriptions"), q.Area(sum.treated), v.Units[0], q.Area(sum.off), v.Units[0])
	if bad := len(v.Fields) - sum.fields; bad > 0 {
		v.Said += " " + figures.Plural(bad, "file", "files") + " could not be checked; the reason stands in the row."
	}
	if none := sum.fields - sum.ways; none > 0 {
		v.Said += " " + figures.Plural(none, "field has", "fields have") + " no way that is possible."
	}
	cost := "–"
	if sum.priced > 0 {
		cost = unit.Cents(unit.Money(math.Round(sum.cost*100) / 100))
		if sum.priced < sum.ways {
			cost += fmt.Sprintf(" of %s", figures.Plural(sum.priced, "field", "fields"))
		}
	}
	v.Total = []string{q.Area(sum.treated), q.Area(sum.off), q.Mass(sum.dry), q.Tank(sum.liquid), cost}
}
