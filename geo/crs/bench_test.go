package crs

import (
	"testing"

	"github.com/paulmach/orb"
)

// Each takes 10 000 points on one core; ns/point is what matters.
func BenchmarkToLonLat(b *testing.B)   { benchmark(b, 10000, true) }
func BenchmarkFromLonLat(b *testing.B) { benchmark(b, 10000, false) }

// BenchmarkMillion takes a million points on all cores.
func BenchmarkMillion(b *testing.B) { benchmark(b, 1000000, true) }

func benchmark(b *testing.B, n int, to bool) {
	for _, code := range oneOfEach {
		s := mustParse(b, code)
		b.Run(s.Name(), func(b *testing.B) {
			src := grid(b, s, n)
			dst := make([]orb.Point, n)
			convert := s.ToLonLat
			if !to {
				convert = s.FromLonLat
				if err := s.ToLonLat(src, src); err != nil {
					b.Fatal(err)
				}
			}
			for b.Loop() {
				if err := convert(dst, src); err != nil {
					b.Fatal(err)
				}
			}
			b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*n), "ns/point")
		})
	}
}

func BenchmarkParse(b *testing.B) {
	for _, spelling := range []string{"wkt_esri", "wkt1"} {
		text := kept(b, "26915", spelling)
		b.Run(spelling, func(b *testing.B) {
			for b.Loop() {
				mustParse(b, text)
			}
		})
	}
}
