package main

import (
	"encoding/json"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/rogpeppe/go-internal/testscript"
)

// fits looks for escape codes and for lines of more than 80 columns. Commands to
// type and the name of a file at the start of a line may be as long as they are.
func fits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: fits FILE")
	}
	text := ts.ReadFile(args[0])
	if text == "" {
		ts.Fatalf("%s is empty", args[0])
	}
	for line := range strings.Lines(text) {
		line = strings.TrimPrefix(strings.TrimSuffix(line, "\n"), "\f") // a card begins a page
		if strings.ContainsAny(line, "\x1b\r\x00") {
			ts.Fatalf("%s holds control characters: %q", args[0], line)
		}
		isCommand := strings.Contains(line, "rxsplit ") && !strings.HasPrefix(line, "rxsplit: ")
		if n := utf8.RuneCountInString(line); n > 80 && !isCommand {
			ts.Fatalf("%s has a line of %d columns: %q", args[0], n, line)
		}
	}
}

// member compares one member of a JSON document: member FILE PATH WANT. The path
// is of names and, in arrays, numbers from 0, with dots between; numbers may stand
// a millionth apart, and "len:N" is the length of an array.
func member(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: member FILE PATH WANT")
	}
	var doc any
	if err := json.Unmarshal([]byte(ts.ReadFile(args[0])), &doc); err != nil {
		ts.Fatalf("%s is no JSON document: %v", args[0], err)
	}
	got, err := follow(doc, args[1])
	ts.Check(err)
	if !matches(got, args[2]) {
		ts.Fatalf("%s is %v, want %s", args[1], got, args[2])
	}
}

// same compares one number of several JSON documents: same FILE PATH OTHER..., where
// OTHER is a file, or FILE:PATH where the number stands elsewhere in it. They may
// stand a hundred-millionth apart.
func same(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: same FILE PATH OTHER...")
	}
	number := func(file, path string) float64 {
		var doc any
		ts.Check(json.Unmarshal([]byte(ts.ReadFile(file)), &doc))
		value, err := follow(doc, path)
		ts.Check(err)
		v, ok := value.(float64)
		if !ok {
			ts.Fatalf("%s in %s is %v, no number", path, file, value)
		}
		return v
	}
	want := number(args[0], args[1])
	for _, other := range args[2:] {
		file, path, ok := strings.Cut(other, ":")
		if !ok {
			path = args[1]
		}
		if got := number(file, path); math.Abs(got-want) > 1e-8*math.Abs(want) {
			ts.Fatalf("%s in %s is %v, want %v", path, file, got, want)
		}
	}
}

func follow(doc any, path string) (any, error) {
	for name := range strings.SplitSeq(path, ".") {
		switch at := doc.(type) {
		case map[string]any:
			value, ok := at[name]
			if !ok {
				return nil, fmt.Errorf("%s: there is no %s", path, name)
			}
			doc = value
		case []any:
			n, err := strconv.Atoi(name)
			if err != nil || n < 0 || n >= len(at) {
				return nil, fmt.Errorf("%s: %s is no place in an array of %d", path, name, len(at))
			}
			doc = at[n]
		default:
			return nil, fmt.Errorf("%s: %s is in no object", path, name)
		}
	}
	return doc, nil
}

func matches(got any, want string) bool {
	switch v := got.(type) {
	case float64:
		w, err := strconv.ParseFloat(want, 64)
		return err == nil && math.Abs(v-w) <= 1e-6*math.Abs(w)
	case []any:
		if want == fmt.Sprintf("len:%d", len(v)) {
			return true
		}
	case string:
		return v == want
	}
	text, err := json.Marshal(got)
	return err == nil && string(text) == want
}

// checkDoc is what the sums of a check are made of.
type checkDoc struct {
	Schema string
	Area   struct {
		Total, Treated, Below, Within, Above float64
		NoDry                                float64 `json:"no_dry"`
		NoRate                               float64 `json:"no_rate"`
	}
	Dry        struct{ Min, Max, Mean, Mass float64 }
	Stabilizer struct{ Min, Max, Mean, Volume float64 }
	Label      struct{ Min, Max float64 }
	Zones      []struct {
		Zone       int
		Area       float64
		DryRate    *float64 `json:"dry_rate"`
		Stabilizer *float64 `json:"stabilizer_rate"`
		Verdict    string
	}
}

// sums adds up the zones of a check in JSON and holds them against its totals:
// acres by verdict, pounds, stabilizer, means and ranges. A record without a rate
// has null for it.
func sums(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: sums FILE")
	}
	var doc checkDoc
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &doc))
	if doc.Schema != "rxsplit.check/2" || len(doc.Zones) == 0 {
		ts.Fatalf("%d zones in a document of the schema %q", len(doc.Zones), doc.Schema)
	}
	area := map[string]float64{}
	total, treated, mass, volume := 0.0, 0.0, 0.0, 0.0
	lowest, highest := math.Inf(1), 0.0
	for _, z := range doc.Zones {
		area[z.Verdict] += z.Area
		total += z.Area
		if (z.DryRate == nil) != (z.Verdict == "no-rate") {
			ts.Fatalf("zone %d: verdict %s, dry rate %v", z.Zone, z.Verdict, z.DryRate)
		}
		if z.DryRate == nil || *z.DryRate == 0 {
			continue
		}
		treated += z.Area
		mass += z.Area * *z.DryRate
		volume += z.Area * *z.Stabilizer
		lowest, highest = min(lowest, *z.DryRate), max(highest, *z.DryRate)
		if verdict := verdictAt(*z.Stabilizer, doc.Label.Min, doc.Label.Max); verdict != z.Verdict {
			ts.Fatalf("zone %d at %v: verdict %s, want %s", z.Zone, *z.Stabilizer, z.Verdict, verdict)
		}
	}
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"area.total", doc.Area.Total, total}, {"area.treated", doc.Area.Treated, treated},
		{"area.below", doc.Area.Below, area["below"]}, {"area.within", doc.Area.Within, area["within"]},
		{"area.above", doc.Area.Above, area["above"]}, {"area.no_dry", doc.Area.NoDry, area["no-dry"]},
		{"area.no_rate", doc.Area.NoRate, area["no-rate"]},
		{"dry.mass", doc.Dry.Mass, mass}, {"dry.mean", doc.Dry.Mean, mass / treated},
		{"dry.min", doc.Dry.Min, lowest}, {"dry.max", doc.Dry.Max, highest},
		{"stabilizer.volume", doc.Stabilizer.Volume, volume}, {"stabilizer.mean", doc.Stabilizer.Mean, volume / treated},
	} {
		if math.Abs(c.got-c.want) > 1e-9*math.Abs(c.want) {
			ts.Fatalf("%s is %v, the zones come to %v", c.name, c.got, c.want)
		}
	}
}

// verdictAt grades a rate with the leeway that rounding needs at both ends.
func verdictAt(rate, lowest, highest float64) string {
	switch {
	case rate < lowest*(1-1e-9):
		return "below"
	case rate > highest*(1+1e-9):
		return "above"
	}
	return "within"
}
