package data

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
)

type wayJSON struct {
	Way        string    `json:"way"`
	Possible   bool      `json:"possible"`
	Why        string    `json:"why"`
	OffLabel   float64   `json:"off_label_area"`
	LeftOff    float64   `json:"left_off_area"`
	LeftZones  []int     `json:"left_off_zones,omitempty"`
	Loads      int       `json:"loads"`
	Batches    int       `json:"batches,omitempty"`
	Fills      int       `json:"fills,omitempty"`
	Passes     int       `json:"passes"`
	DryAdded   float64   `json:"dry_added"`
	DryRemoved float64   `json:"dry_removed"`
	NAdded     *float64  `json:"n_added,omitempty"`
	NRemoved   *float64  `json:"n_removed,omitempty"`
	Loadings   []float64 `json:"loadings,omitempty"`
	RateMin    float64   `json:"rate_min"`
	RateMax    float64   `json:"rate_max"`
	Volume     float64   `json:"stabilizer_volume"`
	Metered    float64   `json:"stabilizer_metered"`
	Minutes    float64   `json:"minutes,omitempty"`
	Needs      []string  `json:"needs,omitempty"`
	Cost       *costJSON `json:"cost,omitempty"`
}

type costJSON struct {
	Total   float64        `json:"total"`
	PerArea float64        `json:"per_area"`
	Area    float64        `json:"area"` // that per_area goes by: the ground that gets dry
	Items   []costItemJSON `json:"items"`
	Missing []string       `json:"missing,omitempty"`
	Not     []string       `json:"not_counted,omitempty"`
}

type costItemJSON struct {
	What   string  `json:"what"`
	Of     string  `json:"of"`
	Amount float64 `json:"amount"`
}

func wayOf(w rx.Way, s unit.System) wayJSON {
	out := wayJSON{
		Way: string(w.Name), Possible: w.Possible, Why: w.Why, OffLabel: w.OffLabel.In(s), LeftOff: w.LeftOff.In(s), LeftZones: w.LeftZones,
		Loads: len(w.Loads), Batches: w.Batches, Fills: w.Fills, Passes: w.Passes, DryAdded: w.DryAdded.In(s), DryRemoved: w.DryRemoved.In(s),
		RateMin: w.Rate.Min.In(s), RateMax: w.Rate.Max.In(s), Volume: w.Stabilizer.In(s), Metered: w.Metered.In(s), Minutes: float64(w.Minutes), Needs: w.Needs,
	}
	for _, l := range w.Loads {
		out.Loadings = append(out.Loadings, l.Loading.In(s))
	}
	if w.NKnown {
		added, removed := w.NAdded.In(s), w.NRemoved.In(s)
		out.NAdded, out.NRemoved = &added, &removed
	}
	if w.Cost != nil {
		out.Cost = &costJSON{Total: w.Cost.Total, PerArea: w.Cost.PerAcre / float64(unit.Acre.In(s)), Area: w.Cost.Area.In(s), Missing: w.Cost.Missing, Not: w.Cost.NotCounted}
		for _, item := range w.Cost.Items {
			out.Cost.Items = append(out.Cost.Items, costItemJSON{item.What, item.Of, item.Amount})
		}
	}
	return out
}

// Way prints one way as the summary of a plan.
func Way(w rx.Way, s unit.System) ([]byte, error) { return marshal(wayOf(w, s)) }
