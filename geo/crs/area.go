package crs

import (
	"slices"

	"github.com/paulmach/orb"
)

// area is where a system is of use, in hundredths of a degree; areas_table.go
// holds them all.
type area struct {
	code                     int32
	west, south, east, north int16
}

// AreaOfUse returns the box in lon/lat that EPSG defines the system for, rounded
// outward to hundredths of a degree. Its west is above its east where it reaches
// across the antimeridian. ok is false for longitude and latitude, and for a
// system that EPSG does not list.
func (s System) AreaOfUse() (box orb.Bound, ok bool) {
	i, found := slices.BinarySearchFunc(areas[:], s.EPSG(), func(a area, code int) int { return int(a.code) - code })
	if !found {
		return orb.Bound{}, false
	}
	a := areas[i]
	return orb.Bound{
		Min: orb.Point{float64(a.west) / 100, float64(a.south) / 100},
		Max: orb.Point{float64(a.east) / 100, float64(a.north) / 100},
	}, true
}
