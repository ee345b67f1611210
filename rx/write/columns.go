package write

import (
	"bytes"
	"math"
	"strconv"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/rx"
)

// sourceColumn copies the source's cells as they stand, but for those of a zone without a
// rate: where one product has none, the others are not spread either.
func sourceColumn(p *rx.Prescription, name string, f int) geo.Column {
	index := p.Fields[f].Index
	field := p.Cells.Fields()[index]
	cell := func(row int) []byte {
		zone := p.Zones[row]
		c := p.Cells.Cell(int(zone.Record), index)
		if c.Kind == geo.Null || !zone.HasRate() {
			return nil
		}
		return c.Text
	}
	col := geo.Column{Name: name, Width: field.Width, Decimals: field.Decimals}
	col.Number = func(row int) float64 { return numberIn(cell(row)) }
	col.Text = func(dst []byte, row int) []byte { return append(dst, cell(row)...) }
	if field.Width == 0 { // GeoJSON: as wide as its longest number
		col.Width, col.Decimals = widest(p, index)
		if col.Width > maxDBFNumber {
			return computed(name, len(p.Zones), func(row int) float64 { return float64(p.FieldRate(row, f) / p.Fields[f].Unit) })
		}
	}
	col.JSON = func(dst []byte, row int) []byte {
		text := cell(row)
		if text == nil {
			return append(dst, "null"...)
		}
		if field.Width == 0 && field.Kind == geo.Number {
			return append(dst, text...) // a JSON number already
		}
		if plain(text) {
			return trimZeros(append(dst, text...), len(dst))
		}
		v := numberIn(text)
		if math.IsNaN(v) {
			return append(dst, "null"...)
		}
		return strconv.AppendFloat(dst, v, 'f', -1, 64)
	}
	return col
}

// numberIn returns the number that a cell's text stands for; NaN for none.
func numberIn(text []byte) float64 {
	if len(text) > 0 {
		if v, ok := geo.Decimal(text); ok {
			return v
		}
	}
	return math.NaN()
}

// plain reports whether a text is that of a decimal number of at most fifteen digits,
// without a sign or needless zeros before it. No two of these read as the same float, so
// that what is left without zeros behind it is the shortest text that reads as it.
func plain(text []byte) bool {
	point := -1
	for i, c := range text {
		switch {
		case c == '.' && point < 0:
			point = i
		case c < '0' || c > '9':
			return false
		}
	}
	whole := len(text)
	if point >= 0 {
		whole = point
	}
	return len(text) <= 15 && whole > 0 && point != len(text)-1 && (text[0] != '0' || whole == 1)
}

// maxDBFNumber is the widest number that a DBF cell holds.
const maxDBFNumber = 20

func widest(p *rx.Prescription, index int) (width, decimals int) {
	width = 1
	for _, z := range p.Zones {
		text := p.Cells.Cell(int(z.Record), index).Text
		width = max(width, len(text))
		for i, c := range text {
			if c == '.' {
				decimals = max(decimals, len(text)-i-1)
			}
			if c == 'e' || c == 'E' {
				return maxDBFNumber + 1, 0
			}
		}
	}
	return width, decimals
}

// computed is a column of numbers of ours, with as few decimals as keep twelve
// significant digits of every one; NaN is an empty cell.
func computed(name string, rows int, value func(row int) float64) geo.Column {
	values := make([]float64, rows)
	cores.Blocks(rows, cores.Block, func(from, to int) {
		for row := from; row < to; row++ {
			values[row] = value(row)
		}
	})
	decimals, highest := 0, 0.0
	for _, v := range values {
		if math.IsNaN(v) {
			continue
		}
		highest = max(highest, math.Abs(v))
		for decimals < 11 && math.Abs(roundTo(v, decimals)-v) > 1e-12*math.Abs(v) {
			decimals++
		}
	}
	return numbers(name, decimals, highest, func(row int) float64 { return values[row] })
}

// areas is a column of areas with enough decimals that the smallest reads back
// within a ten-millionth.
func areas(name string, rows int, area func(row int) float64) geo.Column {
	smallest, highest := math.Inf(1), 0.0
	for row := range rows {
		v := area(row)
		highest = max(highest, v)
		if v > 0 {
			smallest = min(smallest, v)
		}
	}
	decimals := 4
	for decimals < 14 && math.Pow10(-decimals) > 2e-7*smallest {
		decimals++
	}
	return numbers(name, decimals, highest, area)
}

func integers(name string, rows int, value func(row int) int64) geo.Column {
	highest := int64(0)
	for row := range rows {
		highest = max(highest, value(row))
	}
	write := func(dst []byte, row int) []byte { return strconv.AppendInt(dst, value(row), 10) }
	return geo.Column{
		Name: name, Width: len(strconv.FormatInt(highest, 10)), Text: write, JSON: write,
		Number: func(row int) float64 { return float64(value(row)) },
	}
}

// numbers is a column of numbers with a fixed count of decimals in the DBF and the
// same digits, without trailing zeros, in JSON.
func numbers(name string, decimals int, highest float64, value func(row int) float64) geo.Column {
	width := len(strconv.FormatFloat(highest, 'f', decimals, 64)) + 1
	return geo.Column{
		Name: name, Width: width, Decimals: decimals, Number: value,
		Text: func(dst []byte, row int) []byte {
			v := value(row)
			if math.IsNaN(v) {
				return dst
			}
			return geo.AppendFixed(dst, v, decimals)
		},
		JSON: func(dst []byte, row int) []byte {
			v := value(row)
			if math.IsNaN(v) {
				return append(dst, "null"...)
			}
			from := len(dst)
			return trimZeros(geo.AppendFixed(dst, v, decimals), from)
		},
	}
}

func trimZeros(dst []byte, from int) []byte {
	if bytes.IndexByte(dst[from:], '.') < 0 {
		return dst
	}
	n := len(dst)
	for n > from && dst[n-1] == '0' {
		n--
	}
	if dst[n-1] == '.' {
		n--
	}
	return dst[:n]
}

func roundTo(v float64, decimals int) float64 {
	p := math.Pow10(decimals)
	return math.Round(v*p) / p
}

// round12 keeps twelve significant digits, so that a unit's factor leaves no dust.
func round12(v float64) float64 {
	v, _ = strconv.ParseFloat(strconv.FormatFloat(v, 'g', 12, 64), 64) // it reads what it printed
	return v
}
