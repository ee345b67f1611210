package check

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// narrow is ground that is nowhere as wide as the spreader's swath.
type narrow struct {
	Swath  unit.Length
	Widths rx.Range[unit.Length] // where it is widest; 0 if it was not measured
}

// findNarrow finds ground that is nowhere as wide as the spreader's swath, neighbors
// of equal rate joined: whatever the machine does there, it does to the ground
// beside it as well. How wide ground is, is the largest circle that fits into it.
func (s *ground) findNarrow(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	swath := spreaderOf(a).Swath
	few := len(s.list) <= mostMeasured && corners(s.list) <= mostCorners
	circles := make([]circle, len(s.list))
	found := s.below(swath, func(i int) unit.Length {
		if few && !geo.HasRoom(s.list[i].Polygon, swath*nearly/2) {
			circles[i] = s.widest(i)
		} else {
			_, circles[i].radius = geo.InscribedCircleFor(s.list[i].Polygon, swath*nearly/2)
		}
		return 2 * circles[i].radius
	})
	a.Misfit = s.areas(s.off)
	if len(found.which) == 0 {
		return nil
	}
	d := narrow{Swath: swath}
	var place *orb.Point
	narrowest := make([]geo.ConnectedGround, len(found.which))
	for n, i := range found.which {
		narrowest[n] = s.list[i]
	}
	if len(narrowest) <= mostMeasured && corners(narrowest) <= mostCorners {
		for n, i := range found.which {
			if !few {
				circles[i] = s.widest(i)
			}
			wide := 2 * circles[i].radius
			if n == 0 || wide < d.Widths.Min {
				place = &circles[i].center
			}
			d.Widths.Widen(wide, n == 0)
		}
	}
	return found.told(narrowZone.Find(rx.Warning, d), place)
}

// How many narrow pieces are measured to the end, and of how many corners together; with
// more, as in layers of small cells, it is enough that they are narrow.
const (
	mostMeasured = 100
	mostCorners  = 100_000
)

// corners counts those of the outlines of some ground.
func corners(list []geo.ConnectedGround) (n int) {
	for _, ground := range list {
		for _, ring := range ground.Polygon {
			n += len(ring)
		}
	}
	return n
}

// circle is where a piece of ground is widest.
type circle struct {
	center orb.Point
	radius unit.Length
}

func (s *ground) widest(i int) (c circle) {
	c.center, c.radius = geo.InscribedCircle(s.list[i].Polygon)
	return c
}

// short is ground that the spreader has crossed before its rate has changed.
type short struct {
	Lengths    rx.Range[unit.Length] // where it is longest
	Distance   unit.Length
	ChangeTime unit.Time
	Usual      bool // the job doesn't say how long a change takes: it is the longest usual time
	Speed      unit.Speed
}

// findShort finds ground that the spreader has crossed, in whatever direction, before
// its rate has changed, neighbors of equal rate joined. Where the job doesn't say
// how long a change takes, it is the longest usual time: transitions take 3 to 5 s.
// [UGA Cooperative Extension, Variable-Rate Fertilizer Application Considerations,
// 2024]
func (s *ground) findShort(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	spreader := spreaderOf(a)
	distance := spreader.ChangeDistance()
	found := s.below(distance, func(i int) unit.Length { return geo.LongestExtent(s.list[i].Polygon, distance) })
	a.Misfit = s.areas(s.off)
	if len(found.which) == 0 {
		return nil
	}
	d := short{Lengths: found.size, Distance: distance, Speed: spreader.Speed.Usual}
	var known bool
	if d.ChangeTime, known = spreader.RateChange.Get(); !known {
		d.ChangeTime, d.Usual = equip.LongRateChange, true
	}
	place := geo.InteriorPoint(orb.MultiPolygon{s.list[found.which[0]].Polygon})
	return found.told(shortZone.Find(rx.Warning, d), &place)
}

// told gives a finding the ground that is meant.
func (m misfits) told(f rx.Finding, place *orb.Point) []rx.Finding {
	f.Zones, f.Area, f.Place = m.zones, m.area, place
	return []rx.Finding{f}
}

// What is found of the boom, which a plan uses where it has a liquid layer.
var (
	sprayVolume = rx.NewRule[offVolume]("spray-volume", rx.AboutEquipment, rx.LiquidPlans)
	boomSwath   = rx.NewRule[twoWidths]("boom-swath", rx.AboutEquipment, rx.LiquidPlans)
)

// offVolume is a boom's volume outside those of the label.
type offVolume struct {
	Volume unit.LiquidRate
	Range  rx.Range[unit.LiquidRate]
}

var (
	sprayVolumeLimits = stated(func(l *label.Profile) label.Known[label.Range[unit.LiquidRate]] { return l.SprayVolume }, "the label profile gives no spray volume")
	boomGiven         = given(boomOf, "no boom is given (--job, boom)")
	boomAndSpreader   = given(func(t rx.Terms) (*equip.Boom, bool) {
		boom, ok := boomOf(t)
		return boom, ok && t.Job.Spreader != nil
	}, "boom and spreader are not both given (--job)")
)

func boomOf(t rx.Terms) (*equip.Boom, bool) {
	if t.Job == nil {
		return nil, false
	}
	return t.Job.Boom, t.Job.Boom != nil
}

// findSprayVolume holds the boom's volume against the label's.
func findSprayVolume(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	v, _ := a.Terms.Label.SprayVolume.Get()
	r := rx.Range[unit.LiquidRate](v)
	if r.Contains(a.Terms.Job.Boom.Volume) {
		return nil
	}
	return []rx.Finding{sprayVolume.Find(rx.Warning, offVolume{a.Terms.Job.Boom.Volume, r})}
}

// twoWidths are those of boom and spreader, where they differ.
type twoWidths struct{ Boom, Swath unit.Length }

// findBoomSwath compares a wet boom with the spreader that carries it: on one machine
// strips between them get dry and no stabilizer, or the other way round.
func findBoomSwath(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	boom, swath := a.Terms.Job.Boom.Width, a.Terms.Job.Spreader.Swath
	if math.Abs(float64(boom-swath)) <= 0.01*float64(swath) {
		return nil
	}
	return []rx.Finding{boomSwath.Find(rx.Warning, twoWidths{boom, swath})}
}
