package page

import (
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
)

// Record prints the page of a record, with room to write in what is missing.
func Record(w io.Writer, r report.Record) error {
	v := &plainView{Kind: "Record of the application", Title: r.Field, Head: r.Complete(), Cautions: report.RecordCautions}
	if v.Title == "" {
		v.Title = "Record of the application"
	}
	known := pageTable{Caption: "What is known", Hidden: true, Wide: true, Head: []pageCell{words("entry"), words("what it says"), words("from"), words("asked for by")}}
	missing := pageTable{Caption: "What is missing", Hidden: true, Wide: true, Head: []pageCell{words("entry"), words("to be written in"), words("or said in"), words("asked for by")}}
	for _, row := range r.Rows {
		asked := words(strings.Join(row.Asked, "; "))
		if row.Value == "" {
			missing.Rows = append(missing.Rows, []pageCell{words(row.What), words("____________________"), words(row.Where), asked})
		} else {
			known.Rows = append(known.Rows, []pageCell{words(row.What), long(row.Value), words(row.From), asked})
		}
	}
	v.Tables = []plainTable{{ID: "known", Title: "What is known", Table: known}}
	if len(missing.Rows) > 0 {
		v.Tables = append([]plainTable{{ID: "missing", Title: "What is missing", Table: missing}}, v.Tables...)
	}
	v.Tables = append(v.Tables, plainTable{ID: "origin", Title: "Where it comes from", Said: []string{"Plan " + r.Plan + ", rxsplit " + r.Version + "."}})
	return v.write(w)
}
