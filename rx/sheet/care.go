package sheet

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// delivery says how the stabilizer gets onto the blend, with its dangers, and what to
// do when the line stands. Pressures and volumes are common practice, no source.
func (d *draft) delivery() {
	d.add(rx.Section{
		Title: "Bringing the stabilizer in",
		Cautions: []string{
			"Pressure vessel: only one that is built and rated for it. Its rated pressure comes first; never go above it.",
			"Cap closed and tight before air goes on. Relieve all pressure before anything is opened.",
		},
		Notes: []string{
			"Pressure vessel: " + d.usualAir() + " of air is usual, below the rating in any case. Blow the line empty into the batch, so that the whole dose is in it.",
			"Pump: let it draw from the stabilizer's own tank, run it against a measure of known volume first, and dose by the measure, not by the clock.",
			"Idle over 24 h: send " + pick(d.show, "1 to 2 quarts", "1 to 2 L") + " of warm water through the line.",
			"Clean-up: " + d.cleanUp(),
			"Air and idle figures are common practice, no source.",
		},
		Blanks: []string{"Vessel's rated pressure: " + blank + " " + unit.PressureSymbol(d.s) + "; Used: " + blank + " " + unit.PressureSymbol(d.s)},
	})
}

// usualAir is 25 to 40 psi.
func (d *draft) usualAir() string { return between(d.pressure(25*unit.PSI), d.pressure(40*unit.PSI)) }

func (d *draft) cleanUp() string {
	switch d.label.Base {
	case label.Water:
		return "water cleans up this product, which is water-based. Keep the rinse water for a labeled use."
	case label.Solvent:
		return "this product is solvent-based: use what the label says, which is: " + blank
	}
	d.lacks("what the product is made with, water or solvent", "label profile, base", "the label says what cleans it up")
	return "as the label says: " + blank
}

// trucks divides the treated load into truck loads of whole batches.
func (d *draft) trucks(t *treated) {
	s := rx.Section{Title: "Truck and tender loads"}
	capacity, known := d.capacity()
	batches, batched := t.batches.Get()
	switch {
	case !known:
		d.lacks("what a truck carries", "job file, spreader.truck", "truck loads are not worked out")
		s.Blanks = []string{"Truck carries: " + blank + " " + d.massUnit() + "; Loads: " + blank}
	case batched && d.onTruck(t, capacity) > 0:
		per := d.onTruck(t, capacity)
		loads := (batches.Count + per - 1) / per
		s.Facts = []rx.Fact{
			{What: "Whole batches on a truck", Value: fmt.Sprint(per), Note: "a truck carries " + d.mass(capacity)},
			{What: "Truck loads", Value: fmt.Sprint(loads), Note: d.lastTruck(batches.Count, per)},
			{What: "Weight of a full one", Value: d.mass(d.treatedMass(t, t.portion.Dry) * unit.Mass(min(per, batches.Count))), Note: "treated"},
		}
	default:
		count, each, _ := d.job.Spreader.Loads(d.treatedMass(t, t.mass))
		s.Facts = []rx.Fact{{What: "Truck loads", Value: fmt.Sprint(count), Note: d.mass(each) + " each, treated"}}
	}
	d.add(s)
}

func (d *draft) capacity() (unit.Mass, bool) {
	if d.job.Spreader == nil {
		return 0, false
	}
	return d.job.Spreader.Truck.Get()
}

// treatedMass adds liquid and drying agent, as far as their weight is known.
func (d *draft) treatedMass(t *treated, m unit.Mass) unit.Mass { return m * unit.Mass(1+t.added.Or(0)) }

func (d *draft) onTruck(t *treated, capacity unit.Mass) int {
	return int(capacity / d.treatedMass(t, t.portion.Dry))
}

func (d *draft) lastTruck(batches, per int) string {
	if rest := batches % per; rest > 0 && batches > per {
		return "the last with " + plural(rest, "batch", "batches")
	}
	return ""
}

// leftover says what happens with treated blend that comes back.
func (d *draft) leftover(t *treated) {
	spread := "Do not spread it: no dry rate is on label at its loading."
	if window, _, why := d.windowText(t); why == "" {
		spread = "Spread it on ground of this field that has not had its rate, at " + window + " of dry."
	}
	d.add(rx.Section{
		Title: "Treated blend that is left over",
		Notes: []string{
			spread + " Never put it into inventory or another customer's blend, and hold it no longer than the label says.",
		},
		Blanks: []string{"Left over: " + blank + " " + d.massUnit() + "; Spread on: " + blank + "; Date: " + blank},
	})
}
