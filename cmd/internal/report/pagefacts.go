package report

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// facts lists what the field, the blend and the label are.
func facts(r Result, q quantities) []pageFact {
	p, a := r.Prescription, r.Assessment
	ac, dry, rate := q.symbols()
	var list []pageFact
	add := func(what string, cells ...pageCell) { list = append(list, pageFact{what, cells}) }
	if job := a.Terms.Job; job != nil && job.Customer != "" {
		add("Customer", words(job.Customer))
	}
	add("File", words(p.Source.Name))
	add("Zones", words(plural(len(p.Zones), "zone", "zones")+", "), figure(q.ground(p.Area()), "area.total", p.Area().In(q.s)), words(" "+ac+", "),
		figure(q.ground(p.TreatedArea()), "area.treated", p.TreatedArea().In(q.s)), words(" treated"))
	if low, high, ok := p.CarrierRange(); ok {
		of := ""
		if i := p.CarrierField(); i >= 0 {
			of = " of " + p.Fields[i].Name
		}
		span := between(figure(q.dry(low), "dry.min", low.In(q.s)), figure(q.dry(high), "dry.max", high.In(q.s)))
		add("Dry rate"+of, append(span, words(" "+dry+", mean "), figure(q.dry(a.Mean), "dry.mean", a.Mean.In(q.s)))...)
		add("Dry product"+of, figure(q.mass(a.Mass), "dry.mass", a.Mass.In(q.s)), words(blendText(r)))
	}
	text := textOf(r).rateHead()
	add("Rates", words(text))
	add("Label", words(a.Terms.Label.Name+": "), figure(q.rate(a.Range.Min), "label.min", a.Range.Min.In(q.s)), words(" to "),
		figure(q.rate(a.Range.Max), "label.max", a.Range.Max.In(q.s)), words(" "+rate+registration(r)))
	if most, ok := a.Terms.Label.SeasonMax.Get(); ok {
		add("Season", words("at most "+most.Brief(q.s)+", already applied "+a.Terms.AlreadyApplied.Brief(q.s)))
	}
	if a.Loading > 0 {
		why := fmt.Sprintf(", which puts %s on the field as a whole", a.Terms.Intended.Brief(q.s))
		if a.LoadingFrom == "given" {
			why = ", as the plant has fixed it"
		}
		add("Loading checked", figure(q.loading(a.Loading), "loading.value", a.Loading.In(q.s)), words(why+"; on label there: "+onLabelText(a, q)))
		span := between(figure(q.sideRate(a.Stabilizer.Min, a.Range), "stabilizer.min", a.Stabilizer.Min.In(q.s)),
			figure(q.sideRate(a.Stabilizer.Max, a.Range), "stabilizer.max", a.Stabilizer.Max.In(q.s)))
		add("Stabilizer then", append(span, words(" "+rate+", mean "), figure(q.rate(a.MeanRate), "stabilizer.mean", a.MeanRate.In(q.s)),
			words(", "), figure(q.volume(a.Volume), "stabilizer.volume", a.Volume.In(q.s)))...)
	}
	add("One loading for all", windowCells(a, q)...)
	return list
}

// between shows both ends of a range, or one where they read the same.
func between(low, high pageCell) []pageCell {
	if low.Text == high.Text {
		return []pageCell{low}
	}
	return []pageCell{low, words(" to "), high}
}

// textOf lends the text of the terminal.
func textOf(r Result) *text { return &text{Result: r, q: quantities{r.Units}} }

func blendText(r Result) string {
	if r.Prescription.CarrierField() >= 0 {
		return "" // of products side by side one is meant
	}
	names := make([]string, 0, 4)
	for _, m := range r.Assessment.Terms.Materials() {
		names = append(names, m.Name)
	}
	if len(names) == 0 {
		return ""
	}
	return " of " + strings.Join(names, ", ")
}

func registration(r Result) string {
	l := r.Assessment.Terms.Label
	if l.IsRegistered() && l.Registration != "" {
		return ", EPA Reg. No. " + l.Registration
	}
	return ""
}

func windowCells(a *rx.Assessment, q quantities) []pageCell {
	if a.Window == nil {
		return []pageCell{words("none: " + a.WhyNoWindow)}
	}
	return []pageCell{
		figure(fixed(a.Window.Min.In(q.s), 1), "window.loading_min", a.Window.Min.In(q.s)), words(" to "),
		figure(fixed(a.Window.Max.In(q.s), 1), "window.loading_max", a.Window.Max.In(q.s)), words(" " + unit.Symbol[unit.Loading](q.s)),
	}
}
