package data

import (
	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// liquidJSON is a further liquid of the job, graded beside the stabilizer.
type liquidJSON struct {
	Name     string      `json:"name"`
	On       string      `json:"on"`
	Label    *rangeJSON  `json:"label"`
	Loading  float64     `json:"loading"` // 0 for the boom's tank
	Rates    rangeJSON   `json:"rate"`    // that lands
	Window   *windowJSON `json:"window"`  // null where one load can't serve every zone by its label, or none bounds it
	WithRoom *windowJSON `json:"window_with_room"`
	Area     struct {
		Below     float64 `json:"below"`
		Within    float64 `json:"within"`
		Above     float64 `json:"above"`
		NotGraded float64 `json:"not_graded"`
		Season    float64 `json:"over_season"` // of within
	} `json:"area"`
}

type rangeJSON struct {
	Min float64 `json:"min"`
	Max float64 `json:"max"`
}

// liquidsOf lists the further liquids of a check; none for a job without.
func liquidsOf(r report.Result) []liquidJSON {
	list := []liquidJSON{}
	a, s := r.Assessment, r.Units
	low, high, treated := r.Prescription.CarrierRange()
	place := 0 // on the blend
	for i := range a.Further {
		g := &a.Further[i]
		one := liquidJSON{Name: g.Liquid.Name, On: string(g.Liquid.On), Loading: g.Loading.In(s), Rates: rangeJSON{g.Stabilizer.Min.In(s), g.Stabilizer.Max.In(s)}}
		if label, graded := g.Liquid.Range(); graded {
			one.Label = &rangeJSON{label.Min.In(s), label.Max.In(s)}
		}
		if g.Liquid.On == equip.OnBlend {
			place++
			if dry := (rx.Range[unit.DryRate]{Min: low, Max: high}); treated && g.Liquid.Label != nil {
				one.Window = windowOf(a.Terms.OwnWindow(place, dry, 0), s)
				one.WithRoom = windowOf(a.Terms.OwnWindow(place, dry, a.Terms.RateError), s)
			}
		}
		for v, into := range map[rx.Verdict]*float64{rx.Below: &one.Area.Below, rx.Within: &one.Area.Within, rx.Above: &one.Area.Above, rx.NotGraded: &one.Area.NotGraded} {
			*into = g.Shares[v].Area.In(s)
		}
		one.Area.Season = g.OverSeason.Area.In(s)
		list = append(list, one)
	}
	return list
}

func windowOf(w *rx.Range[unit.Loading], s unit.System) *windowJSON {
	if w == nil {
		return nil
	}
	return &windowJSON{w.Min.In(s), w.Max.In(s)}
}
