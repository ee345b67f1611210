package invent

import (
	"fmt"
	"math"
	"strconv"

	"rxsplit/geo"
)

// Names of the columns of a layer.
const (
	RateField     = "DRY_LBAC"  // dry product in lb/ac
	NitrogenField = "N_LBAC"    // N in it, in lb/ac
	NameField     = "ZONE_NAME" // text
)

// Layer is an invented prescription. Shells run counter-clockwise, holes
// clockwise, whatever the format that it is written in asks for.
type Layer struct {
	Name   string
	EPSG   int
	Shapes geo.Shapes
	Rates  []float64 // dry product in lb/ac, one a record; NaN is a null
	Names  []string  // of the zones; nil if they have none
}

// nitrogen is the share of N in the invented product, that of urea.
const nitrogen = 0.46

// Columns returns the numbers to write beside the shapes: the dry rate
// ([RateField]) and the nitrogen it brings ([NitrogenField]).
func (l *Layer) Columns() []geo.Column {
	return []geo.Column{
		numberColumn(RateField, 6, 0, func(row int) float64 { return l.Rates[row] }),
		numberColumn(NitrogenField, 8, 1, func(row int) float64 { return l.Rates[row] * nitrogen }),
	}
}

// nameWidth is the width of the names in a DBF.
const nameWidth = 12

// NameColumn returns the names of the zones ([NameField]), and whether they have
// any. Its text fills the width, as that of a character field does in a DBF; it is
// no column for a writer that declares all columns to be numbers.
func (l *Layer) NameColumn() (column geo.Column, ok bool) {
	return geo.Column{
		Name:  NameField,
		Width: nameWidth,
		Text: func(dst []byte, row int) []byte {
			return fmt.Appendf(dst, "%-*s", nameWidth, l.Names[row])
		},
		JSON: func(dst []byte, row int) []byte {
			return strconv.AppendQuoteToASCII(dst, l.Names[row]) // names are ASCII letters and digits
		},
	}, l.Names != nil
}

func numberColumn(name string, width, decimals int, value func(row int) float64) geo.Column {
	text := func(dst []byte, row int) []byte {
		v := value(row)
		if math.IsNaN(v) {
			return dst
		}
		return strconv.AppendFloat(dst, v, 'f', decimals, 64)
	}
	json := func(dst []byte, row int) []byte {
		if math.IsNaN(value(row)) {
			return append(dst, "null"...)
		}
		return text(dst, row)
	}
	return geo.Column{Name: name, Width: width, Decimals: decimals, Text: text, JSON: json}
}
