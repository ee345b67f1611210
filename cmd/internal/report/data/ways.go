package data

import (
	"rxsplit/cmd/internal/report"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

type wayJSON struct {
	Way           string          `json:"way"`
	State         rx.State        `json:"state"`
	Possible      bool            `json:"possible"`
	Conditions    []conditionJSON `json:"conditions"`
	SameAs        *rx.WayName     `json:"same_as"`
	Why           string          `json:"why"`
	OffLabel      float64         `json:"off_label_area"`
	LeftOff       float64         `json:"left_off_area"`
	LeftZones     []int           `json:"left_off_zones,omitempty"`
	Untreated     float64         `json:"untreated_strips_area,omitempty"`
	Undeliverable float64         `json:"undeliverable_area"`
	Room          *float64        `json:"room"` // a share; null if the way is impossible
	Loads         int             `json:"loads"`
	Batches       int             `json:"batches,omitempty"`
	Fills         int             `json:"fills,omitempty"`
	Passes        int             `json:"passes"`
	DryAdded      float64         `json:"dry_added"`
	DryRemoved    float64         `json:"dry_removed"`
	NAdded        *float64        `json:"n_added,omitempty"`
	NRemoved      *float64        `json:"n_removed,omitempty"`
	Loadings      []float64       `json:"loadings,omitempty"`
	RateMin       float64         `json:"rate_min"`
	RateMax       float64         `json:"rate_max"`
	Volume        float64         `json:"stabilizer_volume"`
	Metered       float64         `json:"stabilizer_metered"`
	Minutes       float64         `json:"minutes,omitempty"`
	Liquids       []wayLiquidJSON `json:"liquids,omitempty"` // beside the stabilizer
	Driving       *drivingJSON    `json:"driving"`
	Cost          *costJSON       `json:"cost,omitempty"`
}

type conditionJSON struct {
	What string  `json:"what"` // the rule's name
	Area float64 `json:"area"`
	Text string  `json:"text"`
}

type drivingJSON struct {
	Length float64 `json:"length"`
	Turns  int     `json:"turns"`
	Hours  float64 `json:"hours"`
}

type wayLiquidJSON struct {
	Name    string  `json:"name"`
	Volume  float64 `json:"volume"`
	Metered float64 `json:"metered"`
	RateMin float64 `json:"rate_min"` // on the ground; 0 where the way puts none on
	RateMax float64 `json:"rate_max"`
}

type costJSON struct {
	Low     float64        `json:"low"`
	High    float64        `json:"high"`
	PerArea float64        `json:"per_area_high"`
	Area    float64        `json:"area"` // that per_area_high goes by: the ground that gets dry
	Items   []costItemJSON `json:"items"`
	Missing []string       `json:"missing"`
	Not     []string       `json:"not_counted,omitempty"`
}

type costItemJSON struct {
	What   string  `json:"what"`
	Of     string  `json:"of"`
	At     string  `json:"at"` // the price of one
	Amount float64 `json:"amount"`
}

func wayOf(w rx.Way, s unit.System) wayJSON {
	out := wayJSON{
		Way: string(w.Name), State: w.State, Possible: w.Possible(), Conditions: []conditionJSON{}, Undeliverable: w.Undeliverable.In(s), Why: w.Why, OffLabel: w.OffLabel.In(s), LeftOff: w.LeftOff.In(s), Untreated: w.Untreated.In(s), LeftZones: w.LeftZones,
		Loads: len(w.Loads), Batches: w.Batches, Fills: w.Fills, Passes: w.Passes, DryAdded: w.DryAdded.In(s), DryRemoved: w.DryRemoved.In(s),
		RateMin: w.Rate.Min.In(s), RateMax: w.Rate.Max.In(s), Volume: w.Stabilizer.In(s), Metered: w.Metered.In(s), Minutes: float64(w.Minutes),
	}
	for _, c := range w.Conditions {
		out.Conditions = append(out.Conditions, conditionJSON{c.Rule(), c.Area.In(s), tell.Text(c, s)})
	}
	if w.Possible() {
		out.Room = new(float64(w.Room))
	}
	if w.SameAs != "" {
		out.SameAs = &w.SameAs
	}
	if d := w.Driving; d != nil {
		out.Driving = &drivingJSON{d.Length.In(s), d.Turns, float64(d.Time / unit.Hour)}
	}
	for _, l := range w.Loads {
		out.Loadings = append(out.Loadings, l.Loading.In(s))
	}
	for _, f := range w.Further {
		out.Liquids = append(out.Liquids, wayLiquidJSON{f.Name, f.Volume.In(s), f.Metered.In(s), f.Rate.Min.In(s), f.Rate.Max.In(s)})
	}
	if w.NKnown {
		out.NAdded, out.NRemoved = new(w.NAdded.In(s)), new(w.NRemoved.In(s))
	}
	if w.Cost != nil {
		out.Cost = &costJSON{Low: w.Cost.Low, High: w.Cost.High, PerArea: w.Cost.PerAcre / float64(unit.Acre.In(s)), Area: w.Cost.Area.In(s), Missing: append([]string{}, w.Cost.Missing...), Not: w.Cost.NotCounted}
		for _, item := range w.Cost.Items {
			out.Cost.Items = append(out.Cost.Items, costItemJSON{item.What, item.Of, item.At, item.Amount})
		}
	}
	return out
}

// Way prints one way as the summary of a plan.
func Way(w rx.Way, s unit.System) ([]byte, error) { return marshal(wayOf(w, s)) }

type decisionJSON struct {
	Text       string      `json:"text"`
	Impregnate bool        `json:"impregnate"` // the blend as one: on label, with room for the rate error, and nothing forbids it
	Best       *rx.WayName `json:"best_way"`   // null if none is possible
	OffLabel   float64     `json:"off_label_area"`
	Room       *float64    `json:"room"` // of the blend as one, a share; null if it is off label
}

type patchJSON struct {
	Verdict string     `json:"verdict"`
	Season  bool       `json:"over_season"` // within the label in this pass, but above its season maximum
	Zones   []int      `json:"zones"`
	Area    float64    `json:"area"`
	Min     float64    `json:"dry_min"`
	Max     float64    `json:"dry_max"`
	Place   [2]float64 `json:"place"` // lon, lat
}

func decisionOf(r report.Result) decisionJSON {
	d := r.Decide()
	out := decisionJSON{Text: report.DecisionText(r), Impregnate: d.Impregnate, OffLabel: r.Assessment.OffLabel().In(r.Units)}
	if d.Best != nil {
		out.Best = &d.Best.Name
	}
	if r.Assessment.Loading > 0 && out.OffLabel == 0 {
		out.Room = new(float64(d.Room))
	}
	return out
}

func patchesOf(r report.Result) []patchJSON {
	list := []patchJSON{}
	for _, one := range check.Patches(r.Prescription, r.Assessment) {
		list = append(list, patchJSON{one.Verdict.String(), one.Season, one.Zones, one.Area.In(r.Units), one.Dry.Min.In(r.Units), one.Dry.Max.In(r.Units), one.Place})
	}
	return list
}

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
