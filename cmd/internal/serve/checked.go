package serve

import (
	"cmp"
	"fmt"
	"path/filepath"
	"strings"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// checked is what the check of a prescription says.
type checked struct {
	Decision string
	Word     string
	Good     bool
	Repair   int // errors of the file, which stop a split
	Map      *drawing
	Shares   []share
	Ways     []way
	Order    string
	Found    []found
	Doubts   []found

	Chosen  *way   // or asked for by its address, though it is impossible
	NoWay   string // asked for by its address, though there is none of that name
	Out     string // a name for the plan's folder
	Command string // that writes it
}

// way is one way to release it, beside the others.
type way struct {
	Name, Title, State string
	Possible           bool
	Chosen             bool
	Link               string
	Facts              []fact
	Conditions         []string
	Why                string
}

// tellCheck puts a checked prescription on the page.
func (s *server) tellCheck(l *looked, a asked) *checked {
	r := *l.result
	d := r.Decide()
	c := &checked{Decision: report.DecisionText(r), Repair: report.FileErrors(r.Findings), Map: l.verdict, Shares: sharesOf(r), Order: report.OrderText(r)}
	c.Word, c.Good = wordOf(r, d)
	c.Found = foundOf(r.Findings, r.Units, a.reason)
	for _, f := range c.Found {
		if f.Rule != "" {
			c.Doubts = append(c.Doubts, f)
		}
	}
	want := ""
	if list := a.Values[wayName]; len(list) > 0 {
		want = list[0]
	}
	c.NoWay = want
	for _, w := range r.Ways {
		one := wayOf(r, w)
		one.Link = "field?" + a.with(wayName, one.Name).query() + "#release"
		one.Chosen = want == one.Name
		if w.SameAs != "" && !one.Chosen { // told with the other
			continue
		}
		c.Ways = append(c.Ways, one)
		if one.Chosen {
			c.Chosen, c.NoWay = &c.Ways[len(c.Ways)-1], ""
		}
	}
	if c.Chosen != nil && c.Chosen.Possible {
		c.Out = s.folder.free(outName(a.File, c.Chosen.Name))
		c.Command = splitCommand(a, c.Out, app.Target{})
	}
	return c
}

// reason is why a doubt is meant as it stands, where it was said.
func (a asked) reason(rule string) string {
	for _, text := range a.Values[acceptName] {
		if reason, ok := strings.CutPrefix(text, rule+"="); ok {
			return reason
		}
	}
	return ""
}

// wayOf tells of a way what there is to compare.
func wayOf(r report.Result, w rx.Way) way {
	q := figures.In(r.Units)
	ac, _, rate := q.Symbols()
	one := way{
		Name: string(w.Name), Title: equip.TitleOf(w.Name, len(w.Loads)), State: w.State.String(), Possible: w.Possible(),
		Conditions: report.Conditions(w, r.Units), Why: w.Why,
	}
	add := func(what, value string) { one.Facts = append(one.Facts, fact{what, value}) }
	if !w.Possible() {
		add("Off label", q.Area(w.OffLabel)+" "+ac)
		return one
	}
	if w.Cost != nil {
		add("Cost", report.CostText(w.Cost, q))
	}
	add("On the ground", q.RateRange(w.Rate.Min, w.Rate.Max)+" "+rate)
	add("Stabilizer to order", q.Tank(cmp.Or(w.Metered, w.Stabilizer))) // exact where no meter is known
	add("Passes", fmt.Sprint(w.Passes))
	if len(w.Loads) > 0 {
		add("Impregnated loads", fmt.Sprint(len(w.Loads)))
	}
	if w.Batches > 0 {
		add("Batches", fmt.Sprint(w.Batches))
	}
	if w.Fills > 0 {
		add("Tank fills", fmt.Sprint(w.Fills))
	}
	if w.KeepsRates() {
		add("Dry rates", "as prescribed")
	} else {
		add("Dry rates", fmt.Sprintf("changed on %s %s: %s", q.Area(w.Changed), ac, report.ChangeText(w.DryAdded, w.DryRemoved, q)))
	}
	if w.LeftOff > 0 {
		add("Left off", q.Area(w.LeftOff)+" "+unit.Symbol[unit.Area](r.Units))
	}
	if w.Driving != nil {
		add("Driving", report.DrivingText(w.Driving, r.Units))
	}
	if w.SameAs != "" {
		add("The same as", equip.TitleOf(w.SameAs, len(w.Loads)))
	}
	var same []string
	for _, o := range r.Ways {
		if o.SameAs == w.Name {
			same = append(same, equip.TitleOf(o.Name, len(o.Loads)))
		}
	}
	if len(same) > 0 {
		add("The same as", strings.Join(same, ", "))
	}
	return one
}

// outName is a name for the folder of a plan.
func outName(file, way string) string {
	name := filepath.ToSlash(file)
	return strings.TrimLeft(strings.TrimSuffix(name, filepath.Ext(name)), ".") + "-" + way
}

// splitCommand is what a terminal takes to write a plan.
func splitCommand(a asked, out string, to app.Target) string {
	text := a.command("split", true) + " --out " + report.Word(out)
	if to.KML {
		text += " --kml"
	}
	if !to.Stamp.IsZero() {
		text += " --stamp"
	}
	return text
}
