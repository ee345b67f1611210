// Package invent makes layers of fields that don't exist: for the demo, for tests
// and for benchmarks.
//
//	field, err := invent.Contours(invent.ContourOptions{Seed: 1, EPSG: 32615})
//	grid, err := invent.Grid(invent.GridOptions{Seed: 1, EPSG: 4326, Cells: 1_000_000})
//	four, err := invent.FourZones()
//
// The same options give the same layer. Zones that meet share their vertices to
// the last bit, and no vertex lies within a neighbor's edge, unless
// [GridOptions.Shift] or [GridOptions.Noise] ask for it: so every edge inside a
// field is used exactly twice, once each way.
//
// All layers lie, unless a center is given, on the open water of Lake Superior
// ([OpenWater]): nobody's farm is meant.
package invent

import (
	"math/rand/v2"

	"github.com/paulmach/orb"
)

//go:generate go run rxsplit/cmd/inventfield -kind contours -seed 22 -epsg 32615 -format zip -out ../../cmd/rxsplit/demo/field.zip

// OpenWater returns longitude and latitude of the place of all layers that name
// no other: open water, far from any shore.
func OpenWater() orb.Point { return orb.Point{-90.4, 47.35} }

// newRand returns a generator whose sequence depends on the seed and on what it
// is used for, so that one more draw for one use changes nothing elsewhere.
func newRand(seed uint64, use string) *rand.Rand {
	h := uint64(14695981039346656037) // FNV-1a of the use
	for _, c := range []byte(use) {
		h = (h ^ uint64(c)) * 1099511628211
	}
	return rand.New(rand.NewPCG(seed, h))
}

// between returns a number from lo to hi, hi excluded.
func between(rng *rand.Rand, lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
