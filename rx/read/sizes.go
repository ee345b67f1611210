package read

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// The sizes of what is spread from one prescription. Beyond the outer pair, ten
// times less or more than anything farmed as one, the file is misread; between
// that and the inner pair it may be a trial's plots or a whole farm, which is
// worth a note.
const (
	noField    = 0.1 * unit.Acre
	smallField = 0.5 * unit.Acre
	largeField = 5000 * unit.Acre
	noFarm     = 50000 * unit.Acre
)

// The size of the field, and zones too narrow to follow.
var (
	fieldSmall = rx.NewRule[oddSize]("field-small", rx.AboutFile, rx.EveryPlan).InDoubt()
	fieldLarge = rx.NewRule[oddSize]("field-large", rx.AboutFile, rx.EveryPlan).InDoubt()
	sliver     = rx.NewRule[rx.Nothing]("sliver", rx.AboutFile, rx.EveryPlan)
)

// oddSize is what fields usually measure, where one doesn't.
type oddSize struct {
	Usual rx.Range[unit.Area]
	Never bool // no field measures that; or hardly any
}

// findOddSize finds a field in the wrong unit of length.
func findOddSize(s *suspect) []rx.Finding {
	area := s.Area()
	d := oddSize{Usual: rx.Range[unit.Area]{Min: smallField, Max: largeField}, Never: area < noField || area > noFarm}
	severity := rx.Note
	if d.Never {
		severity = rx.Warning
	}
	var f rx.Finding
	switch {
	case area < smallField:
		f = fieldSmall.Find(severity, d)
	case area > largeField:
		f = fieldLarge.Find(severity, d)
	default:
		return nil
	}
	f.Area = area
	return []rx.Finding{f}
}

// findSlivers finds zones that are narrower on average than [narrowGap]: slips of
// drawing that a machine can't follow, whatever they say. It is a note, as cutting
// a grid along the field's border makes them as well.
func findSlivers(s *suspect) []rx.Finding {
	if rx.Worst(s.Findings, func(f rx.Finding) bool { return f.About() == rx.AboutFile }) == rx.Error {
		return nil // what ground is meant is in doubt
	}
	scale := geo.LonLatScale(s.box)
	f := sliver.Find(rx.Note, rx.Nothing{})
	if !f.Where(s.Prescription, func(i int) bool {
		z := s.Zones[i]
		return z.Area > 0 && meanWidth(s.LonLat, int(z.Record), scale) < unit.Meters(narrowGap)
	}) {
		return nil
	}
	return at(s.LonLat.Bound(f.Zones[0]-1).Center(), f)
}

// meanWidth returns twice the area over the length of the outline, in meters: the
// width of a long strip.
func meanWidth(s *geo.Shapes, record int, scale geo.Scale) float64 {
	area, length := 0.0, 0.0
	p, end := s.PolySpan(record)
	for ; p < end; p++ {
		from, to := s.RingSpan(p)
		for r := from; r < to; r++ {
			a, l := measureRing(s.Ring(r), scale)
			if r > from {
				a = -a
			}
			area, length = area+a, length+l
		}
	}
	return 2 * area / length
}

// measureRing returns the area and the length of a ring in the plane of a scale.
func measureRing(ring orb.Ring, scale geo.Scale) (area, length float64) {
	for i := 1; i < len(ring); i++ {
		x, y := (ring[i-1][0]-ring[0][0])*scale.X, (ring[i-1][1]-ring[0][1])*scale.Y
		dx, dy := (ring[i][0]-ring[i-1][0])*scale.X, (ring[i][1]-ring[i-1][1])*scale.Y
		area += float64((float64(x*dy) - float64(y*dx)) / 2)
		length += math.Sqrt(float64(dx*dx) + float64(dy*dy))
	}
	return math.Abs(area), length
}
