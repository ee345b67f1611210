package read

import (
	"strings"
	"testing"

	"rxsplit/geo"
)

// Which fields can be the dry rate, why others are not taken for it unasked, and
// whether one has to be named.
func TestRateFields(t *testing.T) {
	numbers := func(name string, low, high float64) FieldRange {
		return FieldRange{Field: geo.Field{Name: name, Kind: geo.Number}, Min: low, Max: high, Numbers: 4, Negative: low < 0}
	}
	with := func(r FieldRange, change func(*FieldRange)) FieldRange {
		change(&r)
		return r
	}
	rate, other := numbers("RATE", 120, 280), numbers("OTHER", 0, 1.5)
	asText := with(numbers("TEXT", 120, 280), func(r *FieldRange) { r.Kind = geo.Text })
	words := with(numbers("NAME", 0, 0), func(r *FieldRange) { r.Kind, r.Numbers = geo.Text, 0 })
	id := with(numbers("ID", 2, 5), func(r *FieldRange) { r.RowID = true })
	acres := with(numbers("AC", 2, 5), func(r *FieldRange) { r.Area = "ac" })
	below, above, tiny := numbers("BELOW", -1, 5), numbers("ABOVE", 1, 20001), numbers("TINY", 0, 1)
	for _, c := range []struct {
		field FieldRange
		want  string
	}{
		{rate, "RATE (120 to 280)"}, {other, "OTHER (0 to 1.5)"}, {asText, "TEXT (120 to 280, as text)"}, {words, "NAME (text)"},
		{id, "ID (2 to 5, a row number)"}, {acres, "AC (2 to 5, the areas in ac)"}, {below, "BELOW (-1 to 5, below 0)"},
		{above, "ABOVE (1 to 20001, above 20000)"}, {tiny, "TINY (0 to 1, none above 1)"}, {numbers("MOST", 0, 20000), "MOST (0 to 20000)"},
	} {
		if got := c.field.String(); got != c.want {
			t.Errorf("got %s, want %s", got, c.want)
		}
	}
	for _, c := range []struct {
		fields []FieldRange
		names  string
		toName bool
	}{
		{[]FieldRange{id, rate, acres, asText, words}, "RATE", false},
		{[]FieldRange{rate, other}, "RATE OTHER", true},
		{[]FieldRange{words, asText, tiny, below, above}, "TEXT TINY ABOVE", true},
		{[]FieldRange{words, id, acres, below}, "", true},
		{nil, "", true},
	} {
		if names, toName := RateFields(c.fields); strings.Join(names, " ") != c.names || toName != c.toName {
			t.Errorf("%v: got %v, %v; want %s, %v", c.fields, names, toName, c.names, c.toName)
		}
	}
}
