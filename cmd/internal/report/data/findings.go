package data

import (
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

type findingJSON struct {
	Rule     string      `json:"rule"`
	Severity rx.Severity `json:"severity"`
	About    rx.About    `json:"about"`
	Zones    []int       `json:"zones"`
	Area     float64     `json:"area"`
	Place    []float64   `json:"place"` // lon, lat
	Field    string      `json:"field"`
	Got      string      `json:"got"`
	Want     string      `json:"want"`
	Text     string      `json:"text"`
	Hint     string      `json:"hint"`
	Doubt    bool        `json:"doubt,omitempty"` // of what the input means: to be answered before anything is written
}

// Findings prints findings as a list.
func Findings(findings []rx.Finding, s unit.System) ([]byte, error) {
	return marshal(findingsOf(findings, s))
}

func findingsOf(findings []rx.Finding, s unit.System) []findingJSON {
	list := make([]findingJSON, len(findings))
	for i, f := range findings {
		said := tell.Finding(f, s)
		list[i] = findingJSON{
			Rule: f.Rule(), Severity: f.Severity, Doubt: f.Doubt(), About: f.About(), Zones: f.Zones, Area: f.Area.In(s),
			Field: f.Field, Got: said.Got, Want: said.Want, Text: said.Text, Hint: said.Hint,
		}
		if f.Zones == nil {
			list[i].Zones = []int{}
		}
		if f.Place != nil {
			list[i].Place = []float64{f.Place[0], f.Place[1]}
		}
	}
	return list
}
