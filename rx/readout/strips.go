package readout

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/samebits"
)

// Strip is one strip of a replicate.
type Strip struct {
	Rep     int
	Treated bool
	Ground  orb.MultiPolygon // lon/lat
	Record  int              // in its file, from 0
}

// Replicate is an untreated strip and the two treated ones beside it.
type Replicate struct {
	Rep       int
	Untreated Strip
	Treated   [2]Strip // in the order of their records
}

// Replicates sorts strips into replicates, by number. Each bad one is an error of its own.
func Replicates(strips []Strip) (reps []Replicate, bad []error) {
	byRep := map[int][]Strip{}
	var order []int
	for _, s := range strips {
		if byRep[s.Rep] == nil {
			order = append(order, s.Rep)
		}
		byRep[s.Rep] = append(byRep[s.Rep], s)
	}
	slices.Sort(order)
	for _, rep := range order {
		r, treated, untreated := Replicate{Rep: rep}, 0, 0
		for _, s := range byRep[rep] {
			if !s.Treated {
				r.Untreated = s
				untreated++
				continue
			}
			if treated < 2 {
				r.Treated[treated] = s
			}
			treated++
		}
		if treated != 2 || untreated != 1 {
			bad = append(bad, fmt.Errorf("replicate %d: has %d untreated and %d treated strips, want 1 and 2", rep, untreated, treated))
			continue
		}
		reps = append(reps, r)
	}
	return reps, bad
}

// strips lists the strips of a replicate, the untreated one first.
func (r *Replicate) strips() [3]*Strip { return [3]*Strip{&r.Untreated, &r.Treated[0], &r.Treated[1]} }

// Point is one record of a yield monitor, or one value of another map.
type Point struct {
	Place  orb.Point // lon/lat
	Value  float64   // yield, or an index; NaN where there is none
	Area   float64   // of ground that it is of, in any unit; NaN where nobody says it
	Width  float64   // meters of the header that cut; NaN where nobody says it
	Record int       // in its file, from 0
}

// place tells which points a strip holds.
type place struct {
	strip  *Strip
	ground ground    // meters from the corner of all strips
	across orb.Point // unit vector at right angles to the strip
	bound  orb.Bound
	Width  float64 // meters, at its narrow side
}

// lay brings a strip into a plane. Its direction is that of its longest edge.
func lay(s *Strip, origin orb.Point, scale geo.Scale) place {
	p := place{strip: s}
	longest := 0.0
	var laid orb.MultiPolygon
	for _, polygon := range s.Ground {
		var flat orb.Polygon
		for _, ring := range polygon {
			var r orb.Ring
			for _, q := range ring {
				r = append(r, meters(q, origin, scale))
			}
			flat = append(flat, r)
			for i := 1; i < len(r); i++ {
				dx, dy := r[i][0]-r[i-1][0], r[i][1]-r[i-1][1]
				if length := samebits.Hypot(dx, dy); length > longest {
					longest, p.across = length, orb.Point{-dy / length, dx / length}
				}
			}
		}
		laid = append(laid, flat)
		p.ground = append(p.ground, piece{flat, newColumns(flat)})
	}
	p.bound = laid.Bound()
	low, high := math.Inf(1), math.Inf(-1)
	for _, polygon := range laid {
		for _, q := range polygon[0] {
			at := float64(q[0]*p.across[0]) + float64(q[1]*p.across[1])
			low, high = min(low, at), max(high, at)
		}
	}
	p.Width = high - low
	return p
}

func meters(q, origin orb.Point, scale geo.Scale) orb.Point {
	return orb.Point{(q[0] - origin[0]) * scale.X, (q[1] - origin[1]) * scale.Y}
}

// holds reports whether the antenna is over a strip, and whether the header is with it:
// everything within half of it at right angles to the strip.
func (p *place) holds(at orb.Point, half float64) (antenna, whole bool) {
	if !p.bound.Contains(at) || !p.ground.holds(at) {
		return false, false
	}
	for _, side := range []float64{-half, half} {
		if half > 0 && !p.ground.holds(orb.Point{at[0] + float64(side*p.across[0]), at[1] + float64(side*p.across[1])}) {
			return true, false
		}
	}
	return true, true
}

// crossedBy reports whether a course leads across the strip, by more than 30 degrees.
func (p *place) crossedBy(course orb.Point) bool {
	return math.Abs(float64(course[0]*p.across[0])+float64(course[1]*p.across[1])) > 0.5
}
