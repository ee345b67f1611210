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

// read works out what it holds, and refuses what can't be so on a day.
func (l leftOver) read(t rx.Terms, today label.Date) (out report.DayLeft, err error) {
	if out.Weighed, err = l.weight(); err == nil {
		out.Load.Loading, err = parseLoading(l.Loading)
	}
	if err != nil {
		return out, err
	}
	out.Customer, out.Made, out.Job = l.Customer, l.Made, l.Job
	if l.wrong != nil {
		out.Rough, out.Why = true, strings.ReplaceAll(l.wrong.Error(), "\n", "; ")
		return out, nil
	}
	if t.Job != nil {
		out.Customer = cmp.Or(out.Customer, t.Job.Customer)
	}
	out.Load.Further = t.Fixed(0)[1:]
	added, known := t.AddedShare(out.Load).Get()
	out.Taken, out.Rough = added, !known
	if per := t.Stabilizer().Bounds().Loading; !per.Under(out.Load.Loading) {
		if why := t.WhyNotLoading(out.Load.Loadings()...); why != "" {
			return out, fmt.Errorf("%s would %s", l.Loading, why)
		}
	}
	out.Why, err = tooOld(l.Made, today, t)
	return out, err
}

// tooOld says why blend that was made on one day is not to be used on another; empty where it may be. Hours
// are not known: it is taken to be made as that day began, and to be spread as this one ends.
func tooOld(made, today label.Date, t rx.Terms) (why string, err error) {
	hold, known := t.Hold()
	if made == "" {
		if known {
			why = "nobody says when it was made (made), and the label lets treated blend be held for " + unit.Days(hold, t.Units) + " at most"
		}
		return why, nil
	}
	from, _ := time.Parse(time.DateOnly, string(made))
	to, _ := time.Parse(time.DateOnly, string(today))
	if to.Before(from) {
		return "", fmt.Errorf("made %s, which is after the day, %s", made, today)
	}
	days := to.Sub(from)/(24*time.Hour) + 1
	if age := unit.Time(days) * unit.Day; known && age > hold {
		why = fmt.Sprintf("made %s, it may be %s old when %s ends, and the label lets treated blend be held for %s at most", made, unit.Days(age, t.Units), today, unit.Days(hold, t.Units))
	}
	return why, nil
}

// readLeft reads what is left over.
func (d *Day) readLeft(list DayList, today label.Date) error {
	for i, l := range list.Left {
		t, wrong := d.terms[0], l.wrong
		if wrong == nil {
			t, wrong = d.terms[l.Job], d.wrong[l.Job]
		}
		l.wrong = wrong
		left, err := l.read(t, today)
		if err != nil {
			return &Error{What: fmt.Sprintf("left-over blend L%d: %v", i+1, err), Hint: "correct what the day says of it: weighed, loading, made"}
		}
		d.left = append(d.left, left)
		if l.Made != "" {
			d.today = today
		}
	}
	return nil
}

// offered is the left-over blend as the day's fields see it.
func (d *Day) offered() (list []report.DayLeft) {
	for _, l := range d.left {
		if l.Blend = blendBy(d.Shown, l.Job); l.Blend < 0 && l.Job != noJobRead {
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
