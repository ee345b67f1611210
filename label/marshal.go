package label

import (
	"encoding"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"rxsplit/label/unit"
)

// Marshal writes the profile in YAML, its known keys alone, in US units; [Parse]
// reads the same profile back, bit by bit.
func (p *Profile) Marshal() ([]byte, error) {
	var w writer
	w.word("name", p.Name)
	w.choice("registered", p.Registered)
	w.word("registration", p.Registration)
	writeRange(&w, "rate", Know(p.Rate))
	writeKnown(&w, "season-max", p.SeasonMax)
	w.choice("below-label", p.BelowLabel)
	writeKnown(&w, "density", p.Density)
	w.choice("base", p.Base)
	w.pairs("carriers", pair{"allowed", list(p.Carriers.Allowed)}, pair{"forbidden", list(p.Carriers.Forbidden)})
	writeKnown(&w, "min-dry-rate", p.MinDryRate)
	writeKnown(&w, "max-liquid", p.MaxLiquid)
	writeRange(&w, "loading", p.Loading)
	writeKnown(&w, "drying-agent", p.DryingAgent)
	w.minutes("mix-minutes", p.MixTime)
	writeRange(&w, "spray-volume", p.SprayVolume)
	w.line("ppe", list(p.PPE))
	writeKnown(&w, "re-entry", p.ReEntry)
	w.pairs("label", pair{"version", quoted(p.Version.Version)}, pair{"date", string(p.Version.Date)})
	w.pairs("entered", pair{"by", quoted(p.Entered.By)}, pair{"on", string(p.Entered.On)})
	return []byte(w.text.String()), errors.Join(w.errs...)
}

// writer collects the lines of a profile; an empty value writes no line.
type writer struct {
	text strings.Builder
	errs []error
}

type pair struct{ key, value string }

func (w *writer) line(key, value string) {
	if value != "" {
		fmt.Fprintf(&w.text, "%s: %s\n", key, value)
	}
}

func (w *writer) word(key, value string) { w.line(key, quoted(value)) }

// choice writes one of a few words, of which unknown goes without saying.
func (w *writer) choice(key string, value fmt.Stringer) {
	if s := value.String(); s != "unknown" {
		w.line(key, s)
	}
}

// pairs writes a mapping on one line.
func (w *writer) pairs(key string, of ...pair) {
	var parts []string
	for _, p := range of {
		if p.value != "" {
			parts = append(parts, p.key+": "+p.value)
		}
	}
	if len(parts) > 0 {
		w.line(key, "{"+strings.Join(parts, ", ")+"}")
	}
}

func (w *writer) quantity(key string, q encoding.TextMarshaler) string {
	b, err := q.MarshalText()
	if err != nil {
		w.errs = append(w.errs, fmt.Errorf("%s: %w", key, err))
	}
	return string(b)
}

func writeKnown[Q encoding.TextMarshaler](w *writer, key string, k Known[Q]) {
	if q, known := k.Get(); known {
		w.line(key, w.quantity(key, q))
	}
}

func writeRange[Q interface {
	~float64
	encoding.TextMarshaler
}](w *writer, key string, k Known[Range[Q]]) {
	if r, known := k.Get(); known {
		w.pairs(key, pair{"min", w.quantity(key, r.Min)}, pair{"max", w.quantity(key, r.Max)})
	}
}

// minutes writes a range of times as plain numbers.
func (w *writer) minutes(key string, k Known[Range[unit.Time]]) {
	if r, known := k.Get(); known {
		w.pairs(key, pair{"min", number(r.Min)}, pair{"max", number(r.Max)})
	}
}

func number(t unit.Time) string { return strconv.FormatFloat(float64(t/unit.Minute), 'f', -1, 64) }

// list writes texts as a YAML list; none for an empty one.
func list(texts []string) string {
	if len(texts) == 0 {
		return ""
	}
	words := make([]string, len(texts))
	for i, s := range texts {
		words[i] = quoted(s)
		if s == "" {
			words[i] = `""`
		}
	}
	return "[" + strings.Join(words, ", ") + "]"
}

// plain are the texts that YAML reads as they stand, wherever they stand.
var plain = regexp.MustCompile(`^[A-Za-z]+([ -][A-Za-z0-9()]+)*$`)

// quoted writes a text as a YAML scalar: plain if that is safe, else in double
// quotes, whose escapes are those of JSON. An empty text stays empty.
func quoted(s string) string {
	if s == "" || plain.MatchString(s) && !strings.EqualFold(s, "null") {
		return s
	}
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(s); err != nil {
		return `""` // never for a string
	}
	return strings.TrimSpace(b.String())
}
