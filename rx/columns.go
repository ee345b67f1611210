package rx

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"
)

// DryColumn is a column of a dry layer's files that holds rates of what is spread.
type DryColumn struct {
	Name  string // in the GeoJSON
	Short string // in the shapefile, whose table holds ten bytes of a name
	Unit  string // of one in it, such as "lb/ac"; it counts product
	Field int    // index of Prescription.Fields; [AllFields] for what the fields amount to together
	Load  bool   // what the machine loads: there is one such column for each bin
}

// AllFields is the field of a column that holds what all rate fields amount to.
const AllFields = -1

// The names of columns that no rate field of the source has.
const (
	totalName   = "DRY_RATE" // what a blend amounts to, all its products together
	productName = "PRODUCT"  // of a field whose own name says N
)

// DryColumns lists the columns of rates in a dry layer's files, those to load first. One
// blend is in one bin, so that of several rate fields their sum is to be loaded; products
// side by side are in bins of their own. A rate field keeps its name, unless that says N
// and the layers hold product.
func (p *Prescription) DryColumns() []DryColumn {
	var list []DryColumn
	together := len(p.Fields) > 1 && p.Blend()
	if together {
		list = append(list, DryColumn{Name: p.ownName(totalName, nil), Unit: p.Fields[0].Symbol, Field: AllFields, Load: true})
	}
	for i, f := range p.Fields {
		c := DryColumn{Name: f.Name, Unit: f.Symbol, Field: i, Load: !together}
		if f.renamed() {
			c.Name = p.ownName(productName, list)
		}
		list = append(list, c)
	}
	for i, short := range shortNames(list) {
		list[i].Short = short
	}
	return list
}

func (f RateField) renamed() bool { return f.Nutrient && f.SaysN }

// ownName returns a name of ours that no field of the source has, nor a column before.
func (p *Prescription) ownName(name string, before []DryColumn) string {
	for n, start := 2, name; ; n++ {
		taken := func(other string) bool { return strings.EqualFold(other, name) }
		if !slices.ContainsFunc(p.Fields, func(f RateField) bool { return taken(f.Name) }) &&
			!slices.ContainsFunc(before, func(c DryColumn) bool { return taken(c.Name) }) {
			return name
		}
		name = fmt.Sprintf("%s_%d", start, n)
	}
}

// otherColumns are those that layers have beside rates to spread.
var otherColumns = []string{"RX_RATE", "ZONE", "ACRES", "HA"}

// shortest is what the table of a shapefile holds of a name, in bytes (dBASE III).
const shortest = 10

// shortNames returns the names that columns have in a shapefile: their own where those
// fit, else as much of their start, with a number where another has that name, in
// capitals or not, or a layer's other column has it.
func shortNames(columns []DryColumn) []string {
	names := make([]string, len(columns))
	var taken []string
	for i, c := range columns { // names that fit come first
		if fits(c.Name) && !slices.Contains(taken, strings.ToUpper(c.Name)) {
			names[i] = c.Name
			taken = append(taken, strings.ToUpper(c.Name))
		}
	}
	taken = append(taken, otherColumns...)
	for i, c := range columns {
		if names[i] != "" {
			continue
		}
		name := cut(printable(c.Name), shortest)
		for n := 2; slices.Contains(taken, strings.ToUpper(name)); n++ {
			number := fmt.Sprintf("_%d", n)
			name = cut(printable(c.Name), shortest-len(number)) + number
		}
		names[i] = name
		taken = append(taken, strings.ToUpper(name))
	}
	return names
}

func fits(name string) bool {
	return name != "" && len(name) <= shortest && printable(name) == name
}

// printable puts a low line for what no column's name may hold. Readers take spaces
// at the ends for padding.
func printable(name string) string {
	name = strings.Map(func(r rune) rune {
		if r < ' ' || r == utf8.RuneError {
			return '_'
		}
		return r
	}, name)
	return cmp.Or(strings.TrimSpace(name), "RATE")
}

// cut keeps whole characters of a name, in at most so many bytes.
func cut(name string, most int) string {
	for len(name) > most {
		_, last := utf8.DecodeLastRuneInString(name)
		name = name[:len(name)-last]
	}
	return strings.TrimSpace(name)
}
