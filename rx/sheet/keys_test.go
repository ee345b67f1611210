package sheet_test

import (
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

// outcome is what comes of a label on the worked field: what check finds, the ways, the
// sheets of every way that can be taken.
type outcome struct {
	window   *rx.Range[unit.Loading]
	shares   [][]rx.Share
	findings []rx.Finding
	ways     []rx.Way
	sheets   []string
}

func outcomeOf(t *testing.T, text string) (o outcome, ok bool) {
	if _, err := label.Parse("label.yaml", []byte(text)); err != nil {
		return o, false
	}
	terms := termsOf(t, text, file(t, "job.yaml")+"further-liquids: [{name: another, rate: 5 fl oz/ac, on: boom}]\n")
	terms.AlreadyApplied = 10
	p := fourZones(t)
	a := rxtest.Grade(t, p, terms)
	o.window = a.Window
	for _, g := range a.Liquids() {
		o.shares = append(o.shares, slices.Clone(g.Shares[:]))
	}
	for _, f := range a.Findings {
		if f.Rule() != "label-doubt" && f.Rule() != "label-odd" { // which repeat what the key's own rules say
			o.findings = append(o.findings, f)
		}
	}
	o.ways = split.For(p, a, nil).Ways()
	for _, way := range equip.Ways() {
		if plan, err := split.For(p, a, nil).Plan(way.Name); err == nil {
			o.sheets = append(o.sheets, dump(append(sheet.For(p, a, plan), sheet.Release(p, a, plan, o.ways, nil))))
		}
	}
	return o, true
}

// obeyed reports whether two labels decide differently; printed, whether they print other
// sheets.
func (o outcome) obeyed(other outcome) bool {
	o.sheets, other.sheets = nil, nil
	return !reflect.DeepEqual(o, other)
}

func (o outcome) printed(other outcome) bool { return !slices.Equal(o.sheets, other.sheets) }

var figure = regexp.MustCompile(`\d+(\.\d+)?`)

// valuesOf lists values to try of a key that has one: itself, its figures made smaller and
// larger, and other words.
func valuesOf(value string) []string {
	list := []string{value}
	for _, by := range []float64{0.5, 2, 0.1, 10} {
		list = append(list, figure.ReplaceAllStringFunc(value, func(text string) string {
			v, _ := strconv.ParseFloat(text, 64)
			return strconv.FormatFloat(v*by, 'g', 6, 64)
		}))
	}
	return append(list, " yes", " no", " allowed", " forbidden", " water", " solvent")
}

// changed returns the fields of a profile that a key is read into.
func changed(t *testing.T, with, without string) (list []any) {
	a, b := reflect.ValueOf(*rxtest.Profile(t, with)), reflect.ValueOf(*rxtest.Profile(t, without))
	for i := range a.NumField() {
		if field := a.Field(i).Interface(); !reflect.DeepEqual(field, b.Field(i).Interface()) {
			list = append(list, field)
		}
	}
	return list
}

// Every key of a label decides something: a limit on a rate or a loading what is found,
// graded or planned, any other key that or what the sheets print. Who entered a profile, and
// from which label, stands on the page alone.
func TestEveryLabelKeyActs(t *testing.T) {
	lines := regexp.MustCompile(`(?m)^[a-z-]+:.*\n( .*\n)*`).FindAllString(string(label.DemoYAML()), -1)
keys:
	for at, line := range lines {
		key, value, _ := strings.Cut(strings.TrimRight(line, "\n"), ":")
		profile := func(line string) string {
			return strings.Join(slices.Concat(lines[:at], []string{line}, lines[at+1:]), "")
		}
		limit := false
		without, ok := outcomeOf(t, profile(""))
		if ok {
			for _, field := range changed(t, profile(line), profile("")) {
				switch field.(type) {
				case label.Version, label.Entry:
					continue keys
				case label.Known[unit.LiquidRate], label.Known[unit.DryRate], label.Known[unit.Loading],
					label.Known[label.Range[unit.LiquidRate]], label.Known[label.Range[unit.DryRate]], label.Known[label.Range[unit.Loading]]:
					limit = true
				}
			}
		} else { // every profile has it
			without, _ = outcomeOf(t, profile(line))
		}
		acts := slices.ContainsFunc(valuesOf(value), func(v string) bool {
			with, ok := outcomeOf(t, profile(key+":"+v+"\n"))
			return ok && (with.obeyed(without) || !limit && with.printed(without))
		})
		switch {
		case !acts && limit:
			t.Errorf("%s: a limit that nobody obeys: it wants a row of howTos (rx/howto.go), or a rule; where it has the row, nobody reads its bound, or no value that is tried here binds on a field of 100 to 300 lb/ac: see valuesOf, and choose another in label/demo.yaml", key)
		case !acts:
			t.Errorf("%s: decides nothing, and no sheet prints it", key)
		}
	}
}
