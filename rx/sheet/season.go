package sheet

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// season holds the sum of the season's passes against the label.
func (d *draft) season() {
	sum := d.a.Terms.AlreadyApplied + d.onGround().Max
	s := rx.Section{Title: "The season, the law, and going back in", Facts: []rx.Fact{
		{What: "Already applied", Value: d.rate(d.a.Terms.AlreadyApplied), Note: "as the job says; nothing said counts as none"},
		{What: "With this pass, at most", Value: d.rate(sum)},
	}}
	if most, ok := d.label.MostPerSeason(); ok {
		s.Facts = append(s.Facts, rx.Fact{What: "Season maximum", Value: d.rate(most), Note: "by the label profile; left after this pass: " + d.rate(max(most-sum, 0))})
		if (rx.Range[unit.LiquidRate]{Max: most}).Over(sum) {
			s.Cautions = append(s.Cautions, "The season's sum passes the label's maximum. Do not apply.")
		}
	} else {
		d.lacks("the season maximum", "label profile, season-max", "add up all passes of the season by hand and compare them with the label")
		s.Facts = append(s.Facts, rx.Fact{What: "Season maximum", Value: blank})
	}
	s.Facts = append(s.Facts,
		rx.Fact{What: "Restricted-entry interval", Value: d.interval()},
		rx.Fact{What: "PPE", Value: d.ppe()},
	)
	s.Blanks = []string{"Applied, from: " + blank + " to: " + blank + "; Nobody goes in before: " + blank}
	d.add(s)
}

// moreCautions are those that the whole plan needs once.
func (d *draft) moreCautions() {
	s := rx.Section{Title: "What else to know", Cautions: []string{
		"A nitrification inhibitor does not protect urea on the surface from volatilization: that is another mechanism.",
		"A yield response is not guaranteed.",
	}}
	if f, some := d.noRates(); some {
		s.Cautions = append(s.Cautions, f.Value+" have no rate, in "+f.Note+". The machine may spread its default rate there: give them a rate, or 0.")
	}
	if len(d.treated) > 0 {
		s.Cautions = append(s.Cautions, "Treated dry goes where the stabilizer may go, and nowhere else: mind setbacks, roads and ditches at the edge of the swath.")
	}
	d.add(s)
}
