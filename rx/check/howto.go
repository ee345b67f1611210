package check

import (
	"fmt"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// leastDryRate finds zones whose dry rate is too small to carry the stabilizer
// evenly, as the label says.
func leastDryRate() Rule {
	return Rule{
		Name: "min-dry-rate",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if _, ok := a.Terms.Label.MinDryRate.Get(); !ok {
				return "the label profile gives no smallest impregnated dry rate"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			least, _ := a.Terms.Label.MinDryRate.Get()
			want := rx.Range[unit.DryRate]{Min: least}
			lowest := least
			zones, area := selected(p, func(i int) bool {
				z := p.Zones[i]
				if !z.Treated() || !want.Under(z.Carrier) {
					return false
				}
				lowest = min(lowest, z.Carrier)
				return true
			})
			if len(zones) == 0 {
				return nil
			}
			s := a.Terms.Units
			return []rx.Finding{{
				Rule: "min-dry-rate", Severity: rx.Error, About: rx.AboutLabel, Zones: zones, Area: area,
				Got: lowest.Text(s), Want: "at least " + least.Text(s),
				Text: fmt.Sprintf("%s would get less impregnated dry than the label's smallest, %s.", rx.ZonesText(len(zones), area, s), least.Brief(s)),
				Hint: "do not impregnate what goes there; choose another way to release the prescription",
			}}
		},
	}
}

// mostLiquid holds the loading, and the further liquid that is impregnated beside it,
// against what a ton takes up.
func mostLiquid() Rule {
	return Rule{
		Name: "max-liquid",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if _, ok := a.Terms.Label.MaxLiquid.Get(); !ok {
				return "the label profile gives no most liquid a ton"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			most, _ := a.Terms.Label.MaxLiquid.Get()
			further := a.Terms.FurtherLoading()
			all := a.Loading + further
			if a.Loading == 0 || !(rx.Range[unit.Loading]{Max: most}).Over(all) {
				return nil
			}
			s := a.Terms.Units
			text := fmt.Sprintf("a loading of %s is more than a ton takes up by the label, %s.", a.Loading.Brief(s), most.Brief(s))
			if further > 0 {
				text = fmt.Sprintf("a loading of %s and %s of %s make %s, more than a ton takes up by the label, %s.",
					a.Loading.Brief(s), further.Brief(s), a.Terms.Job.SecondLiquid.Name, all.Brief(s), most.Brief(s))
			}
			return []rx.Finding{{
				Rule: "max-liquid", Severity: rx.Error, About: rx.AboutLabel, Area: p.TreatedArea(),
				Got: all.Text(s), Want: "at most " + most.Text(s), Text: text,
				Hint: "lower the loading, or choose another way to release the prescription",
			}}
		},
	}
}

// loadingRange holds the loading against the label's own range per ton.
func loadingRange() Rule {
	return Rule{
		Name: "loading-range",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if _, ok := a.Terms.Label.Loading.Get(); !ok {
				return "the label profile states no rate per ton"
			}
			return ""
		},
		Find: func(p *rx.Prescription, a *rx.Assessment) []rx.Finding {
			per, _ := a.Terms.Label.Loading.Get()
			if a.Loading == 0 || rx.Range[unit.Loading](per).Contains(a.Loading) {
				return nil
			}
			s := a.Terms.Units
			return []rx.Finding{{
				Rule: "loading-range", Severity: rx.Error, About: rx.AboutLabel, Area: p.TreatedArea(),
				Got: a.Loading.Text(s), Want: per.Min.Text(s) + " to " + per.Max.Text(s),
				Text: fmt.Sprintf("a loading of %s is outside the label's own range per ton, %s to %s.", a.Loading.Brief(s), per.Min.Brief(s), per.Max.Brief(s)),
				Hint: "change the loading (--loading), or choose another way to release the prescription",
			}}
		},
	}
}

// carrier holds the materials of the blend against the carriers that the label
// allows and forbids.
func carrier() Rule {
	return Rule{
		Name: "carrier",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if len(a.Terms.Materials()) == 0 {
				return "the materials of the blend are not given (--job, blend)"
			}
			if allowed, forbidden := a.Terms.Label.CarrierLists(); len(allowed)+len(forbidden) == 0 {
				return "the label profile lists no carriers"
			}
			return ""
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			allowed, _ := a.Terms.Label.CarrierLists()
			want := "one of " + strings.Join(allowed, ", ")
			var out []rx.Finding
			for _, m := range a.Terms.Materials() {
				switch a.Terms.Label.Carriers.Of(m.Name) {
				case label.Forbidden:
					out = append(out, rx.Finding{
						Rule: "carrier", Severity: rx.Error, About: rx.AboutLabel, Got: m.Name, Want: want,
						Text: m.Name + " is a carrier that the label forbids.", Hint: "do not impregnate this blend; a wet boom leaves the dry untreated",
					})
				case label.Unsaid:
					out = append(out, rx.Finding{
						Rule: "carrier", Severity: rx.Warning, About: rx.AboutLabel, Got: m.Name, Want: want,
						Text: m.Name + " is a carrier that the label neither allows nor forbids.", Hint: "ask the supplier of the stabilizer before you impregnate it",
					})
				}
			}
			return out
		},
	}
}

// compatible looks for materials that must not be blended with one another, and
// for those that no organic liquid may be put on.
func compatible() Rule {
	return Rule{
		Name: "compatible",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if len(a.Terms.Materials()) == 0 {
				return "the materials of the blend are not given (--job, blend)"
			}
			return ""
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			materials := a.Terms.Materials()
			var out []rx.Finding
			for _, c := range append(equip.Compatibility(materials), equip.Impregnability(materials)...) {
				f := rx.Finding{Rule: "compatible", Severity: rx.Warning, About: rx.AboutEquipment, Got: strings.Join(c.Materials, ", "), Text: c.Text, Hint: c.Hint}
				if c.Block || c.Stop && !a.Terms.Job.BlendTested {
					f.Severity = rx.Error
				}
				out = append(out, f)
			}
			return out
		},
	}
}

// sprayVolume holds the boom's volume against the label's.
func sprayVolume() Rule {
	return Rule{
		Name: "spray-volume",
		Skip: func(_ *rx.Prescription, a *rx.Assessment) string {
			if _, ok := a.Terms.Label.SprayVolume.Get(); !ok {
				return "the label profile gives no spray volume"
			}
			if a.Terms.Job == nil || a.Terms.Job.Boom == nil {
				return "no boom is given (--job, boom)"
			}
			return ""
		},
		Find: func(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
			v, _ := a.Terms.Label.SprayVolume.Get()
			r := rx.Range[unit.LiquidRate](v)
			if volume, s := a.Terms.Job.Boom.Volume, a.Terms.Units; !r.Contains(volume) {
				per, symbol := unit.SprayVolumeUnit(s)
				return []rx.Finding{{
					Rule: "spray-volume", Severity: rx.Warning, About: rx.AboutEquipment, Got: volume.Text(s), Want: v.Min.Text(s) + " to " + v.Max.Text(s),
					Text: fmt.Sprintf("the boom's volume, %.4g %s, is outside the spray volumes of the label, %.4g to %.4g %s.",
						float64(volume/per), symbol, float64(v.Min/per), float64(v.Max/per), symbol),
					Hint: "change the volume before the wet boom is used",
				}}
			}
			return nil
		},
	}
}
