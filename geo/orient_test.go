package geo

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/internal/boxtree"
)

// Points a few units in the last place apart, where rounding decides wrongly:
// against a determinant in numbers of 2000 bits.
func TestOrientIsExact(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 1))
	wrong := 0
	for range 20_000 {
		jitter := func(v float64) float64 { return v + float64(r.IntN(16))*0x1p-47 }
		a := orb.Point{jitter(-95), jitter(40)}
		b := orb.Point{jitter(-95 + 12*0x1p-40), jitter(40 + 12*0x1p-40)}
		c := orb.Point{jitter(-95 + 24*0x1p-40), jitter(40 + 24*0x1p-40)}
		want := wideOrient(a, b, c)
		if got := orient(a, b, c); got != want {
			t.Fatalf("%v %v %v: got %d, want %d", a, b, c, got, want)
		}
		plain := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0])
		if (plain > 0) != (want > 0) || (plain < 0) != (want < 0) {
			wrong++
		}
	}
	t.Logf("plain arithmetic is wrong %d times", wrong)
}

// Points beside a line through places that are much farther away, where differences
// round: the example of Kettner, Mehlhorn, Pion, Schirra and Yap, Classroom Examples of
// Robustness Problems in Geometric Computations, 2008.
func TestOrientIsExactWhereDifferencesRound(t *testing.T) {
	b, c := orb.Point{12, 12}, orb.Point{24, 24}
	wrong := 0
	for i := range 64 {
		for k := range 64 {
			a := orb.Point{0.5 + float64(i)*0x1p-53, 0.5 + float64(k)*0x1p-53}
			want := wideOrient(a, b, c)
			for _, order := range [][3]orb.Point{{a, b, c}, {b, c, a}, {c, a, b}} {
				if got := orient(order[0], order[1], order[2]); got != want {
					t.Fatalf("%v: got %d, want %d", order, got, want)
				}
			}
			if plain := (b[0]-a[0])*(c[1]-a[1]) - (b[1]-a[1])*(c[0]-a[0]); (plain > 0) != (want > 0) || (plain < 0) != (want < 0) {
				wrong++
			}
		}
	}
	if wrong == 0 {
		t.Error("plain arithmetic is right everywhere: these points show nothing")
	}
}

func wideOrient(a, b, c orb.Point) int {
	n := func(v float64) *big.Float { return new(big.Float).SetPrec(2000).SetFloat64(v) }
	less := func(x, y float64) *big.Float { return new(big.Float).SetPrec(2000).Sub(n(x), n(y)) }
	left := new(big.Float).SetPrec(2000).Mul(less(b[0], a[0]), less(c[1], a[1]))
	return left.Cmp(new(big.Float).SetPrec(2000).Mul(less(b[1], a[1]), less(c[0], a[0])))
}

func TestMeetSegments(t *testing.T) {
	for _, c := range []struct {
		name       string
		a, b, c, d orb.Point
		want       meeting
	}{
		{"cross", orb.Point{0, 0}, orb.Point{2, 2}, orb.Point{0, 2}, orb.Point{2, 0}, cross},
		{"end on the inside", orb.Point{0, 0}, orb.Point{2, 0}, orb.Point{1, 0}, orb.Point{1, 5}, touch},
		{"end on end", orb.Point{0, 0}, orb.Point{2, 0}, orb.Point{2, 0}, orb.Point{4, 0}, touch},
		{"along each other", orb.Point{0, 0}, orb.Point{3, 3}, orb.Point{2, 2}, orb.Point{4, 4}, overlay},
		{"on one line, apart", orb.Point{0, 0}, orb.Point{1, 1}, orb.Point{2, 2}, orb.Point{4, 4}, apart},
		{"boxes meet only", orb.Point{0, 0}, orb.Point{4, 4}, orb.Point{3, 0}, orb.Point{4, 1}, apart},
		{"would meet if longer", orb.Point{0, 0}, orb.Point{4, 0}, orb.Point{1, 1}, orb.Point{2, 5}, apart},
	} {
		for range 2 {
			if got := meetSegments(c.a, c.b, c.c, c.d); got != c.want {
				t.Errorf("%s: got %d, want %d", c.name, got, c.want)
			}
			if got := meetSegments(c.d, c.c, c.b, c.a); got != c.want {
				t.Errorf("%s, turned: got %d, want %d", c.name, got, c.want)
			}
			c.a, c.b, c.c, c.d = c.c, c.d, c.a, c.b
		}
	}
}

// The tree finds what trying all finds.
func TestTreeFindsAll(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 2))
	for _, n := range []int{0, 1, 2, 8, 9, 64, 65, 1000} {
		ends := make([][2]orb.Point, n)
		for i := range ends {
			a := orb.Point{r.Float64(), r.Float64()}
			ends[i] = [2]orb.Point{a, {a[0] + 0.1*r.NormFloat64(), a[1] + 0.1*r.NormFloat64()}}
		}
		tr := boxtree.New(n, func(i int) orb.Bound { return boxtree.Segment(ends[i][0], ends[i][1]) })
		for range 200 {
			a, b := orb.Point{r.Float64(), r.Float64()}, orb.Point{r.Float64(), r.Float64()}
			var want, got []int32
			for i, e := range ends {
				if meetSegments(a, b, e[0], e[1]) != apart {
					want = append(want, int32(i))
				}
			}
			tr.Search(boxtree.Along(a, b, 0), func(i int32) bool {
				if meetSegments(a, b, ends[i][0], ends[i][1]) != apart {
					got = append(got, i)
				}
				return true
			})
			slices.Sort(got)
			if !slices.Equal(got, want) {
				t.Fatalf("%d boxes: got %v, want %v", n, got, want)
			}
		}
	}
}

// Points within the tolerance share a vertex, others don't, as trying all says.
func TestWeldAgainstTryingAll(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	for range 200 {
		tol := 0.003 * (0.1 + r.Float64())
		s := &Shapes{}
		for range 60 {
			x, y := 0.01*r.Float64(), 0.01*r.Float64()
			if r.IntN(3) == 0 && len(s.Points) > 0 {
				p := s.Points[r.IntN(len(s.Points))]
				x, y = p[0], p[1]
			}
			s.Append(orb.MultiPolygon{{ring(x, y, x+1, y, x, y+1)}})
		}
		m, err := NewMesh(s, MeshOptions{Scale: Scale{1, 1}, Tolerance: toLength(tol)})
		if err != nil {
			t.Fatal(err)
		}
		var firsts []int
		for i, p := range s.Points {
			want := -1
			for v, k := range firsts {
				if q := s.Points[k]; p == q || distance2(p, q) < m.tol*m.tol {
					want = v
					break
				}
			}
			if want < 0 {
				want = len(firsts)
				firsts = append(firsts, i)
			}
			if int(m.vertex[i]) != want {
				t.Fatalf("point %d is vertex %d, want %d", i, m.vertex[i], want)
			}
		}
	}
}

func TestLonLatScale(t *testing.T) {
	// A degree at 40° N is 85 394 m by 111 035 m (standard tables of the WGS 84
	// ellipsoid; from memory, re-derivable).
	s := LonLatScale(orb.Bound{Min: orb.Point{0, 40}, Max: orb.Point{0, 40}})
	if math.Abs(s.X-85394) > 1 || math.Abs(s.Y-111035) > 1 {
		t.Errorf("got %.1f, %.1f", s.X, s.Y)
	}
}
