package coverage

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// frame turns the plane so that scan lines run along its first axis, u. They lie across the
// way that the machines mostly drove, tilted: a line along a boom would run on the seam of
// two pieces.
type frame struct {
	cos, sin float64
	spacing  float64
	first    int // number of the lowest line; line k lies at v = (k + 1/2)·spacing
	lines    int
}

func (f frame) turn(p orb.Point) orb.Point {
	return orb.Point{float64(p[0]*f.cos) + float64(p[1]*f.sin), float64(p[1]*f.cos) - float64(p[0]*f.sin)}
}

func (f frame) back(q orb.Point) orb.Point {
	return orb.Point{float64(q[0]*f.cos) - float64(q[1]*f.sin), float64(q[0]*f.sin) + float64(q[1]*f.cos)}
}

// at returns where a line lies.
func (f frame) at(line int) float64 { return float64((float64(f.first+line) + 0.5) * f.spacing) }

// reach returns the lines, the end excluded, that may meet what lies between two values of v.
func (f frame) reach(low, high float64) (from, to int) {
	from = int(math.Floor(low/f.spacing)) - f.first
	to = int(math.Floor(high/f.spacing)) - f.first + 1
	return max(from, 0), min(to, f.lines)
}

// axis is the unit vector of the way that pieces are mostly driven, there and back alike.
// Roots and products alone make it, so that all machines find the same bits.
func axis(pieces []Piece) orb.Point {
	var c, s float64 // of twice the angle, weighted by length
	for _, part := range cores.Map(len(pieces), cores.Block, func(from, to int) (sum orb.Point) {
		for i := from; i < to; i++ {
			r := &pieces[i].Ring
			dx, dy := float64((r[2][0]+r[3][0]-r[0][0]-r[1][0])/2), float64((r[2][1]+r[3][1]-r[0][1]-r[1][1])/2)
			d := math.Sqrt(float64(dx*dx) + float64(dy*dy))
			if d > 0 {
				sum[0] += (float64(dx*dx) - float64(dy*dy)) / d
				sum[1] += float64(2*dx*dy) / d
			}
		}
		return sum
	}) {
		c, s = c+part[0], s+part[1]
	}
	d := math.Sqrt(float64(c*c) + float64(s*s))
	if !(d > 0) {
		return orb.Point{0, 1}
	}
	c /= d
	return orb.Point{math.Sqrt(max(0, (1+c)/2)), math.Copysign(math.Sqrt(max(0, (1-c)/2)), s)}
}

// across returns the frame whose lines lie across an axis, tilted by an angle of a sine.
func across(along orb.Point, sine, spacing float64) frame {
	x, y := -along[1], along[0] // a quarter turn to the left
	cosine := math.Sqrt(1 - float64(sine*sine))
	return frame{cos: float64(x*cosine) - float64(y*sine), sin: float64(y*cosine) + float64(x*sine), spacing: spacing}
}

// span is an interval of v.
type span struct{ low, high float64 }

func (s span) with(v float64) span { return span{min(s.low, v), max(s.high, v)} }

func (s span) join(t span) span { return span{min(s.low, t.low), max(s.high, t.high)} }

var noSpan = span{math.Inf(1), math.Inf(-1)}

// spanOf returns the values of v that a piece takes.
func (f frame) spanOf(p *Piece) span {
	s := noSpan
	for _, q := range p.Ring {
		s = s.with(f.turn(q)[1])
	}
	return s
}
