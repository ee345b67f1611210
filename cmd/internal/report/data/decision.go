package data

import (
	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/check"
)

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
		room := float64(d.Room)
		out.Room = &room
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
