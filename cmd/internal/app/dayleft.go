package app

import (
	"cmp"
	"fmt"
	"strings"
	"time"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// leftOver is treated blend that is left over, as it was said.
type leftOver struct {
	data.DayLeftOver
	file  string // of the job that it was blended by; empty for the day's
	wrong error  // that can't be read
}

// cutLeft takes apart what a flag says.
func cutLeft(text string) (l leftOver, err error) {
	what, made, dated := strings.Cut(text, " made ")
	what, customer, _ := strings.Cut(what, " for ")
	mass, loading, ok := strings.Cut(what, " at ")
	if !ok {
		err = fmt.Errorf("%q does not say how much there is, and at which loading", text)
	}
	l.Weighed, l.Loading, l.Customer = mass, loading, strings.TrimSpace(customer)
	if err == nil {
		_, err = l.weight()
	}
	if err == nil {
		_, err = parseLoading(loading)
	}
	if err == nil && dated {
		err = l.Made.UnmarshalText([]byte(strings.TrimSpace(made)))
	}
	if err != nil {
		err = &Error{What: "--left: " + err.Error(), Hint: `give what was weighed, its loading, for whom and when it was made, such as --left "1.2 ton at 300 fl oz/ton for NAME made 2026-05-01"`}
	}
	return l, err
}

func (l leftOver) weight() (unit.Mass, error) {
	mass, err := unit.Parse[unit.Mass](l.Weighed)
	if err == nil && !(mass > 0) {
		err = fmt.Errorf("%q is no weight of blend", l.Weighed)
	}
	return mass, err
}

// read works out what it holds. What can't be so on a day fails by itself, with its reason.
func (l leftOver) read(t rx.Terms, today label.Date) (out report.DayLeft) {
	var err error
	if out.Weighed, err = l.weight(); err == nil {
		out.Load.Loading, err = parseLoading(l.Loading)
	}
	out.Customer, out.Made, out.Job, out.Named = l.Customer, l.Made, l.Job, l.Named
	if err = cmp.Or(err, l.wrong); err == nil {
		err = l.hold(&out, t, today)
	}
	if out.Failed = err != nil; out.Failed {
		out.Rough, out.Why = true, l.Where+": "+strings.ReplaceAll(err.Error(), "\n", "; ")
	}
	return out
}

// hold works out what it holds by the terms that it was blended by, and why it is not to be used.
func (l leftOver) hold(out *report.DayLeft, t rx.Terms, today label.Date) (err error) {
	if t.Job != nil {
		out.Customer = cmp.Or(out.Customer, t.Job.Customer)
	}
	out.Load.Further = t.Fixed(0)[1:]
	added, known := t.AddedShare(out.Load).Get()
	out.Taken, out.Rough = added, !known
	if per := t.Stabilizer().Bounds().Loading; !per.Under(out.Load.Loading) {
		if why := t.WhyNotLoading(out.Load.Loadings()...); why != "" {
			return fmt.Errorf("%s would %s", l.Loading, why)
		}
	}
	out.SpreadBy, out.Why, err = spreadBy(l.Made, today, t)
	return err
}

// spreadBy returns the last day on which labels let blend that was made on another be spread, empty where they don't say so, and
// why it is not to be used today. Hours are not known: it is taken to be made as its day began, and to be spread as a day ends.
func spreadBy(made, today label.Date, t rx.Terms) (last label.Date, why string, err error) {
	hold, known := t.Hold()
	if made == "" {
		if known {
			why = "nobody says when it was made (made), and the label lets treated blend be held for " + unit.Days(hold, t.Units) + " at most"
		}
		return "", why, nil
	}
	from, _ := time.Parse(time.DateOnly, string(made))
	to, _ := time.Parse(time.DateOnly, string(today))
	if to.Before(from) {
		return "", "", fmt.Errorf("made %s, which is after the day, %s", made, today)
	}
	if !known {
		return "", "", nil
	}
	days := int(to.Sub(from)/(24*time.Hour)) + 1
	if age := unit.Time(days) * unit.Day; age > hold {
		why = fmt.Sprintf("made %s, it may be %s old when %s ends, and the label lets treated blend be held for %s at most", made, unit.Days(age, t.Units), today, unit.Days(hold, t.Units))
	}
	return label.Date(from.AddDate(0, 0, int(float64(hold/unit.Day)+1e-9)-1).Format(time.DateOnly)), why, nil
}

// readLeft reads what is left over.
func (d *Day) readLeft(list DayList, today label.Date) {
	for _, l := range list.Left {
		t, wrong := d.terms[0], l.wrong
		if wrong == nil {
			t, wrong = d.terms[l.Job], d.wrong[l.Job]
		}
		l.wrong = wrong
		d.left = append(d.left, l.read(t, today))
		if l.Made != "" {
			d.today = today
		}
	}
}

// offered is the left-over blend as the day's fields see it.
func (d *Day) offered() (list []report.DayLeft) {
	for _, l := range d.left {
		if l.Blend = blendBy(d.Shown, l.Job); l.Blend < 0 && !l.Failed {
			l.Why = "nobody knows which blend of the day it is: no field, or fields of several blends, go by its job"
		}
		l.Kept = l.Why != ""
		list = append(list, l)
	}
	return list
}

// blendBy returns the one blend of the fields that go by a job; -1 where they have none, or several.
func blendBy(d report.Day, job int) int {
	blend := -1
	for _, f := range d.Fields {
		switch {
		case f.Job != job || f.Blend < 0 || f.Blend == blend:
		case blend >= 0:
			return -1
		default:
			blend = f.Blend
		}
	}
	return blend
}
