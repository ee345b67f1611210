package crs

import (
	"math"
	"slices"
)

// row is a system of EPSG's; systems_table.go holds them all.
type row struct {
	code   int32
	datum  datum
	method method
	unit   unit
	name   string // EPSG's
	esri   string // ESRI's, empty if it has none
	params params
}

// rowByCode finds a system by its EPSG code; nil if the table lacks it.
func rowByCode(code int) *row {
	i, found := slices.BinarySearchFunc(systems[:], code, func(r row, code int) int { return int(r.code) - code })
	if !found {
		return nil
	}
	return &systems[i]
}

// rowLike finds the system that d defines; nil if the table has none. Of several
// that are the same in all but name, the one that is called like d is taken,
// else the one of the lowest code.
func rowLike(d *definition) *row {
	var found *row
	for i := range systems {
		r := &systems[i]
		if !r.like(d) {
			continue
		}
		if fold(r.name) == fold(d.name) || fold(r.esri) == fold(d.name) {
			return r
		}
		if found == nil {
			found = r
		}
	}
	return found
}

func (r *row) like(d *definition) bool {
	return r.datum == d.datum && r.method == d.method && r.unit == d.unit && r.params.like(d.params)
}

// like allows for how texts round: 1e-8° and 1e-3 units are a millimeter or less
// on the ground.
func (p params) like(q params) bool {
	const angle, length, scale = 1e-8, 1e-3, 1e-10
	close := func(a, b, tolerance float64) bool { return math.Abs(a-b) <= tolerance }
	turn := func(a, b float64) bool { return math.Abs(math.Remainder(a-b, 360)) <= angle }
	parallels := close(p.sp1, q.sp1, angle) && close(p.sp2, q.sp2, angle) ||
		close(p.sp1, q.sp2, angle) && close(p.sp2, q.sp1, angle)
	return parallels && close(p.lat0, q.lat0, angle) && turn(p.lon0, q.lon0) &&
		close(p.k0, q.k0, scale) && turn(p.azimuth, q.azimuth) && turn(p.skew, q.skew) &&
		close(p.fe, q.fe, length) && close(p.fn, q.fn, length)
}
