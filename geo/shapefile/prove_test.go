package shapefile

import (
	"bytes"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// Each byte of records and rows says something: another one there is found, and so is one
// that is missing or one too many.
func TestEveryByteIsProved(t *testing.T) {
	s := &geo.Shapes{}
	s.Append(orb.MultiPolygon{{{{-96.5, 41.25}, {-96.25, 41.25}, {-96.25, 41.5}, {-96.5, 41.25}}, {{-96.3, 41.3}, {-96.3, 41.28}, {-96.28, 41.3}, {-96.3, 41.3}}}})
	s.Append(nil)
	s.Append(orb.MultiPolygon{{{{1, 2}, {1, 9}, {9, 9}, {1, 2}}}, {{{1, 5}, {6, 5}, {6, 6}, {1, 5}}}})
	rate := func(row int) float64 { return 120.5 + 10*float64(row) }
	print := func(dst []byte, row int) []byte { return strconv.AppendFloat(dst, rate(row), 'f', 1, 64) }
	cols := []geo.Column{{Name: "RATE", Width: 8, Decimals: 1, Text: print, Number: rate}, {Name: "SAME", Width: 6, Decimals: 1, Text: print}}
	var shp, shx, dbf bytes.Buffer
	if err := Write(&shp, &shx, &dbf, s, cols); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		block []byte
		prove func([]byte) error
	}{
		{"records", shp.Bytes()[headerSize:], func(b []byte) error { return proveRecords(b, s, 0, s.Len()) }},
		{"index", shx.Bytes()[headerSize:], func(b []byte) error { return proveIndex(b, s, 0, s.Len(), headerSize) }},
		{"rows", dbf.Bytes()[tableHeaderSize(cols) : dbf.Len()-1], func(b []byte) error { return proveRows(b, cols, 0, s.Len()) }},
	} {
		if err := c.prove(c.block); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		for at := range c.block {
			for flip := 1; flip < 256; flip++ {
				changed := bytes.Clone(c.block)
				changed[at] ^= byte(flip)
				if c.prove(changed) == nil {
					t.Errorf("%s: byte %d, %#x for %#x, is not found", c.name, at, changed[at], c.block[at])
				}
			}
			for name, changed := range map[string][]byte{
				"missing": append(bytes.Clone(c.block[:at]), c.block[at+1:]...),
				"twice":   append(bytes.Clone(c.block[:at+1]), c.block[at:]...),
				"the end": c.block[:at],
			} {
				if c.prove(changed) == nil {
					t.Errorf("%s: byte %d %s: not found", c.name, at, name)
				}
			}
		}
	}
}
