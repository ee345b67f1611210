package coverage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// shaped makes rings that lie apart, in meters; lean is the angle of lines against the way across
// machines that are width wide, lines h apart.
type shaped func(r *rand.Rand, lean, width, h float64) [][]orb.Point

func upright(x, y, a, b float64) []orb.Point {
	return []orb.Point{{x, y}, {x + a, y}, {x + a, y + b}, {x, y + b}}
}

func turned(points []orb.Point, angle float64) []orb.Point {
	sin, cos := math.Sincos(angle)
	out := make([]orb.Point, len(points))
	for i, p := range points {
		out[i] = orb.Point{p[0]*cos - p[1]*sin, p[0]*sin + p[1]*cos}
	}
	return out
}

// around makes a ring of so many points, as far from its middle as reach says.
func around(points int, reach func() float64) []orb.Point {
	var out []orb.Point
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(points))
		r := reach()
		out = append(out, orb.Point{r * cos, r * sin})
	}
	return out
}

// tiled makes boxes side by side, with gaps, turned.
func tiled(nx, ny int, dx, dy, a, b, angle float64) (list [][]orb.Point) {
	for i := range nx {
		for k := range ny {
			list = append(list, turned(upright(float64(i)*dx, float64(k)*dy, a, b), angle))
		}
	}
	return list
}

var manyShapes = map[string]shaped{
	"boxes along passes": func(r *rand.Rand, _, _, _ float64) [][]orb.Point {
		return [][]orb.Point{upright(0, 0, 5+60*r.Float64(), 5+60*r.Float64())}
	},
	"boxes": func(r *rand.Rand, _, _, _ float64) [][]orb.Point {
		return [][]orb.Point{turned(upright(0, 0, 2+60*r.Float64(), 2+60*r.Float64()), 7*r.Float64())}
	},
	"boxes along lines": func(r *rand.Rand, lean, _, _ float64) [][]orb.Point {
		return [][]orb.Point{turned(upright(0, 0, 5+60*r.Float64(), 2+60*r.Float64()), lean+[]float64{0, 1e-3, 1e-2, -1e-3}[r.IntN(4)])}
	},
	"triangles": func(r *rand.Rand, _, _, _ float64) [][]orb.Point {
		return [][]orb.Point{turned([]orb.Point{{0, 0}, {5 + 60*r.Float64(), 20 * r.Float64()}, {30 * r.Float64(), 25 + 60*r.Float64()}}, 7*r.Float64())}
	},
	"stars": func(r *rand.Rand, _, _, _ float64) [][]orb.Point {
		return [][]orb.Point{around(5+r.IntN(20), func() float64 { return 10 + 40*r.Float64() })}
	},
	"rounds": func(r *rand.Rand, _, _, _ float64) [][]orb.Point {
		radius := 5 + 50*r.Float64()
		return [][]orb.Point{around(200, func() float64 { return radius })}
	},
	"grids": func(r *rand.Rand, _, _, _ float64) [][]orb.Point {
		a, b, gap := 5+20*r.Float64(), 5+20*r.Float64(), 5*r.Float64()
		return tiled(6, 6, a+gap, b+gap, a, b, 7*r.Float64())
	},
	"grids of whole lines": func(r *rand.Rand, lean, _, h float64) [][]orb.Point {
		a, b, d := 5+20*r.Float64(), 5+20*r.Float64(), h*math.Ceil(30/h)
		return tiled(3, 3, d, d, a, b, lean+[]float64{0, 0.01 * r.Float64(), math.Pi / 4}[r.IntN(3)])
	},
	"many alike": func(r *rand.Rand, lean, _, h float64) [][]orb.Point { // five or six lines each, at the same places
		return tiled(1, 60, 0, 8*h, 5+20*r.Float64(), (5.25+0.5*r.Float64())*h, lean)
	},
	"ends of passes": func(r *rand.Rand, _, width, _ float64) (list [][]orb.Point) {
		for i := range 20 {
			list = append(list, upright(float64(i)*width, 50*r.Float64(), width, 50+50*r.Float64()))
		}
		return list
	},
	"ends of sections": func(r *rand.Rand, _, width, h float64) (list [][]orb.Point) {
		slope, section := 4*r.Float64()-2, width/math.Ceil(9*r.Float64())
		section = max(section, min(10*h, width)) // an end spans a line at least
		for i := range 40 {
			list = append(list, upright(float64(i)*section, slope*float64(i)*section, section, 100))
		}
		return list
	},
}

// What is known exactly is never farther off than it says: drawn shapes as keep-outs and as zones,
// and driven ones, of any form, turn, place and spacing of lines.
func TestEstimateIsSafe(t *testing.T) {
	trials := 1000
	if testing.Short() {
		trials = 40
	}
	for name, shape := range manyShapes {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			r := rand.New(rand.NewPCG(15, uint64(len(name))))
			for range trials {
				h, width := []float64{0.1, 0.25, 0.5, 1}[r.IntN(4)], 6+30*r.Float64()
				machine := strip(-200, -200, -200+width, -190, 1)
				rings := shape(r, math.Asin(tilt([]Piece{machine}, h)), width, h)
				g := &Ground{Products: 1, Pieces: []Piece{machine}, KeepOuts: shapes()}
				at, driven := orb.Point{100 * r.Float64(), 100 * r.Float64()}, r.IntN(2) == 0
				exact := 0.0
				for _, ring := range rings {
					for i := range ring {
						ring[i] = orb.Point{ring[i][0] + at[0], ring[i][1] + at[1]}
					}
					closed := append(orb.Ring(ring), ring[0])
					exact += math.Abs(geo.TwiceArea(closed) / 2)
					if driven && len(ring) == 4 {
						g.Pieces = append(g.Pieces, Piece{Ring: [4]orb.Point(ring)})
					} else {
						g.KeepOuts.Append(orb.MultiPolygon{{closed}})
					}
				}
				got, err := Sweep(g, Options{Spacing: h, Marks: 1, Judge: func(s *State) Marks {
					if s.KeptOut || s.Covers[0] > 0 && s.Density[0] == 0 {
						return 1
					}
					return 0
				}})
				if err != nil {
					t.Fatal(err)
				}
				if m := got.Marks[0]; math.Abs(m.Area-exact) > m.Error+1e-9*exact {
					t.Errorf("%.4f m², exactly %.4f: off by %.4f, estimated %.4f, lines %v m apart, boom %v m", m.Area, exact, m.Area-exact, m.Error, got.Spacing, width)
				}
			}
		})
	}
}
