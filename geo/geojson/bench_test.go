package geojson

import (
	"bytes"
	"fmt"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// grid returns n square cells of an invented field, about 10 m wide, with
// coordinates of as many digits as a reprojection gives them.
func grid(n int) (*geo.Shapes, []geo.Column) {
	const wide = 1000
	const step = 1.0 / 9973
	at := func(x, y int) orb.Point {
		return orb.Point{-93.123456789 + float64(x)*step, 41.987654321 + float64(y)*step}
	}
	var s geo.Shapes
	for i := range n {
		x, y := i%wide, i/wide
		s.Append(orb.MultiPolygon{{{at(x, y), at(x+1, y), at(x+1, y+1), at(x, y+1), at(x, y)}}})
	}
	return &s, []geo.Column{
		{Name: "RATE", JSON: func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(120+row%140), 10) }},
		{Name: "ZONE", JSON: func(dst []byte, row int) []byte { return strconv.AppendInt(dst, int64(row+1), 10) }},
		{Name: "ACRES", JSON: func(dst []byte, row int) []byte {
			return strconv.AppendFloat(dst, 0.0247105+float64(row%97)/1e7, 'f', 7, 64)
		}},
		{Name: "NOTE", JSON: func(dst []byte, row int) []byte { return append(dst, `"an invented cell of a field"`...) }},
	}
}

func benchSizes(b *testing.B, f func(b *testing.B, n int)) {
	for _, n := range []int{10_000, 100_000, 1_000_000} {
		b.Run(fmt.Sprintf("%dcells", n), func(b *testing.B) { f(b, n) })
	}
}

func BenchmarkDecode(b *testing.B) {
	benchSizes(b, func(b *testing.B, n int) {
		shapes, cols := grid(n)
		var text bytes.Buffer
		if err := Write(&text, "bench", shapes, func(row int) int64 { return int64(row + 1) }, cols); err != nil {
			b.Fatal(err)
		}
		shapes = nil
		b.SetBytes(int64(text.Len()))
		b.ReportAllocs()
		for b.Loop() {
			l, err := Decode(bytes.NewReader(text.Bytes()), "bench.geojson")
			if err != nil || l.Shapes.Len() != n {
				b.Fatal(err)
			}
		}
	})
}

func BenchmarkSplit(b *testing.B) {
	shapes, cols := grid(100_000)
	var text bytes.Buffer
	if err := Write(&text, "bench", shapes, nil, cols); err != nil {
		b.Fatal(err)
	}
	b.SetBytes(int64(text.Len()))
	for b.Loop() {
		s := newSplitter(bytes.NewReader(text.Bytes()), blockSize, 2)
		go s.run()
		for batch := range s.jobs {
			s.reuse(batch)
			<-s.order
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	benchSizes(b, func(b *testing.B, n int) {
		shapes, cols := grid(n)
		var c counter
		b.ReportAllocs()
		for b.Loop() {
			c = 0
			if err := Write(&c, "bench", shapes, func(row int) int64 { return int64(row + 1) }, cols); err != nil {
				b.Fatal(err)
			}
		}
		b.SetBytes(int64(c))
	})
}

type counter int64

func (c *counter) Write(p []byte) (int, error) { *c += counter(len(p)); return len(p), nil }

func BenchmarkNumber(b *testing.B) {
	texts := make([][]byte, 0, 1000)
	for i := range 1000 {
		texts = append(texts, append(strconv.AppendFloat(nil, -93.123456789+float64(i)/9973, 'f', -1, 64), ']'))
	}
	b.Run("own", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			number(texts[i%1000], 0)
		}
	})
	b.Run("strconv", func(b *testing.B) {
		for i := 0; b.Loop(); i++ {
			t := texts[i%1000]
			strconv.ParseFloat(string(t[:len(t)-1]), 64)
		}
	})
	b.Run("append", func(b *testing.B) {
		var dst [32]byte
		for i := 0; b.Loop(); i++ {
			appendFloat(dst[:0], -93.123456789+float64(i%1000)/9973)
		}
	})
}
