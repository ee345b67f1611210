package geo

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// randomRing has its corners on a small lattice, so that many meet.
func randomRing(r *rand.Rand, corners, lattice int) orb.Ring {
	var ring orb.Ring
	for range corners {
		ring = append(ring, orb.Point{float64(r.IntN(lattice)), float64(r.IntN(lattice))})
	}
	return append(ring, ring[0])
}

// rulesOf lists the rules that rings break when pairs are looked at in one way.
func rulesOf(rings []orb.Ring, pairs func(c *ringChecker) int) (rules []RingRule, touches int) {
	var c ringChecker
	for i, ring := range rings {
		if !c.addRing(ring, i) {
			return nil, 0
		}
	}
	c.hasShell = true
	c.makeRuns()
	touches = pairs(&c)
	for _, p := range c.problems {
		rules = append(rules, p.Rule)
	}
	slices.Sort(rules)
	return slices.Compact(rules), touches
}

// placesOfTouches counts where different rings touch.
func placesOfTouches(rings []orb.Ring) int {
	var c ringChecker
	for i, ring := range rings {
		c.addRing(ring, i)
	}
	places := map[orb.Point]bool{}
	for _, s := range c.segments {
		for _, u := range c.segments {
			if s.ring < u.ring && meetSegments(s.a, s.b, u.a, u.b) == touch {
				places[common(s, u)] = true
			}
		}
	}
	return len(places)
}

// A sweep finds rings to cross that do, and to touch alone that do that alone.
func TestSweepFindsWhatPairsFind(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 3))
	crossing, touching, sound := 0, 0, 0
	for range 60_000 {
		rings := []orb.Ring{randomRing(r, 3+r.IntN(5), 3+r.IntN(10))}
		if r.IntN(3) == 0 {
			rings = append(rings, randomRing(r, 3, 12))
		}
		want, some := rulesOf(rings, (*ringChecker).checkPairs)
		got, found := rulesOf(rings, (*ringChecker).sweepPairs)
		crosses := func(rules []RingRule) bool {
			return slices.ContainsFunc(rules, func(r RingRule) bool { return r != SelfTouching && r != Spike })
		}
		switch {
		case crosses(want):
			crossing++
			if !crosses(got) {
				t.Fatalf("%v: got %v, want %v", rings, got, want)
			}
			continue
		case some > 0 || len(want) > 0:
			touching++
		default:
			sound++
		}
		if !slices.Equal(got, want) || (found > 0) != (some > 0) || found < 2 && placesOfTouches(rings) > 1 {
			t.Fatalf("%v: got %v and %d touches, want %v and %d", rings, got, found, want, some)
		}
	}
	if min(crossing, touching, sound) < 1000 {
		t.Errorf("%d cross, %d touch, %d sound: too few to tell", crossing, touching, sound)
	}
}

// Trapezoids make up the ground of rings that are sound.
func TestTrapezoidsMakeUpTheGround(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	for tried := 0; tried < 2000; {
		ring := randomRing(r, 3+r.IntN(7), 12)
		if Valid(orb.MultiPolygon{{ring}}) != nil {
			continue
		}
		tried++
		var s sweep
		for i := 1; i < len(ring); i++ {
			if ring[i-1] != ring[i] {
				s.add(ring[i-1], ring[i])
			}
		}
		list, ok := s.trapezoids()
		sum := 0.0
		for _, c := range list {
			sum += c.area()
		}
		if area, _ := flatRing(ring); !ok || math.Abs(sum-math.Abs(area)) > 1e-9 {
			t.Fatalf("%v: got %v, %v, want an area of %v", ring, sum, ok, math.Abs(area))
		}
	}
}

// A sweep sees the same edge above each piece of ground as a search by boxes.
func TestSweepSeesWhatBoxesSee(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 7))
	seen := 0
	for i := range 330 {
		var s *Shapes
		if i < 300 {
			s = scattered(rng, 2+rng.IntN(20))
		} else { // squares, half of whose edges run straight north, many from one place to one place
			s = &Shapes{}
			for k := range 900 {
				if x, y := float64(k/30), float64(k%30); rng.IntN(3) > 0 {
					s.Append(orb.MultiPolygon{{{at(x, y), at(x+1, y), at(x+1, y+1), at(x, y+1), at(x, y)}}})
				}
			}
		}
		if s.Len() == 0 {
			continue
		}
		m := mesh(t, s)
		g := newGraph(m, m.boundary(nil).edges)
		of, list := g.connect()
		if !g.sweepAbove(list) {
			t.Fatal("edges cross")
		}
		boundless := math.MaxInt
		for _, p := range list {
			if want := g.edgeAbove(g.index(), p.top, of, &boundless); p.above != want {
				t.Fatalf("above %v: got edge %d, want %d", g.pos[p.top], p.above, want)
			}
			if p.above >= 0 {
				seen++
			}
		}
	}
	if seen < 2000 {
		t.Errorf("%d edges were seen", seen)
	}
}

// Long thin strips that slant over one another have boxes that all meet: a search by boxes
// looks at the square of them for what is above each, and gives up for a sweep.
func TestSlantingStripsAreSwept(t *testing.T) {
	looks := func(n int) (boxes int) {
		s := &Shapes{}
		for i := range n {
			x := 0.03 * float64(i)
			s.Append(orb.MultiPolygon{{{at(x, 0), at(x+0.015, 0), at(x+90.015, 90), at(x+90, 90), at(x, 0)}}})
		}
		m := mesh(t, s)
		g := newGraph(m, m.boundary(nil).edges)
		of, list := g.connect()
		budget := math.MaxInt
		for _, p := range list {
			g.edgeAbove(g.index(), p.top, of, &budget)
		}
		if g.findAbove(list, of); slices.ContainsFunc(list, func(p piece) bool { return p.above >= 0 && g.groundAbove(p.top) }) {
			t.Error("strips lie on one another")
		}
		return math.MaxInt - budget
	}
	few, many := looks(500), looks(2000)
	if many < 6*few || many < manyNear*2000 {
		t.Errorf("%d and %d boxes: these strips are no trouble and test nothing", few, many)
	}
}
