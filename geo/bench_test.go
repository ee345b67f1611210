package geo

import (
	"fmt"
	"testing"

	"rxsplit/label/unit"
)

const millimeter = unit.Millimeter

var sizes = []int{10_000, 100_000, 1_000_000}

func BenchmarkAreas(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := squareGrid(n)
			b.ResetTimer()
			for b.Loop() {
				if _, err := s.Areas(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkMeshOutline(b *testing.B) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			s := squareGrid(n)
			b.ReportAllocs()
			for b.Loop() {
				m, err := NewMesh(s, lonLatOptions(s))
				if err != nil {
					b.Fatal(err)
				}
				o, err := m.Outline(nil)
				if err != nil || len(o.Polygons) != 1 {
					b.Fatal(len(o.Polygons), err)
				}
			}
		})
	}
}
