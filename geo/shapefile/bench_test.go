package shapefile

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"io"
	"testing"

	shp "github.com/jonas-p/go-shp"
	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

var sizes = []int{10_000, 100_000, 1_000_000}

func BenchmarkDecode(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			f := encoded(b, "grid", grid(n), rates())
			b.SetBytes(int64(len(f.Shp) + len(f.Dbf)))
			b.ReportAllocs()
			for b.Loop() {
				mustDecode(b, f)
			}
		})
	}
}

func BenchmarkWrite(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			shapes, cols := grid(n), rates()
			size := Size(shapes, cols)
			b.SetBytes(size.Shp + size.Shx + size.Dbf)
			b.ReportAllocs()
			for b.Loop() {
				if err := Write(io.Discard, io.Discard, io.Discard, shapes, cols); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkGoShp decodes the same polygons by go-shp in the place of
// [decodeShapes]'s second pass: sections with headers of their own over in-memory
// readers, one reader a core, points copied into a slab that is made beforehand.
func BenchmarkGoShp(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			f := encoded(b, "grid", grid(n), rates())
			offsets := walk(f.Shp, int64(len(f.Shp)), index{}).offsets
			b.SetBytes(int64(len(f.Shp) + len(f.Dbf)))
			b.ReportAllocs()
			for b.Loop() {
				points := make([]orb.Point, 5*n)
				cores.Blocks(n, cores.Block, func(from, to int) {
					goShpSection(f, offsets, from, to, points[5*from:5*from])
				})
			}
		})
	}
}

// goShpSection decodes records of one ring and appends their points.
func goShpSection(f Files, offsets []uint32, from, to int, points []orb.Point) []orb.Point {
	end := len(f.Shp)
	if to < len(offsets) {
		end = 2 * int(offsets[to])
	}
	head := bytes.Clone(f.Shp[:headerSize])
	body := f.Shp[2*int(offsets[from]) : end]
	binary.BigEndian.PutUint32(head[24:], uint32((headerSize+len(body))/2))
	table, _ := readTable(f.Dbf)
	rowsAt := len(f.Dbf) - 1 - table.count*table.size
	r := shp.SequentialReaderFromExt(
		io.NopCloser(io.MultiReader(bytes.NewReader(head), bytes.NewReader(body))),
		io.NopCloser(io.MultiReader(bytes.NewReader(f.Dbf[:rowsAt]), bytes.NewReader(f.Dbf[rowsAt+from*table.size:rowsAt+to*table.size]))))
	for r.Next() {
		if _, shape := r.Shape(); shape != nil {
			for _, p := range shape.(*shp.Polygon).Points {
				points = append(points, orb.Point{p.X, p.Y})
			}
		}
	}
	return points
}
