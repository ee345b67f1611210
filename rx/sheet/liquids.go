package sheet

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// carried is a liquid of a treated layer.
type carried struct {
	rx.JobLiquid
	place   int // in the load's loadings
	loading unit.Loading
	volume  unit.Volume // of the layer, exactly
}

// first is the liquid that is dosed first, after which the sheet is made.
func (t *treated) first() carried { return t.liquids[0] }

// each returns what a batch gets of a liquid.
func (c carried) each(one rx.Portion) rx.Metered {
	if c.place == 0 {
		return rx.Metered{Liquid: one.Liquid, Agent: one.Agent}
	}
	return one.Further[c.place-1]
}

// carries lists the liquids of a treated layer.
func (in *inputs) carries(l *rx.Layer) (list []carried) {
	if l.Loading > 0 {
		list = append(list, carried{in.a.Terms.Stabilizer(), 0, l.Loading, l.Volume})
	}
	for i, liquid := range in.a.Terms.FurtherOn(equip.OnBlend) {
		list = append(list, carried{liquid, i + 1, l.Further[i].Loading, l.Further[i].Volume})
	}
	return list
}

// names lists the liquids of the layer.
func (t *treated) names() []rx.JobLiquid { return names(t.liquids) }

func names(liquids []carried) []rx.JobLiquid {
	return each.Of(liquids, func(c carried) rx.JobLiquid { return c.JobLiquid })
}

// graded reports whether any liquid of the layer has a label to grade it by.
func (t *treated) graded() bool {
	return slices.ContainsFunc(t.liquids, func(c carried) bool { return c.Label != nil })
}

// liquidWords are the words for the liquids of a layer: what is dosed first is called the
// stabilizer where it is that.
func (d *document) liquidWords(t *treated) values {
	name := t.first().Name
	v := values{"first liquid": name, "First liquid": tell.Capital(name)}
	var all, others, bare, heavy []values
	for i, c := range t.liquids {
		how, product, each, inAll := "And with", c.Name, c.each(t.portion).Liquid, ""
		if i == 0 {
			how = "Treated with"
		}
		if c.Further() == "" {
			product = d.label.Name
		} else if c.Label != nil && c.Label.Name != c.Name {
			product += ", " + c.Label.Name
		}
		if t.batched {
			inAll = fmt.Sprintf(", %s in all", d.drop(each*unit.Volume(t.portion.Count)))
		}
		one := values{"how it is named": how, "liquid": c.Name, "product": product, "its loading": d.a.Terms.LoadingText(c.loading), "in each": d.drop(each), "its doses": inAll}
		all = append(all, one)
		if i > 0 {
			others = append(others, one)
		}
		if c.Label == nil {
			low, high := unit.StabilizerRate(c.loading, t.rates.Min), unit.StabilizerRate(c.loading, t.rates.Max)
			bare = append(bare, values{"liquid": c.Name, "what lands": between(d.rate(low), d.rate(high))})
		}
		if _, known := c.Density.Get(); !known {
			heavy = append(heavy, d.densityAsked(c))
		}
	}
	maps.Copy(v, values{"liquid": all, "other liquid": others, "not graded": bare, "without density": heavy})
	return v
}

// densityAsked says where the density of a liquid is to be entered.
func (d *document) densityAsked(c carried) values {
	switch {
	case c.Further() == "":
		return values{"liquid": "the stabilizer", "where density goes": "label profile, density"}
	case d.job.SecondLiquid != nil && c.place == 1:
		return values{"liquid": c.Name, "where density goes": "job file, second-liquid.density"}
	}
	return values{"liquid": c.Name, "where density goes": "its label profile, or job file, further-liquids density"}
}

// otherAgents says how much drying agent is for the other liquids, and by what.
func (d *document) otherAgents(t *treated) string {
	var parts []string
	for _, c := range t.liquids[1:] {
		per, stated := c.AgentPerLiquid()
		why := "common practice, no source"
		if stated {
			why = "by its label profile"
		}
		parts = append(parts, fmt.Sprintf("%s of %s (%s)", d.agentRate(per), c.Name, why))
	}
	return strings.Join(parts, " and ")
}

// handled is what the labels of the liquids that people work with ask of them. The
// longest restricted-entry interval governs, and every label's protective equipment.
func (in *inputs) handled(liquids []rx.JobLiquid) values {
	var ppe, withoutPPE, withoutInterval []string
	var interval unit.Time
	for _, l := range liquids {
		p := labelOf(l)
		for _, what := range p.PPE {
			if !slices.Contains(ppe, what) {
				ppe = append(ppe, what)
			}
		}
		if len(p.PPE) == 0 {
			withoutPPE = append(withoutPPE, l.Name)
		}
		own, timed := p.ReEntry.Get()
		if interval = max(interval, own); !timed {
			withoutInterval = append(withoutInterval, l.Name)
		}
	}
	first := labelOf(liquids[0])
	var others []values
	var names []string
	for _, l := range liquids[1:] {
		others, names = append(others, values{"liquid": l.Name}), append(names, l.Name)
	}
	v := in.registrations(liquids)
	maps.Copy(v, values{
		"several liquids": len(liquids) > 1, "also put on": others, "others put on": strings.Join(names, " and "),
		"PPE known": len(ppe) > 0, "label's PPE": strings.Join(ppe, ", "), "some without PPE": len(withoutPPE) > 0, "who say no PPE": strings.Join(withoutPPE, " and of "),
		"re-entry known": len(withoutInterval) < len(liquids), "label's interval": interval.Text(in.s),
		"some without interval": len(withoutInterval) > 0, "who say no interval": strings.Join(withoutInterval, " and of "),
		"base known":  first.Base == label.Water || first.Base == label.Solvent,
		"water-based": first.Base == label.Water, "solvent-based": first.Base == label.Solvent,
	})
	return v
}

// labelOf is the label of a liquid; an empty one where none is given.
func labelOf(l rx.JobLiquid) *label.Profile { return cmp.Or(l.Label, &label.Profile{}) }

// registrations is what is known of the liquids as pesticides: one that is, or may be, is
// enough for what the law asks of all of a blend.
func (in *inputs) registrations(liquids []rx.JobLiquid) values {
	var mayBe, wanted, missing, unknown []values
	registered := false
	for _, l := range liquids {
		p := labelOf(l)
		number := p.Registration
		if number == "" && l.Further() == "" {
			number = in.job.Registration
		}
		one := values{"registration": orBlank(number), "whose": "", "of whom": "", "which product": "the product"}
		if len(liquids) > 1 {
			one["whose"], one["of whom"], one["which product"] = l.Name, "of "+l.Name, l.Name
		}
		registered = registered || p.IsRegistered()
		if p.Registered != label.No {
			mayBe = append(mayBe, one)
			if number == "" {
				missing = append(missing, one)
			}
		}
		// room for a number that the label has and nobody gave; none where nobody says that there is one
		if p.IsRegistered() || number != "" {
			wanted = append(wanted, one)
		}
		if p.Registered == label.Unknown {
			unknown = append(unknown, one)
		}
	}
	numbers := each.Of(wanted, func(one values) string {
		return strings.TrimSpace(fmt.Sprint(one["registration"], " ", one["of whom"]))
	})
	return values{
		"registration line wanted": len(wanted) > 0, "registration numbers": strings.Join(numbers, ", "),
		"registered": registered, "may be registered": len(mayBe) > 0,
		"product that may be registered": mayBe, "number wanted": wanted, "number missing": missing, "registration unknown": unknown,
	}
}
