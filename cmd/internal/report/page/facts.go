package page

import (
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// facts lists what the field, the blend and the label are.
func facts(r report.Result, q figures.Quantities) []pageFact {
	p, a := r.Prescription, r.Assessment
	ac, dry, rate := q.Symbols()
	var list []pageFact
	add := func(what string, cells ...pageCell) { list = append(list, pageFact{what, cells}) }
	if job := a.Terms.Job; job != nil && job.Customer != "" {
		add("Customer", words(job.Customer))
	}
	add("File", words(p.Source.Name))
	add("Zones", words(figures.Plural(len(p.Zones), "zone", "zones")+", "), figure(q.Area(p.Area()), "area.total", p.Area().In(q.System)), words(" "+ac+", "),
		figure(q.Area(p.TreatedArea()), "area.treated", p.TreatedArea().In(q.System)), words(" with a dry rate"))
	if low, high, ok := p.CarrierRange(); ok {
		of := report.OfCarrier(p)
		span := between(figure(q.Dry(low), "dry.min", low.In(q.System)), figure(q.Dry(high), "dry.max", high.In(q.System)))
		add("Dry rate"+of, append(span, words(" "+dry+", mean "), figure(q.Dry(a.Mean), "dry.mean", a.Mean.In(q.System)))...)
		add("Dry product"+of, figure(q.Mass(a.Mass), "dry.mass", a.Mass.In(q.System)), words(blendText(r)))
	}
	add("Rates", words(report.RateHead(r.Prescription)))
	add("Label", words(a.Terms.Label.Name+": "), figure(q.Plain(a.Range.Min), "label.min", a.Range.Min.In(q.System)), words(" to "),
		figure(q.Plain(a.Range.Max), "label.max", a.Range.Max.In(q.System)), words(" "+rate+registration(r)))
	if most, ok := a.Terms.Label.SeasonMax.Get(); ok {
		had := a.Terms.AlreadyApplied.Brief(q.System)
		if a.Terms.Already != nil {
			had = "up to " + had + " where it is treated"
		}
		add("Season", words("at most "+most.Brief(q.System)+", already applied "+had))
	}
	if a.Loading > 0 {
		add("Loading checked", figure(q.Loading(a.Loading), "loading.value", a.Loading.In(q.System)), words(", "+report.LoadingFrom(a, q.System)+"; on label there: "+report.OnLabelText(a, q)))
		span := between(figure(q.SideRate(a.Stabilizer.Min, a.Range), "stabilizer.min", a.Stabilizer.Min.In(q.System)),
			figure(q.SideRate(a.Stabilizer.Max, a.Range), "stabilizer.max", a.Stabilizer.Max.In(q.System)))
		add("Stabilizer then", append(span, words(" "+rate+", mean "), figure(q.Rate(a.MeanRate), "stabilizer.mean", a.MeanRate.In(q.System)),
			words(", "), figure(q.Volume(a.Volume), "stabilizer.volume", a.Volume.In(q.System)))...)
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

func blendText(r report.Result) string {
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

func registration(r report.Result) string {
	l := r.Assessment.Terms.Label
	if l.IsRegistered() && l.Registration != "" {
		return ", EPA Reg. No. " + l.Registration
	}
	return ""
}

func windowCells(a *rx.Assessment, q figures.Quantities) []pageCell {
	if a.Window == nil {
		return []pageCell{words("none: " + a.WhyNoWindow)}
	}
	read, ok := a.Terms.Inward(*a.Window) // what is printed is on label too
	switch {
	case a.OneLoading():
		return []pageCell{words(a.Terms.LoadingText(a.Window.Min) + " alone")}
	case !ok:
		return []pageCell{words(a.Window.Min.Text(q.System) + " to " + a.Window.Max.Text(q.System))}
	}
	span := between(figure(q.Window(read.Min), "window.loading_min", a.Window.Min.In(q.System)), figure(q.Window(read.Max), "window.loading_max", a.Window.Max.In(q.System)))
	return append(span, words(" "+unit.Symbol[unit.Loading](q.System)))
}
