package main

import (
	"io"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// origin says on the page what a result was made from; out is the folder that
// paths are seen from.
func (q *request) origin(source rx.Source, out string) (report.Origin, error) {
	parameters, err := q.parameters()
	return report.Origin{Version: version, Inputs: q.inputs(source, out), Parameters: parameters}, err
}

// extras lists the files beside the layers.
func extras(r report.Result, kml bool) []write.Extra {
	list := []write.Extra{
		{Name: "zones.csv", Render: func(w io.Writer) error { return report.ZonesCSV(w, r) }},
		{Name: "sheets.txt", Render: func(w io.Writer) error { return report.SheetsText(w, r.Sheets) }},
		{Name: "report.html", Render: func(w io.Writer) error { return report.Page(w, r) }},
	}
	if !kml {
		return list
	}
	for i, l := range r.Plan.Layers {
		list = append(list, write.Extra{Name: l.Name + ".kml", Render: func(w io.Writer) error { return report.KML(w, r, i) }})
	}
	return list
}
