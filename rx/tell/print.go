package tell

import (
	"cmp"
	"fmt"
	"math"
	"reflect"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/words"
)

// printer prints the lines of an entry for one finding.
type printer struct {
	system unit.System
	entry  words.Entry
	f      *rx.Finding
	part   any    // of the data, in a phrase that is printed for it
	called string // what zones are called, where they are none; else empty
}

// Units makes a printer the [words.Values] of a finding; so do its other methods.
func (p printer) Units() unit.System { return p.system }

// Holds reports whether a value is there, or true, or above 0.
func (p printer) Holds(name string) bool {
	v, ok := p.value(camel(name))
	return ok && !v.IsZero() && !(v.Kind() == reflect.Slice && v.Len() == 0)
}

// Each returns nothing: lists are printed by phrases.
func (p printer) Each(string) []words.Values { return nil }

// value finds a value by its name: in the part at hand, in the data, or of the finding.
func (p printer) value(name string) (reflect.Value, bool) {
	if name == "WhichZones" {
		name = "Zones"
	}
	for _, of := range []any{p.part, p.f.Data} {
		if of == nil {
			continue
		}
		data := reflect.Indirect(reflect.ValueOf(of))
		if !data.IsValid() { // a part that is not there
			continue
		}
		if v := data.FieldByName(name); v.IsValid() {
			return v, true
		}
		if n := len(name) - len("Min"); n > 0 && (name[n:] == "Min" || name[n:] == "Max") { // of a range
			if v := data.FieldByName(name[:n]); v.IsValid() {
				return v.FieldByName(name[n:]), true
			}
		}
	}
	switch name {
	case "Zones":
		return reflect.ValueOf(p.f.Zones), true
	case "Count":
		return reflect.ValueOf(len(p.f.Zones)), true
	case "Area":
		return reflect.ValueOf(p.f.Area), true
	case "Field":
		return reflect.ValueOf(p.f.Field), true
	case "Place":
		if p.f.Place != nil {
			return reflect.ValueOf(*p.f.Place), true
		}
	}
	return reflect.Value{}, false
}

// Text prints one value in a form of the catalogue; "" is its usual one.
func (p printer) Text(name, form string) (string, bool) {
	name = camel(name)
	v, ok := p.value(name)
	if !ok {
		return "", false
	}
	if phrase, ok := strings.CutPrefix(form, "as "); ok {
		return p.phrase(v, phrase)
	}
	if singular, plural, ok := strings.Cut(form, " | "); ok {
		return choose(v, singular, plural)
	}
	if other, ok := strings.CutPrefix(form, "beside "); ok {
		with, known := p.value(camel(other))
		if !known {
			return "", false
		}
		return beside(v.Interface(), with.Interface(), p.system)
	}
	switch value := v.Interface().(type) {
	case []int:
		if name == "Zones" {
			area, _ := p.value("Area")
			n, _ := choose(v, "zone", "zones")
			return fmt.Sprintf("%s %s (%s)", unit.Thousands(fmt.Sprint(len(value))), n, Ground(area.Interface().(unit.Area), p.system)), true
		}
		return numbered(cmp.Or(p.called, "zone"), value), true
	case unit.Area:
		if form == "" {
			return Ground(value, p.system), true
		}
	}
	return inForm(v, form, p.system)
}

// camel spells a name as Go does: "already applied" is AlreadyApplied.
func camel(name string) string {
	var out strings.Builder
	for word := range strings.FieldsSeq(name) {
		r, n := utf8.DecodeRuneInString(word)
		out.WriteRune(unicode.ToUpper(r))
		out.WriteString(word[n:])
	}
	return out.String()
}

// phrase prints a part of the data, or a list of them, by a phrase of the entry.
func (p printer) phrase(v reflect.Value, how string) (string, bool) {
	name, by, _ := strings.Cut(how, " joined by ")
	if p.entry[name] == nil {
		return "", false
	}
	if v.Kind() != reflect.Slice {
		p.part = v.Interface()
		return p.entry.Joined(name, p), true
	}
	list := make([]string, v.Len())
	for i := range list {
		p.part = v.Index(i).Interface()
		list[i] = p.entry.Joined(name, p)
	}
	return strings.Join(list, strings.Trim(by, `"`)), true
}

// choose takes the word for one or for many.
func choose(v reflect.Value, one, many string) (string, bool) {
	n := 0
	switch v.Kind() {
	case reflect.Slice:
		n = v.Len()
	case reflect.Int:
		n = int(v.Int())
	default:
		return "", false
	}
	if n == 1 {
		return one, true
	}
	return many, true
}

// quantity is what every unit type is.
type quantity interface {
	In(unit.System) float64
	Text(unit.System) string
	Brief(unit.System) string
}

// symbol is the unit that a quantity is printed in.
func symbol(q quantity, s unit.System) string {
	_, name, _ := strings.Cut(q.Text(s), " ")
	return name
}

// inForm prints a value in a form of the catalogue; "" is its usual one.
func inForm(v reflect.Value, form string, s unit.System) (string, bool) {
	if v.Kind() == reflect.Struct && v.NumField() == 2 && v.Type().Field(0).Name == "Min" {
		return rangeInForm(v.Field(0), v.Field(1), form, s)
	}
	switch value := v.Interface().(type) {
	case interface{ Words(unit.System) string }:
		return value.Words(s), form == ""
	case quantity:
		number, symbol, ok := inNumbers(value, form, s)
		return number + " " + symbol, ok
	case orb.Point:
		return degrees(value), form == ""
	case string:
		if form == "quoted" {
			return strconv.Quote(value), true
		}
	case []string:
		if most, ok := strings.CutPrefix(form, "first "); ok {
			n, err := strconv.Atoi(most)
			return Listed(value, n), err == nil
		}
		return strings.Join(value, ", "), form == ""
	case float64:
		return strconv.FormatFloat(value, 'g', -1, 64), form == ""
	}
	switch v.Kind() {
	case reflect.Bool, reflect.Float64, reflect.Struct, reflect.Slice, reflect.Pointer:
		if _, ok := v.Interface().(fmt.Stringer); !ok {
			return "", false
		}
	}
	if v.Kind() == reflect.Int { // what is counted
		return unit.Thousands(fmt.Sprint(v.Int())), form == ""
	}
	return fmt.Sprint(v.Interface()), form == ""
}

// rangeInForm prints a range, and its unit once where the form is one of numbers; one end
// alone where the form shows no difference.
func rangeInForm(low, high reflect.Value, form string, s unit.System) (string, bool) {
	a, isQuantity := low.Interface().(quantity)
	b, _ := high.Interface().(quantity)
	if !isQuantity {
		return "", false
	}
	from, name, ok := inNumbers(a, form, s)
	to, _, _ := inNumbers(b, form, s)
	switch {
	case from == to || form == "1 decimal" && math.Abs(a.In(s)-b.In(s)) < 0.05:
		return from + " " + name, ok
	case form == "" || form == "full":
		return from + " " + name + " to " + to + " " + name, ok
	}
	return from + " to " + to + " " + name, ok
}

// inNumbers prints a quantity's number in a form, with a comma between thousands, and
// names its unit.
func inNumbers(q quantity, form string, s unit.System) (number, name string, ok bool) {
	number, name, ok = plainNumbers(q, form, s)
	if !strings.Contains(number, ",") {
		number = unit.Thousands(number)
	}
	return number, name, ok
}

func plainNumbers(q quantity, form string, s unit.System) (number, name string, ok bool) {
	switch form {
	case "":
		number, name, _ = strings.Cut(q.Brief(s), " ")
		return number, name, true
	case "full":
		number, name, _ = strings.Cut(q.Text(s), " ")
		return number, name, true
	case "a spray volume":
		r, isRate := q.(unit.LiquidRate)
		one, symbol := unit.SprayVolumeUnit(s)
		return unit.Digits(float64(r/one), 4), symbol, isRate
	case "in s":
		t, isTime := q.(unit.Time)
		return unit.Digits(float64(t/unit.Second), 3), "s", isTime
	case "in mm":
		length, isLength := q.(unit.Length)
		return unit.Digits(float64(length/unit.Millimeter), 2), "mm", isLength
	case "in m or km":
		length, isLength := q.(unit.Length)
		m := float64(length / unit.Meter)
		if m >= 999.5 { // which three digits would print as 1,000
			return fmt.Sprintf("%.0f", m/1000), "km", isLength
		}
		return unit.Digits(m, 3), "m", isLength
	}
	count, what, _ := strings.Cut(strings.TrimSuffix(form, "s"), " ")
	n, err := strconv.Atoi(count)
	if err != nil || what != "decimal" && what != "digit" {
		return "", "", false
	}
	if what == "decimal" {
		if _, liquid := q.(unit.LiquidRate); liquid && s == unit.Metric { // a tenth of mL/ha is 0.001 fl oz/ac
			n = 0
		}
		return withoutZeros(strconv.FormatFloat(q.In(s), 'f', n, 64)), symbol(q, s), true
	}
	return unit.Digits(q.In(s), n), symbol(q, s), true
}

// degrees prints a place in lon/lat as people do.
func degrees(p orb.Point) string {
	side := func(v float64, positive, negative string) string {
		if v < 0 {
			positive = negative
		}
		return fmt.Sprintf("%.4g° %s", math.Abs(v), positive)
	}
	return side(p[1], "N", "S") + " " + side(p[0], "E", "W")
}

// beside prints a range of rates that lies on one side of a limit, or that limit, so that
// the two read as different: the range in as many decimals as show it, up to five, as 40.004
// is not to be printed as 40 where 40 is the most; the limit in full where its few digits
// would stand on the other side, as 2104.9 mL/ha is more than 2104.64 and reads as less than
// 2105.
func beside(v, with any, s unit.System) (string, bool) {
	switch v := v.(type) {
	case rx.Range[unit.LiquidRate]:
		limit, ok := with.(unit.LiquidRate)
		return besideLimit(v, limit, s), ok
	case unit.LiquidRate:
		r, ok := with.(rx.Range[unit.LiquidRate])
		return limitBeside(v, r, s), ok
	}
	return "", false
}

// nearest is the end of a range that lies next to a limit beside it.
func nearest(r rx.Range[unit.LiquidRate], limit unit.LiquidRate) unit.LiquidRate {
	if r.Max < limit {
		return r.Max
	}
	return r.Min
}

func besideLimit(r rx.Range[unit.LiquidRate], limit unit.LiquidRate, s unit.System) string {
	least := 1
	if s == unit.Metric {
		least = 0
	}
	near, decimals := nearest(r, limit), least
	for d := least; d < 6; d++ {
		scale := math.Pow10(d)
		if math.Round(near.In(s)*scale) != math.Round(limit.In(s)*scale) {
			decimals = d
			break
		}
	}
	low, high := decimal(r.Min.In(s), decimals), decimal(r.Max.In(s), decimals)
	if low != high {
		low += " to " + high
	}
	return low + " " + symbol(limit, s)
}

func limitBeside(limit unit.LiquidRate, r rx.Range[unit.LiquidRate], s unit.System) string {
	near, brief := nearest(r, limit), limit.Brief(s)
	number, _, _ := strings.Cut(brief, " ")
	shown, err := strconv.ParseFloat(strings.ReplaceAll(number, ",", ""), 64)
	if err != nil || (near > limit) != (near.In(s) > shown) {
		return unit.Thousands(limit.Text(s))
	}
	return brief
}

// decimal prints a number with at most so many decimals and a comma between thousands.
func decimal(v float64, decimals int) string {
	return unit.Thousands(withoutZeros(strconv.FormatFloat(v, 'f', decimals, 64)))
}

// withoutZeros takes idle zeros from the end of a number's decimals: a sentence says 40, as the
// sheets do, and only a column that has to stand in line says 40.0.
func withoutZeros(number string) string {
	if !strings.Contains(number, ".") {
		return number
	}
	return strings.TrimSuffix(strings.TrimRight(number, "0"), ".")
}
