package geojson

import (
	"bytes"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// few is some records of all kinds, with a column that is proved by its number and one
// whose text is made twice.
func few() *features {
	s := &geo.Shapes{}
	s.Append(orb.MultiPolygon{{{{-96.5, 41.25}, {-96.25, 41.25}, {-96.25, 41.5}, {-96.5, 41.25}}, {{-96.3, 41.3}, {-96.3, 41.28}, {-96.28, 41.3}, {-96.3, 41.3}}}})
	s.Append(nil)
	s.Append(orb.MultiPolygon{{{{0, 0}, {0, 9}, {9, 9}, {0, 0}}}, {{{1e-7, 5}, {6, 5}, {6, 6}, {1e-7, 5}}}})
	s.Append(orb.MultiPolygon{{{{-96.5, 41.25}, {-96.25, 41.5}, {-96.5, 41.5}, {-96.5, 41.25}}}})
	rate := func(row int) float64 { return 120.5 + 10*float64(row) }
	print := func(dst []byte, row int) []byte { return strconv.AppendFloat(dst, rate(row), 'f', -1, 64) }
	cols := []geo.Column{{Name: "RATE", Decimals: 1, JSON: print, Number: rate}, {Name: `N "x"`, JSON: print}}
	return &features{s, func(row int) int64 { return int64(row) + 7 }, cols, quotedNames(cols)}
}

// Each byte says something: another one there is found, and so is one that is missing or
// one too many.
func TestEveryByteIsProved(t *testing.T) {
	f := few()
	e := featureEncoder{f, newPointTexts(f.shapes)}
	whole := e.append(nil, 0, f.shapes.Len())
	prove := func(block []byte) error {
		p := prover{features: f, points: newPointTexts(f.shapes)}
		return p.prove(block, 0, f.shapes.Len())
	}
	if err := prove(whole); err != nil {
		t.Fatalf("%v\n%s", err, whole)
	}
	for at := range whole {
		for flip := 1; flip < 256; flip++ {
			changed := bytes.Clone(whole)
			changed[at] ^= byte(flip)
			if prove(changed) == nil && !sameNumbers(whole[at], changed[at]) {
				t.Errorf("byte %d, %q for %q, is not found: %s", at, changed[at], whole[at], changed[max(0, at-20):at+20])
			}
		}
		for name, changed := range map[string][]byte{
			"missing": append(bytes.Clone(whole[:at]), whole[at+1:]...),
			"twice":   append(bytes.Clone(whole[:at+1]), whole[at:]...),
			"the end": whole[:at],
		} {
			if prove(changed) == nil {
				t.Errorf("byte %d, %q, %s: not found", at, whole[at], name)
			}
		}
	}
}

// sameNumbers tells of an exponent, which reads alike in capitals.
func sameNumbers(a, b byte) bool { return a == 'e' && b == 'E' }

// A prover that has read a point before wants the same text of it, or reads it.
func TestKnownPointsAreProved(t *testing.T) {
	f := few()
	e := featureEncoder{f, newPointTexts(f.shapes)}
	p := prover{features: f, points: newPointTexts(f.shapes)}
	for range 3 {
		block := e.append(nil, 0, f.shapes.Len())
		if err := p.prove(block, 0, f.shapes.Len()); err != nil {
			t.Fatal(err)
		}
		changed := bytes.Replace(block, []byte("-96.25,41.5"), []byte("-96.25,41.6"), 1)
		if bytes.Equal(changed, block) || p.prove(changed, 0, f.shapes.Len()) == nil {
			t.Error("another point is not found")
		}
	}
}
