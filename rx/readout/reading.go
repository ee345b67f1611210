package readout

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/samebits"
)

// Spare is what is kept between the header's end and the side of its strip, in meters: what a
// receiver may be off between two passes.
const Spare = 1.0

// Mean is what one strip yields: the sum of grain over the sum of ground.
type Mean struct {
	Points int     // that count
	Over   int     // that don't, as their header reaches over the side
	Across int     // that count, and were cut on a course across the strip
	Area   float64 // 0 where all points weigh the same
	Sum    float64
	Value  float64 // NaN without a point
}

// Reading is one replicate as it was read.
type Reading struct {
	Rep        int
	Untreated  Mean
	Treated    [2]Mean
	Difference float64 // mean of the treated less the untreated; NaN where one is missing
}

// Means lists the means of a reading, the untreated one first.
func (r *Reading) Means() [3]*Mean { return [3]*Mean{&r.Untreated, &r.Treated[0], &r.Treated[1]} }

// Header says what of a record must lie in a strip for it to count.
type Header struct {
	Meters float64 // its full width; 0 where it is not known
	Whole  bool    // all of it, or the antenna alone
}

// half is how far a strip must reach to both sides of the antenna.
func (h Header) half() float64 {
	if !h.Whole || !(h.Meters > 0) {
		return 0
	}
	return float64(h.Meters/2) + Spare
}

// Field is strips in a plane.
type Field struct {
	Replicates []Replicate
	places     [][3]place
	origin     orb.Point
	scale      geo.Scale
}

// Lay lays strips out. There must be one replicate at least.
func Lay(reps []Replicate) *Field {
	f := &Field{Replicates: reps}
	bound := reps[0].Untreated.Ground.Bound()
	for i := range reps {
		for _, s := range reps[i].strips() {
			bound = bound.Union(s.Ground.Bound())
		}
	}
	f.origin, f.scale = bound.Min, geo.LonLatScale(bound)
	for i := range reps {
		var laid [3]place
		for k, s := range reps[i].strips() {
			laid[k] = lay(s, f.origin, f.scale)
		}
		f.places = append(f.places, laid)
	}
	return f
}

// Narrow lists the strips that a whole header does not fit into, with their widths in meters.
func (f *Field) Narrow(h Header) (list []narrowStrip) {
	for i := range f.places {
		for k := range f.places[i] {
			if p := &f.places[i][k]; p.Width < 2*h.half() {
				list = append(list, narrowStrip{p.strip, p.Width})
			}
		}
	}
	return list
}

// narrowStrip is a strip too narrow for the header.
type narrowStrip struct {
	*Strip
	Meters float64
}

// read reads every replicate. A point counts where the header asks for; it weighs as much as
// its ground, or the same as any where weigh is false. Points without a value are left out.
func (f *Field) read(points []Point, h Header, weigh bool) []Reading {
	readings := make([]Reading, len(f.places))
	for i := range readings {
		readings[i].Rep = f.Replicates[i].Rep
	}
	half := h.half()
	var way trail
	for _, point := range points {
		area := 1.0
		if weigh {
			area = point.Area
		}
		if math.IsNaN(point.Value) || math.IsNaN(area) {
			continue
		}
		at := meters(point.Place, f.origin, f.scale)
		course := way.course(at, point.Record)
		for i := range f.places {
			means := readings[i].Means()
			for k := range f.places[i] {
				switch antenna, whole := f.places[i][k].holds(at, half); {
				case whole:
					if f.places[i][k].crossedBy(course) {
						means[k].Across++
					}
					means[k].Points++
					means[k].Area += area
					means[k].Sum += float64(point.Value * area)
				case antenna:
					means[k].Over++
				}
			}
		}
	}
	for i := range readings {
		readings[i].close(weigh)
	}
	return readings
}

// trail follows a machine from record to record.
type trail struct {
	at     orb.Point // meters
	record int
}

// course returns the way from the record before, as a unit vector; the zero vector where the
// one before is not at hand, stands still or is too far to be of the same pass.
func (t *trail) course(at orb.Point, record int) (course orb.Point) {
	const apart = 30 // meters
	dx, dy := at[0]-t.at[0], at[1]-t.at[1]
	if way := samebits.Hypot(dx, dy); record == t.record+1 && way > 0 && way < apart {
		course = orb.Point{dx / way, dy / way}
	}
	t.at, t.record = at, record
	return course
}

// close works out the means and their difference.
func (r *Reading) close(weigh bool) {
	for _, m := range r.Means() {
		m.Value = m.Sum / m.Area
		if !weigh {
			m.Area = 0
		}
	}
	r.Difference = float64((r.Treated[0].Value+r.Treated[1].Value)/2) - r.Untreated.Value
}

// parted parts readings into those that have a difference and the numbers of the replicates
// that have none.
func parted(readings []Reading) (told []Reading, missing []int) {
	for _, r := range readings {
		if math.IsNaN(r.Difference) || math.IsInf(r.Difference, 0) {
			missing = append(missing, r.Rep)
			continue
		}
		told = append(told, r)
	}
	return told, missing
}

// Differences lists the differences of readings.
func Differences(readings []Reading) (d []float64) {
	for _, r := range readings {
		d = append(d, r.Difference)
	}
	return d
}

// Clean says which points of a yield monitor are taken for mistakes.
type Clean struct{ Low, High float64 } // times the median of all yields

// DefaultClean keeps what lies between a fifth and twice the median.
var DefaultClean = Clean{0.2, 2}

// fullWidth is the share of the header under which a record is taken for part of a swath.
const fullWidth = 0.95

// Cleaned is what cleaning kept, and why it dropped the rest.
type Cleaned struct {
	Points     []Point
	Median     float64 // of all yields
	All        int     // points before
	NoValue    int
	Low, High  int // outside of the bounds
	NoDistance int
	PartHeader int
}

// apply cleans points. weigh says that points must have ground; header is the full width in
// meters, 0 where it is not known.
func (c Clean) apply(points []Point, header float64, weigh bool) Cleaned {
	out := Cleaned{All: len(points)}
	var values []float64
	for _, p := range points {
		if !math.IsNaN(p.Value) {
			values = append(values, p.Value)
		}
	}
	out.Median = medianOf(values)
	for _, p := range points {
		switch {
		case math.IsNaN(p.Value):
			out.NoValue++
		case p.Value < c.Low*out.Median:
			out.Low++
		case p.Value > c.High*out.Median:
			out.High++
		case weigh && !(p.Area > 0):
			out.NoDistance++
		case p.Width < fullWidth*header:
			out.PartHeader++
		default:
			out.Points = append(out.Points, p)
		}
	}
	return out
}

// medianOf returns the middle of values, the mean of the two middle ones where there is an even
// number; NaN of none.
func medianOf(values []float64) float64 {
	if len(values) == 0 {
		return math.NaN()
	}
	sorted := slices.Sorted(slices.Values(values))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
