package sheet

import (
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// windowFact gives the dry rates that stay on label at the loading.
func (d *draft) windowFact(t *treated) rx.Fact {
	text, own, why := d.windowText(t)
	if why != "" {
		text = "no dry rate: " + why
	}
	return rx.Fact{What: "On label at this loading", Value: text, Note: "of dry; this layer has " + own}
}

// windowText prints the dry rates that stay on label at the loading of a layer, and those
// of the layer itself. The ends of the former are rounded inward, so that what is printed
// is on label too; both have as many decimals as it takes for the layer's rates to be
// inside as printed. Where no rate is on label it says why.
func (d *draft) windowText(t *treated) (window, own, why string) {
	r, why := d.a.Terms.DryWindow(t.layer.Loading)
	text := func(low, high float64, decimals int) string {
		return between(trim(low, decimals)+" "+d.dryUnit(), trim(high, decimals)+" "+d.dryUnit())
	}
	low, high := t.rates.Min.In(d.s), t.rates.Max.In(d.s)
	for decimals := 1; decimals <= 3; decimals++ {
		least, most := inward(r.Min.In(d.s), r.Max.In(d.s), decimals)
		window, own = text(least, most, decimals), text(low, high, decimals)
		if steps := math.Pow10(decimals); least <= math.Round(low*steps)/steps && math.Round(high*steps)/steps <= most {
			return window, own, why
		}
	}
	return text(r.Min.In(d.s), r.Max.In(d.s), 1), text(low, high, 1), why // a window that is a point
}

// liquidFact holds all liquid that a ton of dry gets against what it takes up; it is for
// labels that say how much that is.
func (d *draft) liquidFact(t *treated, most unit.Loading) rx.Fact {
	all := t.layer.Loading + d.a.Terms.FurtherLoading()
	return rx.Fact{
		What: "Liquid, all together", Value: d.loading(all),
		Note: "of the " + d.loading(most) + " that a ton of dry takes up at most, by the label",
	}
}
