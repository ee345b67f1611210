package page

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
	"rxsplit/rx/tell"
)

// pageOrigin is what the page says of where its figures come from.
type pageOrigin struct {
	Version string
	Way     string
	Digest  string // the start of the prescription's
	Inputs  pageTable
	Facts   []pageFact
	Files   []pageText
	Area    string
}

// pageText is a text file that was read, shown whole.
type pageText struct{ Name, Text string }

func originOf(r report.Result) pageOrigin {
	src := r.Prescription.Source
	o := pageOrigin{Version: r.Origin.Version, Inputs: inputsTable(r), Area: areaText(r)}
	if sum := src.SHA256(); len(sum) > 12 {
		o.Digest = sum[:12]
	}
	if r.Plan != nil {
		o.Way = r.Plan.Way.Name.Words()
	}
	o.Facts = []pageFact{
		{"Format", []pageCell{words(src.Format + ", layer " + src.Layer)}},
		{"Coordinates", []pageCell{words(src.System)}},
		{"Records", []pageCell{words(fmt.Sprintf("%s, %s with a polygon", figures.Count(src.Records), figures.Count(len(r.Prescription.Zones))))}},
	}
	o.parameters(r.Origin.Parameters)
	return o
}

// parameters adds what was asked for, in the manifest's order; texts of several
// lines are files. Limits of archives are nothing to a reader of the page.
func (o *pageOrigin) parameters(object json.RawMessage) {
	dec := json.NewDecoder(bytes.NewReader(object))
	dec.UseNumber() // a large seed is not to be printed as a power of ten
	if _, err := dec.Token(); err != nil {
		return
	}
	for dec.More() {
		name, err := dec.Token()
		if err != nil {
			return
		}
		var value any
		if dec.Decode(&value) != nil {
			return
		}
		what := strings.ReplaceAll(fmt.Sprint(name), "_", " ")
		switch v := value.(type) {
		case string:
			if strings.Contains(v, "\n") {
				o.Files = append(o.Files, pageText{what, v})
				continue
			}
			o.Facts = append(o.Facts, pageFact{tell.Capital(what), []pageCell{words(v)}})
		case []any:
			list := make([]string, len(v))
			for i := range v {
				list[i] = fmt.Sprint(v[i])
			}
			o.Facts = append(o.Facts, pageFact{tell.Capital(what), []pageCell{words(strings.Join(list, ", "))}})
		case map[string]any: // the limits of an archive
		default:
			o.Facts = append(o.Facts, pageFact{tell.Capital(what), []pageCell{words(fmt.Sprint(v))}})
		}
	}
}

func inputsTable(r report.Result) pageTable {
	t := pageTable{Caption: "Files that were read", Head: heads("<file", "<as", "bytes", "<SHA-256")}
	for _, in := range r.Origin.Inputs {
		sum := words(in.SHA256)
		sum.Key, sum.Value, sum.Class = "inputs."+in.Name, in.SHA256, "hash"
		t.Rows = append(t.Rows, []pageCell{words(in.Name), words(in.Role), number(figures.Count(in.Size)), sum})
	}
	return t
}

// areaText says how acres were measured.
func areaText(r report.Result) string {
	text := "Areas are geodesic on the WGS 84 ellipsoid: the edges are geodesics between the vertices, whatever the file's system. " +
		"The method's own error is below 1e-9 of an area; how well the vertices stand on the ground is the file's."
	if r.Plan != nil && slices.ContainsFunc(r.Plan.Layers, func(l rx.Layer) bool { return l.Pieces != nil }) {
		text += fmt.Sprintf(" Where zones were joined, vertices closer than %g mm were taken for one.", unit.Meters(read.Tolerance)*1000)
	}
	return text
}
