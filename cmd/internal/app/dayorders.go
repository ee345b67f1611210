package app

import (
	"cmp"
	"fmt"
	"slices"

	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/day"
)

// amounts are what a field takes of products.
type amounts struct {
	dry        []dryAmount
	carrier    string // what dry calls all that is impregnated; empty where it has it by its materials
	stabilizer unit.Volume
	agent      unit.Mass // to dry what the stabilizer wets
	further    []rx.FurtherAmount
}

type dryAmount struct {
	name, grade string // the grade is empty where it is unknown
	mass        unit.Mass
}

// agentFor is the drying agent for a volume of stabilizer, before batches are rounded.
func agentFor(t rx.Terms, v unit.Volume) unit.Mass {
	per, _ := t.Stabilizer().AgentPerLiquid()
	return unit.LiquidWeight(v, per)
}

const dryBlend = "dry blend"

// dryOf lists the dry products of a prescription: by the materials of its blend, where the job
// names them, else by its rate fields; and says what it calls all that is impregnated.
func dryOf(p *rx.Prescription, t rx.Terms) (list []dryAmount, carrier string) {
	if materials := t.MaterialsOf(p, -1); p.Blend() && len(materials) > 0 {
		for _, m := range materials {
			one := dryAmount{name: m.Name, mass: p.DryMass() * unit.Mass(m.Share)}
			if g, ok := m.Grade.Get(); ok {
				one.grade = g.String()
			}
			list = append(list, one)
		}
		return list, ""
	}
	if p.Blend() {
		return []dryAmount{{name: dryBlend, mass: p.DryMass()}}, dryBlend
	}
	for n, field := range p.Fields {
		list = append(list, dryAmount{name: field.Name, mass: massOf(p, n)})
	}
	return list, p.Fields[p.CarrierField()].Name
}

// massOf is what the rates of one field of a prescription take.
func massOf(p *rx.Prescription, n int) unit.Mass {
	mass := 0.0
	for i, z := range p.Zones {
		if z.HasRate() {
			mass += float64(unit.MassOver(p.FieldRate(i, n), z.Area))
		}
	}
	return unit.Mass(mass)
}

// orderSums adds up products of one kind and unit.
type orderSums struct {
	unit    string
	details []string // that tell products of one name apart
	list    []report.DayOrder
}

func (o *orderSums) add(name, detail string, amount float64, blend, blends int) {
	if amount <= 0 {
		return
	}
	at := -1
	for i, one := range o.list {
		if one.What == name && o.details[i] == detail {
			at = i
		}
	}
	if at < 0 {
		at, o.details = len(o.list), append(o.details, detail)
		o.list = append(o.list, report.DayOrder{What: name, Unit: o.unit, Of: make([]float64, blends)})
	}
	o.list[at].Amount += amount
	o.list[at].Of[blend] += amount
}

// named returns the sums, each under a name of its own.
func (o *orderSums) named() []report.DayOrder {
	list := slices.Clone(o.list)
	for i := range list {
		if slices.ContainsFunc(o.list[:i], func(b report.DayOrder) bool { return b.What == list[i].What }) ||
			slices.ContainsFunc(o.list[i+1:], func(b report.DayOrder) bool { return b.What == list[i].What }) {
			list[i].What += " " + cmp.Or(o.details[i], "of unknown grade")
		}
	}
	return list
}

// orders adds up what all fields take.
func orders(s unit.System, d report.Day, fields []*dayField, limit dayLimits) []report.DayOrder {
	mass, massUnit := unit.Ton, "ton"
	if s == unit.Metric {
		mass, massUnit = unit.MetricTon, "t"
	}
	_, volumeUnit := packed(0, s)
	dry, stabilizer, further, agent := orderSums{unit: massUnit}, orderSums{unit: volumeUnit}, orderSums{unit: volumeUnit}, orderSums{unit: unit.Symbol[unit.Mass](s)}
	for _, f := range fields {
		if !f.shown.Served() {
			continue
		}
		add := func(o *orderSums, name, detail string, amount float64) {
			o.add(name, detail, amount, f.shown.Blend, len(d.Blends))
		}
		for _, p := range f.amounts.dry {
			if p.name == dryBlend {
				p.grade = fmt.Sprintf("%d", f.shown.Blend+1)
			}
			add(&dry, p.name, p.grade, float64(p.mass/mass))
		}
		volume, _ := packed(f.amounts.stabilizer, s)
		add(&stabilizer, "stabilizer", f.terms.Label.Name, volume)
		for _, l := range f.amounts.further {
			volume, _ := packed(l.Volume, s)
			add(&further, l.Name, "", volume)
		}
		add(&agent, "drying agent", "", f.amounts.agent.In(s))
	}
	for i := range stabilizer.list {
		o := &stabilizer.list[i]
		o.Packs, o.Left = day.Packages(o.Amount, limit.packages)
	}
	return slices.Concat(dry.named(), stabilizer.named(), further.named(), agent.named())
}
