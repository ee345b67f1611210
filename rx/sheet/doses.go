package sheet

import (
	"fmt"
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// halfUp rounds up to the next half, as plants do with drying agent.
func halfUp(v float64) float64 { return math.Ceil(2*v-1e-9) / 2 }

// enoughLime is the pelletized lime in a blend that serves as a drying agent; common
// practice, no source.
const enoughLime = 50 * unit.PoundPerAcre

// limeNotes says where lime in the blend dries it as well.
func (d *draft) limeNotes(t *treated) []string {
	share := t.what.Share("pelletized lime")
	least := t.rates.Min * unit.DryRate(share)
	if least <= enoughLime {
		return nil
	}
	return []string{fmt.Sprintf("The blend has %s or more of pelletized lime, which serves as a drying agent where it is over %s (common practice, no source).", d.dry(least), d.dry(enoughLime))}
}

// doses gives the stabilizer by what was weighed: a batch is dosed by its weighed
// product, never by the area that it is meant for.
func (d *draft) doses(t *treated) {
	l := t.layer.Loading
	step := equip.ScaleStep(d.s)
	hundred := 100 * step
	weights := []unit.Mass{10 * step, hundred, 10 * hundred, d.bulkOne()}
	if d.bulkOne() == 10*hundred {
		weights = weights[:3]
	}
	if _, known := t.batches.Get(); known {
		weights = append(weights, t.portion.Dry)
	}
	table := rx.Table{
		Head: []string{"dry weighed, " + d.massUnit(), d.dropUnit(), d.canUnit()},
		Left: []bool{false, false, false},
	}
	for _, m := range weights {
		v := l.Of(m)
		table.Rows = append(table.Rows, []string{d.massN(m), num(v.In(d.s), pick(d.show, 2, 0)), num(float64(v/d.canOne()), 3)})
	}
	s := rx.Section{Title: "Stabilizer by what was weighed", Tables: []rx.Table{table}}
	s.Facts = []rx.Fact{
		{What: "Loading", Value: d.a.Terms.LoadingText(l), Note: "of dry, before anything is added"},
		{What: "Per 100 " + d.massUnit(), Value: num(l.Of(hundred).In(d.s), 2) + " " + d.dropUnit()},
	}
	s.Notes = []string{fmt.Sprintf("Weigh the dry first. Dose = weighed %s x %s / %s. Never dose by the area that the batch is meant for.",
		d.massUnit(), trim(l.In(d.s), 4), num(d.bulkOne().In(d.s), 0))}
	d.add(s)
}

// usualMix is how long blends are mixed after the liquid is in; common practice, no
// source.
func usualMix() label.Range[unit.Time] { return label.Range[unit.Time]{Min: 3, Max: 5} }

// mixTime returns how long to mix, and who says so.
func (c *crew) mixTime() (text, from string) {
	if r, ok := c.label.MixTimes(); ok {
		return between(c.minutes(r.Min), c.minutes(r.Max)), "by the label profile"
	}
	r := usualMix()
	return between(c.minutes(r.Min), c.minutes(r.Max)), "common practice, no source"
}

// mixing gives the order of adding.
func (d *draft) mixing(t *treated) {
	time, from := d.mixTime()
	steps := []string{
		"Weigh all dry materials into the blender and start it.",
		"Add the drying agent; let it spread through the batch.",
		"Spray the stabilizer on, dosed by the weighed dry, evenly over the moving blend.",
	}
	if second := d.job.SecondLiquid; second != nil {
		steps = append(steps, "Then "+second.Name+": any further liquid comes after the stabilizer.")
	}
	steps = append(steps,
		fmt.Sprintf("Mix %s after the last liquid is in (%s).", time, from),
		"Look: the same color everywhere, no wet lumps, dry to the hand. Else mix on or add drying agent.",
		"Write weight, dose and minutes into the log below before the next batch.",
	)
	d.add(rx.Section{Title: "Order of adding", Steps: steps, Notes: []string{"The labels of the products in hand come first where they say another order."}})
}

// halfBatches offers the way out for a batch that comes out too wet.
func (d *draft) halfBatches(t *treated) {
	half, one, ok := d.a.Terms.HalfBatches(t.load())
	if !ok {
		return
	}
	s := rx.Section{Title: "If batches come out too wet: half batches"}
	s.Notes = append(s.Notes, "More drying agent, or longer mixing, or half-full batches for half the time each: they dry better than one full drum, and more of them go through in an hour (common practice, no source).")
	s.Facts = append(s.Facts,
		rx.Fact{What: "Half batches", Value: fmt.Sprint(half.Count), Note: d.mass(one.Dry) + " of dry each"},
		rx.Fact{What: "Stabilizer in each", Value: d.drop(one.Liquid), Note: d.can(one.Liquid)},
		rx.Fact{What: "Drying agent in each", Value: d.agentN(one.AgentInAll()) + " " + d.massUnit()},
	)
	for i, m := range t.what {
		if len(t.what) > 1 {
			s.Facts = append(s.Facts, rx.Fact{What: m.Name + " in each", Value: d.mass(one.Materials[i])})
		}
	}
	if second := d.job.SecondLiquid; second != nil {
		s.Facts = append(s.Facts, rx.Fact{What: second.Name + " in each", Value: d.drop(one.Second), Note: d.can(one.Second)})
	}
	if time, ok := half.Time.Get(); ok {
		s.Facts = append(s.Facts, rx.Fact{
			What: "Batches an hour", Value: num(float64(half.Count)/float64(time/unit.Hour), 1),
			Note: d.minutes(time/unit.Time(half.Count)) + " each, " + d.minutes(time) + " in all",
		})
	}
	d.halvesInAll(t, one, &s)
	d.add(s)
}

// halvesInAll sets what half batches make in all beside what full ones do, and says
// why the dose of one is what it is.
func (d *draft) halvesInAll(t *treated, one rx.Portion, s *rx.Section) {
	half, full := one.Total(), t.portion.Total()
	s.Facts = append(s.Facts,
		rx.Fact{What: "Dry in all", Value: d.mass(half.Dry), Note: "full batches make " + d.mass(full.Dry)},
		rx.Fact{What: "Stabilizer in all", Value: d.drop(half.Liquid), Note: "full batches make " + d.drop(full.Liquid)},
		rx.Fact{What: "Drying agent in all", Value: d.agentN(half.AgentInAll()) + " " + d.massUnit(), Note: "full batches make " + d.agentN(full.AgentInAll()) + " " + d.massUnit()},
	)
	s.Notes = append(s.Notes, d.doseNote(t, one))
	if half.Liquid != full.Liquid || half.Dry != full.Dry {
		s.Notes = append(s.Notes, "The totals differ because each batch is weighed and metered in whole steps by itself: dose what one batch takes, never half of another's dose. Orders and cost go by the full batches.")
	}
}

// doseNote says how a batch's dose was rounded, and why.
func (d *draft) doseNote(t *treated, one rx.Portion) string {
	exact := t.layer.Loading.Of(one.Dry)
	return fmt.Sprintf("Dose: %s of dry at the loading take %s %s", d.mass(one.Dry), trim(exact.In(d.s), 3), d.dropUnit()) +
		d.rounding(exact, one.Liquid, func(v unit.Volume) string { return d.a.Terms.WhyNotDose(t.load(), one.Dry, v) })
}
