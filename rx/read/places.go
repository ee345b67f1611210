package read

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Where the file puts the field, and what speaks against it.
var (
	noLand      = rx.NewRule[elsewhere]("no-land", rx.AboutFile, rx.EveryPlan).InDoubt()
	offZone     = rx.NewRule[offSystem]("off-zone", rx.AboutFile, rx.EveryPlan).InDoubt()
	crsScale    = rx.NewRule[oddScale]("crs-scale", rx.AboutFile, rx.EveryPlan).InDoubt()
	axesSwapped = rx.NewRule[swappedTo]("axes-swapped", rx.AboutFile, rx.EveryPlan).InDoubt()
	farApart    = rx.NewRule[distance]("far-apart", rx.AboutFile, rx.EveryPlan)
)

// southernmost is where farming ends: Cape Horn lies at 56° S (from memory).
const southernmost = -56.0

// elsewhere is a place where no field can be.
type elsewhere struct {
	South   bool // of all farming; or on the open sea
	CanSwap bool // it is where fields are once its coordinates are swapped
}

// findNoLand finds coordinates where no field can be: those of a plane of its own, of maps in
// kilometers, zeros, swapped ones, or a system of another zone that moves the field off the coast.
func findNoLand(s *suspect) []rx.Finding {
	if len(s.LonLat.Points) == 0 {
		return nil
	}
	place := s.box.Center()
	south := place[1] < southernmost
	if !south && onLand(place) {
		return nil
	}
	canSwap := couldSwap(place) && (south || isLonLat(s) && onLand(orb.Point{place[1], place[0]}))
	return at(place, noLand.Find(rx.Warning, elsewhere{south, canSwap}))
}

// at gives a finding its place.
func at(place orb.Point, f rx.Finding) []rx.Finding {
	f.Place = &place
	return []rx.Finding{f}
}

// couldSwap reports whether a place is where fields are once its coordinates are
// swapped.
func couldSwap(p orb.Point) bool {
	return p[0] > southernmost && p[0] < 70 && math.Abs(p[1]) <= 180
}

// offZoneBy returns how many degrees a field may lie outside the ground that EPSG
// defines its system for: neighbors across a border share a system now and then.
// It is a quarter of the ground's width, which is 1.5 for a zone of UTM.
func offZoneBy(box orb.Bound) float64 {
	return min(max(0.5, widthOf(box)/4), 1.5)
}

// widthOf returns a box's degrees of longitude; it may reach across the
// antimeridian.
func widthOf(box orb.Bound) float64 {
	if box.Max[0] < box.Min[0] {
		return box.Max[0] - box.Min[0] + 360
	}
	return box.Max[0] - box.Min[0]
}

// offSystem is a system made for other ground than the coordinates lie on.
type offSystem struct {
	System   string
	Min, Max orb.Point // corners of the ground that it is made for
}

// findOffZone finds a coordinate system that contradicts the coordinates: they lie far
// from where the system is of use. So do feet that are taken for meters, and
// eastings and northings that are swapped.
func findOffZone(s *suspect) []rx.Finding {
	system, err := crs.Parse(fmt.Sprintf("EPSG:%d", s.Source.EPSG))
	if err != nil || s.LonLat.Len() == 0 {
		return nil
	}
	box, ok := system.AreaOfUse()
	place := s.box.Center()
	if !ok || within(place, box, offZoneBy(box)) {
		return nil
	}
	return at(place, offZone.Find(rx.Warning, offSystem{s.Source.System, box.Min, box.Max}))
}

// oddScale are the areas of all zones in the plane that they are drawn in and on the ground.
type oddScale struct {
	System          string
	Plane, Measured unit.Area
}

// mostScale is by what the areas of a plane may differ from the ground: projections that
// fields are drawn in keep within 1 % where they are of use. Common practice, no source.
const mostScale = 0.05

// findOddScale finds a plane whose areas are far from those on the ground: a scale factor
// that no system has, say, under a name that one has. Mercator's own stretch is no fault.
func findOddScale(s *suspect) []rx.Finding {
	if isLonLat(s) || s.system.MetersPerUnit() == 0 || s.Area() <= 0 {
		return nil
	}
	perUnit := s.system.MetersPerUnit()
	var sum float64
	for _, z := range s.Zones {
		p, end := s.Drawn.PolySpan(int(z.Record))
		for ; p < end; p++ {
			from, to := s.Drawn.RingSpan(p)
			for r := from; r < to; r++ {
				area, _ := measureRing(s.Drawn.Ring(r), geo.Scale{X: perUnit, Y: perUnit})
				if r > from {
					area = -area
				}
				sum += area
			}
		}
	}
	d := oddScale{s.Source.System, unit.Area(sum) * unit.SquareMeter, s.Area()}
	place := s.box.Center()
	ratio, mercator := float64(d.Plane/d.Measured), 1/(cosine(place[1])*cosine(place[1]))
	if !differ(ratio, 1, mostScale) || !differ(ratio, mercator, mostScale) {
		return nil
	}
	return at(place, crsScale.Find(rx.Warning, d))
}

// within reports whether a place lies in a box or no more than some degrees off.
func within(place orb.Point, box orb.Bound, degrees float64) bool {
	east := math.Mod(place[0]-box.Min[0]+degrees+720, 360)
	return place[1] >= box.Min[1]-degrees && place[1] <= box.Max[1]+degrees && east <= widthOf(box)+2*degrees
}

// The figures of findSwappedCells.
const (
	fewestCells  = 20
	squareWithin = 0.005 // by which a square's sides may differ on the ground
	squareNotBy  = 0.03  // by which they have to differ in degrees
)

// swappedTo is where a field lies once its coordinates are swapped.
type swappedTo struct{ Swapped orb.Point }

// findSwappedCells finds longitude and latitude swapped by the shape of a grid's cells:
// where they are square on the ground once swapped, they were drawn so. But near
// 0, 0, cells can't be square both ways. Cells that are square in degrees say
// nothing.
func findSwappedCells(s *suspect) []rx.Finding {
	if !isLonLat(s) {
		return nil
	}
	zones := s.sample(func(z rx.Zone) bool { return z.Area > 0 })
	if len(zones) < fewestCells {
		return nil
	}
	square := 0
	for _, z := range zones {
		b := s.LonLat.Bound(int(s.Zones[z].Record))
		width, height, center := b.Max[0]-b.Min[0], b.Max[1]-b.Min[1], b.Center()
		if differ(width, height, squareNotBy) && !differ(height*cosine(center[0]), width, squareWithin) {
			square++
		}
	}
	place := s.box.Center()
	if float64(square) < 0.6*float64(len(zones)) || !couldSwap(place) {
		return nil
	}
	return at(place, axesSwapped.Find(rx.Warning, swappedTo{orb.Point{place[1], place[0]}}))
}

// isLonLat reports whether the file itself is in longitude and latitude.
func isLonLat(s *suspect) bool { return s.Drawn == s.LonLat }

func cosine(degrees float64) float64 { return samebits.Cos(degrees * math.Pi / 180) }

func differ(a, b, by float64) bool { return math.Abs(a/b-1) > by }

// distance is how far the farthest zone lies from the others.
type distance struct{ Farthest unit.Length }

// findFarApart finds zones whose distance from the middle of the others is far
// beyond the size of a field.
func findFarApart(s *suspect) []rx.Finding {
	const far = 20000 // meters
	p := s.Prescription
	box := s.box
	middle := (box.Min[1] + box.Max[1]) / 2
	width := (box.Max[0] - box.Min[0]) * metersPerDegree * samebits.Cos(middle*math.Pi/180)
	height := (box.Max[1] - box.Min[1]) * metersPerDegree
	if width < far && height < far || box.Max[0]-box.Min[0] > 350 { // or a field across the antimeridian
		return nil
	}
	// The median corner stands for where the field is.
	x := median(p, func(z rx.Zone) float64 { return p.LonLat.Bound(int(z.Record)).Min[0] })
	y := median(p, func(z rx.Zone) float64 { return p.LonLat.Bound(int(z.Record)).Min[1] })
	f := farApart.Find(rx.Warning, distance{})
	var place orb.Point
	farthest := 0.0
	some := f.Where(p, func(i int) bool {
		corner := p.LonLat.Bound(int(p.Zones[i].Record)).Min
		dx := (corner[0] - x) * metersPerDegree * samebits.Cos(y*math.Pi/180)
		dy := (corner[1] - y) * metersPerDegree
		distance := samebits.Hypot(dx, dy)
		if distance > farthest {
			farthest, place = distance, corner
		}
		return distance > far
	})
	if !some {
		return nil
	}
	f.Data = distance{unit.Length(farthest) * unit.Meter}
	return at(place, f)
}

// median returns the middle value of f over the zones.
func median(p *rx.Prescription, f func(rx.Zone) float64) float64 {
	values := make([]float64, len(p.Zones))
	for i, z := range p.Zones {
		values[i] = f(z)
	}
	slices.Sort(values)
	return values[len(values)/2]
}
