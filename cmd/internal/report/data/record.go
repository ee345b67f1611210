package data

import (
	"io"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx/record"
	"rxsplit/rx/write"
)

// recordSchema names the form of a record.
const recordSchema = "rxsplit.record/1"

type recordJSON struct {
	Schema  string        `json:"schema"`
	Version string        `json:"version"`
	Plan    string        `json:"plan"`
	Field   string        `json:"field"`
	Inputs  []write.Input `json:"inputs"`
	Entries []entryJSON   `json:"entries"`
	Missing []string      `json:"missing"`
	Text    string        `json:"text"`

	Files []write.FileSum `json:"files"`
	Self  string          `json:"self"`
}

type entryJSON struct {
	What  string   `json:"what"`
	Value *string  `json:"value"`
	From  string   `json:"from"`
	Asked []string `json:"asked_by"`
	Where string   `json:"where"`
}

// Record prints a record as one document.
func Record(w io.Writer, r report.Record) error {
	text, err := RecordManifest(r, []write.FileSum{}, "")
	if err == nil {
		_, err = w.Write(text)
	}
	return err
}

// RecordManifest prints the same with the files that lie beside it, and its own digest.
func RecordManifest(r report.Record, files []write.FileSum, self string) ([]byte, error) {
	doc := recordJSON{Schema: recordSchema, Version: r.Version, Plan: r.Plan, Field: r.Field, Inputs: r.Inputs, Missing: []string{}, Text: r.Complete(), Files: files, Self: self}
	for _, row := range r.Rows {
		doc.Entries = append(doc.Entries, entryOf(row))
		if row.Value == "" {
			doc.Missing = append(doc.Missing, row.What)
		}
	}
	text, err := marshal(doc)
	return append(text, '\n'), err
}

func entryOf(row record.Row) entryJSON {
	e := entryJSON{What: row.What, From: row.From, Asked: row.Asked, Where: row.Where}
	if row.Value != "" {
		e.Value = &row.Value
	}
	if row.Asked == nil {
		e.Asked = []string{}
	}
	return e
}
