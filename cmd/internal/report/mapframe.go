package report

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// mapFrame brings lon/lat to a drawing, north up, in tenths of a pixel. It is good
// for a field's width; acres never come from it.
type mapFrame struct {
	west, north   float64   // degrees
	scale         geo.Scale // meters per degree
	perMeter      float64   // tenths of a pixel
	left, top     float64   // where the field begins
	width, height int       // of the drawing
}

const (
	mapWidth     = 760 * px
	mapMargin    = 16 * px
	mapFoot      = 52 * px // below the field, for scale bar and arrow
	mapMostHigh  = 640 * px
	mapLeastHigh = 120 * px
)

// newFrame fits a box of lon/lat into a drawing. ok is false if the box is not of
// this earth or has no size.
func newFrame(box orb.Bound) (mapFrame, bool) {
	wide, high := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	if !(wide > 0 && high > 0 && wide < 180 && math.Abs(box.Min[1]) < 90 && math.Abs(box.Max[1]) < 90) {
		return mapFrame{}, false
	}
	f := mapFrame{west: box.Min[0], north: box.Max[1], scale: geo.LonLatScale(box), width: mapWidth}
	wide, high = wide*f.scale.X, high*f.scale.Y
	const inner = mapWidth - 2*mapMargin
	f.perMeter = min(inner/wide, (mapMostHigh-2*mapMargin)/high)
	drawn := high * f.perMeter
	f.left = (mapWidth - wide*f.perMeter) / 2
	f.top = mapMargin
	if drawn < mapLeastHigh {
		f.top += (mapLeastHigh - drawn) / 2
	}
	f.height = int(math.Ceil(max(drawn, mapLeastHigh))) + 2*mapMargin + mapFoot
	return f, true
}

// at returns where a place is drawn.
func (f mapFrame) at(p orb.Point) orb.Point {
	return orb.Point{
		f.left + (p[0]-f.west)*f.scale.X*f.perMeter,
		f.top + (f.north-p[1])*f.scale.Y*f.perMeter,
	}
}

// box returns the box around a drawn box of lon/lat.
func (f mapFrame) box(b orb.Bound) orb.Bound {
	nw, se := f.at(orb.Point{b.Min[0], b.Max[1]}), f.at(orb.Point{b.Max[0], b.Min[1]})
	return orb.Bound{Min: nw, Max: se}
}
