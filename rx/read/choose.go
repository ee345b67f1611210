package read

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"rxsplit/geo"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// chooseFields finds the rate fields and what one of their numbers amounts to as
// product. What it had to assume comes back as findings.
func (f *File) chooseFields(opt Options) ([]rx.RateField, []rx.Finding, error) {
	indexes, err := f.fieldIndexes(opt.RateFields)
	if err != nil {
		return nil, nil, err
	}
	all := f.Layer.Attributes.Fields()
	symbol := opt.RateUnit
	if symbol == "" {
		symbol = "lb/ac"
	}
	per, err := unit.ParseDryRateUnit(symbol)
	if err != nil {
		return nil, nil, &Error{File: "--rate-unit", What: err.Error(), Hint: "such as --rate-unit lb/ac or --rate-unit kg/ha", Err: err}
	}
	fields := make([]rx.RateField, len(indexes))
	for i, index := range indexes {
		fields[i] = rx.RateField{Name: all[index].Name, Index: index, Unit: per, Symbol: symbol, SaysN: speaksOfN(all[index].Name)}
	}
	stated, err := f.statedUnits(fields)
	if err != nil {
		return nil, nil, err
	}
	if err := analyze(fields, opt); err != nil {
		return nil, nil, err
	}
	for _, index := range indexes {
		if err := f.holdsRates(index); err != nil {
			return nil, nil, err
		}
	}
	assumed := takenUnit(fields, opt.RateUnit != "" || stated)
	if stated && opt.RateUnit != "" && !strings.EqualFold(opt.RateUnit, fields[0].Symbol) {
		assumed = append(assumed, ofField(fields[0].Name, unitStated.Find(rx.Note, assumedUnit{fields[0].Symbol, opt.RateUnit})))
	}
	for _, field := range fields {
		if all[field.Index].Kind == geo.Text {
			assumed = append(assumed, ofField(field.Name, rateAsText.Find(rx.Warning, rx.Nothing{})))
		}
	}
	return fields, assumed, nil
}

// statedUnits takes the units that the file itself states, and says whether it does.
func (f *File) statedUnits(fields []rx.RateField) (stated bool, err error) {
	for i := range fields {
		field := f.Layer.Attributes.Fields()[fields[i].Index]
		if field.Unit == "" {
			continue
		}
		stated = true
		fields[i].Symbol = field.Unit
		if fields[i].Unit, err = unit.ParseDryRateUnit(field.Unit); err != nil {
			return false, &Error{File: f.Source.Name, What: "field " + field.Name + " counts " + field.Unit + ", which is no dry rate", Hint: "name the field of the dry product with --rate-field; its fields: " + f.fieldList()}
		}
	}
	return stated, nil
}

// holdsRates refuses a field that holds dates or memos, or text without a number: that is
// one mistake, however many rows it has.
func (f *File) holdsRates(index int) error {
	field := f.Layer.Attributes.Fields()[index]
	what := map[geo.Kind]string{geo.Date: "dates", geo.Other: "memos or lists", geo.Bool: "yes or no", geo.Text: "text"}[field.Kind]
	if what == "" {
		return nil
	}
	such := ""
	for i := range f.Layer.Shapes.Len() {
		cell := f.Layer.Attributes.Cell(i, index)
		if _, ok := number(cell.Text); ok && field.Kind == geo.Text {
			return nil // numbers as text; those that are none are told one by one
		}
		if such == "" && len(cell.Text) > 0 {
			such = fmt.Sprintf(", such as %q", geo.Shorten(string(cell.Text)))
		}
	}
	return &Error{File: f.Source.Name, What: "field " + field.Name + " holds " + what + " and no rates" + such, Hint: "name the field that holds the rates with --rate-field; its fields: " + f.fieldList()}
}

// fieldIndexes finds the named fields or, if none is named, the one field that
// can be a rate.
func (f *File) fieldIndexes(names []string) ([]int, error) {
	if len(names) == 0 {
		index, err := f.onlyRate()
		return []int{index}, err
	}
	spelled := f.fieldNames()
	indexes := make([]int, len(names))
	for i, name := range names {
		var several bool
		if indexes[i], several = named(spelled, name); several {
			return nil, severalFields(f.Source.Name, "--rate-field", name, f.fieldList())
		}
		if indexes[i] < 0 {
			return nil, &Error{File: f.Source.Name, What: "has no field " + name, Hint: "name the field of the dry product with --rate-field; its fields: " + f.fieldList()}
		}
		for _, earlier := range indexes[:i] {
			if earlier == indexes[i] {
				return nil, &Error{File: f.Source.Name, What: "the rate field " + name + " is named twice", Hint: "name each product's field once"}
			}
		}
	}
	return indexes, nil
}

// severalFields says that a flag's name can be more than one field.
func severalFields(file, flag, name, fields string) error {
	return &Error{File: file, What: fmt.Sprintf("%s %s can be more than one field", flag, name), Hint: "no two fields may have one name; spell it with its own capitals; the fields: " + fields}
}

func (f *File) onlyRate() (int, error) {
	found := -1
	for i, r := range f.fieldRanges() {
		if !r.canBeRate() {
			continue
		}
		if found >= 0 {
			return 0, &Error{File: f.Source.Name, What: "more than one field can be the dry rate", Hint: "name it with --rate-field NAME; the fields: " + f.fieldList()}
		}
		found = i
	}
	if found < 0 {
		return 0, f.noRate()
	}
	return found, nil
}

// noRate says what was looked for, what each field is instead, and what to type.
func (f *File) noRate() error {
	hint := "export the dry rate as a field of such numbers, where the prescription was made; the fields that are there: " + f.fieldList()
	if names, _ := RateFields(f.fieldRanges()); len(names) > 0 {
		hint = "if it is there, name it, such as --rate-field " + flagWord(names[0]) + "; the fields: " + f.fieldList()
	}
	return &Error{
		File: f.Source.Name,
		What: fmt.Sprintf("no field is taken for the dry rate unasked: that takes numbers from 0 to %d, some above %d", mostAsRate, aboveAsRate),
		Hint: hint,
	}
}

// flagWord quotes a name that a shell would split.
func flagWord(name string) string {
	if strings.ContainsFunc(name, unicode.IsSpace) {
		return `"` + name + `"`
	}
	return name
}

func (f *File) fieldList() string {
	ranges := f.fieldRanges()
	list := each.Of(ranges[:min(len(ranges), mostListed)], FieldRange.String)
	if len(list) == 0 {
		return "none"
	}
	if more := len(ranges) - len(list); more > 0 {
		list = append(list, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, ", ")
}

// mostListed is how many fields are listed where one is to be named: a table has some tens.
const mostListed = 60

// analyze applies --rate-of and --analysis.
func analyze(fields []rx.RateField, opt Options) error {
	if len(opt.Analysis) > len(fields) {
		many := "rate fields"
		if len(fields) == 1 {
			many = "rate field"
		}
		return &Error{File: "--analysis", What: fmt.Sprintf("%d analyses for %d %s", len(opt.Analysis), len(fields), many), Hint: "give one analysis for each rate field, in their order"}
	}
	grades := make([]equip.Grade, len(opt.Analysis))
	for i, text := range opt.Analysis {
		grade, err := equip.ParseGrade(text)
		if err != nil {
			return &Error{File: "--analysis", What: err.Error(), Hint: "such as --analysis 46-0-0", Err: err}
		}
		grades[i], fields[i].Grade = grade, text
	}
	switch strings.ToLower(opt.RateOf) {
	case "", "product":
		return nil
	case "n":
	default:
		return &Error{File: "--rate-of", What: fmt.Sprintf("%q is neither product nor N", opt.RateOf), Hint: "rates count either the product itself or its nitrogen: --rate-of product or --rate-of N"}
	}
	if len(grades) < len(fields) {
		return &Error{File: "--rate-of", What: "rates of N need the analysis of each product", Hint: "add --analysis 46-0-0 (the grade of the product), once a rate field"}
	}
	for i, g := range grades {
		if g.N <= 0 {
			return &Error{File: "--analysis", What: fields[i].Grade + " has no N", Hint: "a rate of N can't be met with it"}
		}
		fields[i].Unit /= unit.DryRate(g.N)
		fields[i].Nutrient = true
	}
	return nil
}

// assumedUnit is a unit that a file states, and the one that was asked for.
type assumedUnit struct{ Stated, Asked string }

// What had to be assumed of the rates.
var (
	unitStated = rx.NewRule[assumedUnit]("unit-stated", rx.AboutFile, rx.EveryPlan)
	rateUnit   = rx.NewRule[assumed]("rate-unit", rx.AboutFile, rx.EveryPlan).InDoubt()
	rateAsText = rx.NewRule[rx.Nothing]("rate-as-text", rx.AboutFile, rx.EveryPlan)
)

// assumed is what rates were taken to count.
type assumed struct {
	Counts     string
	Contradict bool   // the field's name speaks of another unit
	Named      string // that unit; empty where it is none of a dry rate's, or not spelled out
}

// takenUnit tells what the rates were taken to count where nobody said it, not even the field's
// name, and warns where a name speaks of another unit, whoever said it: a job file is used again.
func takenUnit(fields []rx.RateField, said bool) (out []rx.Finding) {
	for _, field := range fields {
		if namesOtherUnit(field.Name, field.Symbol) {
			out = append(out, ofField(field.Name, rateUnit.Find(rx.Warning, assumed{field.Counts(), true, namedUnit(field.Name)})))
		}
	}
	if len(out) == 0 && !said && slices.ContainsFunc(fields, func(f rx.RateField) bool { return !spellsUnit(f) }) {
		out = append(out, ofField(fields[0].Name, rateUnit.Find(rx.Note, assumed{fields[0].Counts(), false, ""})))
	}
	return out
}

// spellsUnit reports whether a field's name spells the very unit that its rates are taken in.
func spellsUnit(f rx.RateField) bool {
	spelled, err := unit.ParseDryRateUnit(namedUnit(f.Name))
	taken, other := unit.ParseDryRateUnit(f.Symbol)
	return err == nil && other == nil && spelled == taken
}

// named returns the place of the name that is meant: the one that is spelled so or,
// without one, the one that differs from it in capitals alone. Where two are as near,
// it is -1, and several is true: nobody can know which is meant.
func named(names []string, meant string) (at int, several bool) {
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		at = -1
		for i, name := range names {
			switch {
			case !same(name, meant):
			case at >= 0:
				return -1, true
			default:
				at = i
			}
		}
		if at >= 0 {
			return at, false
		}
	}
	return -1, false
}
