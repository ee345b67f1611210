package svg

import (
	"fmt"
	"math"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/geo"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
)

// All drawings count tenths of a CSS pixel, so that paths are whole numbers.
const px = 10

// frame brings lon/lat to a drawing, north up, in tenths of a pixel. It is good
// for a field's width; acres never come from it.
type frame struct {
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
func newFrame(box orb.Bound) (frame, bool) {
	wide, high := box.Max[0]-box.Min[0], box.Max[1]-box.Min[1]
	if !(wide > 0 && high > 0 && wide < 180 && math.Abs(box.Min[1]) < 90 && math.Abs(box.Max[1]) < 90) {
		return frame{}, false
	}
	f := frame{west: box.Min[0], north: box.Max[1], scale: geo.LonLatScale(box), width: mapWidth}
	wide, high = wide*f.scale.X, high*f.scale.Y
	const inner = mapWidth - 2*mapMargin
	f.perMeter = min(inner/wide, (mapMostHigh-2*mapMargin)/high)
	drawn := float64(high * f.perMeter)
	f.left = float64((mapWidth - float64(wide*f.perMeter)) / 2)
	f.top = mapMargin
	if drawn < mapLeastHigh {
		f.top += float64((mapLeastHigh - drawn) / 2)
	}
	f.height = int(math.Ceil(max(drawn, mapLeastHigh))) + 2*mapMargin + mapFoot
	return f, true
}

// at returns where a place is drawn.
func (f frame) at(p orb.Point) orb.Point {
	return orb.Point{
		f.left + float64((p[0]-f.west)*f.scale.X*f.perMeter),
		f.top + float64((f.north-p[1])*f.scale.Y*f.perMeter),
	}
}

// ring appends where the points of a ring are drawn.
func (f frame) ring(dst []orb.Point, ring orb.Ring) []orb.Point {
	dst = slices.Grow(dst, len(ring))
	for _, p := range ring {
		dst = append(dst, f.at(p))
	}
	return dst
}

// box returns the box around a drawn box of lon/lat.
func (f frame) box(b orb.Bound) orb.Bound {
	nw, se := f.at(orb.Point{b.Min[0], b.Max[1]}), f.at(orb.Point{b.Max[0], b.Min[1]})
	return orb.Bound{Min: nw, Max: se}
}

// foot draws what belongs to every map: the scale bar and the arrow to the north.
func (f frame) foot(s unit.System) string {
	length, text := f.scaleBar(s)
	x, y := mapMargin, f.height-mapMargin
	bar := round(unit.Meters(length) * f.perMeter)
	out := fmt.Sprintf(`<g class="foot"><path d="M%d %dv%dh%dv%d" fill="none"/><path d="M%d %dv%dh%dv%dz" class="solid"/><text x="%d" y="%d">%s</text></g>`,
		x, y-9*px, 9*px, bar, -9*px, x, y-4*px, 4*px, bar/2, -4*px, x+bar+8*px, y, text)
	n := f.width - mapMargin - 9*px
	return out + fmt.Sprintf(`<g class="foot"><path d="M%d %dl%d %dl%d %dl%d %dz" class="solid"/><text x="%d" y="%d" class="mid">N</text></g>`,
		n, y-42*px, 8*px, 24*px, -8*px, -6*px, -8*px, 6*px, n, y)
}

// scaleBar returns a round length of at most a quarter of the drawing.
func (f frame) scaleBar(s unit.System) (unit.Length, string) {
	u := unit.Foot
	if s == unit.Metric {
		u = unit.Meter
	}
	n := niceBelow(float64(f.width) / 4 / f.perMeter / unit.Meters(u))
	return unit.Length(n) * u, figures.Thousands(fmt.Sprint(n)) + " " + unit.Symbol[unit.Length](s)
}

// Steps are the ends of classes of positive rates, in the user's units. Rates that are printed
// alike, with one decimal, are of one class.
type Steps struct {
	N         int // how many classes there are
	low, size float64
}

// mostSteps is how many classes a legend holds.
const mostSteps = 7

// NewSteps returns round steps that cover a range of rates above 0.
func NewSteps(low, high float64) Steps {
	low, high = printed(low), printed(high)
	if !(high > 0) || math.IsInf(high, 0) {
		return Steps{1, 0, 1}
	}
	if high-low < high*1e-9 {
		return Steps{1, low, 0}
	}
	size := NiceStep(max((high-low)/mostSteps, 0.1))
	s := stepsOf(low, high, size)
	for s.N > mostSteps {
		size = NiceStep(size * 1.01)
		s = stepsOf(low, high, size)
	}
	return s
}

func stepsOf(low, high, size float64) Steps {
	s := Steps{low: float64(math.Floor(low/size+1e-9) * size), size: size}
	s.N = int(math.Floor((high-s.low)/size+1e-9)) + 1
	return s
}

// printed is a rate as [figures.Short] prints it.
func printed(v float64) float64 {
	v, _ = strconv.ParseFloat(figures.Short(v), 64) // of its own making
	return v
}

// Of returns the class of a rate; lower ends are included.
func (s Steps) Of(v float64) int {
	if s.size == 0 {
		return 0
	}
	i := min(max(int(math.Floor((v-s.low)/s.size+1e-9)), 0), s.N-1)
	if end := s.low + float64(float64(i+1)*s.size); i < s.N-1 && end-v < 0.1 && printed(v) >= printed(end) {
		i++
	}
	return i
}

// Text names a class.
func (s Steps) Text(i int) string {
	if s.size == 0 {
		return figures.Short(s.low)
	}
	from := s.low + float64(float64(i)*s.size)
	return fmt.Sprintf("%s to under %s", figures.Thousands(figures.Trim(from)), figures.Thousands(figures.Trim(from+s.size)))
}

// NiceStep returns the least of 1, 2, 2.5 and 5 times a power of ten that is not
// below v, which is above 0.
func NiceStep(v float64) float64 {
	p := math.Pow(10, math.Floor(samebits.Log10(v)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*p >= v*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// niceBelow returns the largest of 1, 2, 2.5 and 5 times a power of ten that is
// not above v.
func niceBelow(v float64) float64 {
	p := math.Pow(10, math.Floor(samebits.Log10(v)))
	for _, m := range []float64{5, 2.5, 2} {
		if m*p <= v {
			return m * p
		}
	}
	return p
}
