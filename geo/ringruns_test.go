package geo

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/paulmach/orb"
)

// Runs find the meetings that a look at all pairs finds, first ones first: in short
// rings, in long ones, and in combs of slanting teeth, whose boxes hold each other by
// the hundred.
func TestRunsFindWhatAllPairsFind(t *testing.T) {
	var crowded, trees, broken int
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 8))
		s := &Shapes{}
		s.Append(orb.MultiPolygon{messy(r)})
		var byRuns, byPairs ringChecker
		for _, c := range []*ringChecker{&byRuns, &byPairs} {
			for ring := range len(s.RingEnds) {
				c.addRing(s.Ring(ring), ring)
			}
			c.hasShell = true
			c.makeRuns()
		}
		touches := 0
		for i := range byPairs.segments {
			for k := i + 1; k < len(byPairs.segments); k++ {
				touches += byPairs.checkPair(i, k)
			}
		}
		if got := byRuns.checkPairs(); got != touches {
			t.Errorf("polygon %d: rings touch %d times, want %d", seed, got, touches)
		}
		if !slices.Equal(byRuns.problems, byPairs.problems) {
			t.Errorf("polygon %d: got %v, want %v", seed, byRuns.problems, byPairs.problems)
		}
		if byRuns.tree != nil {
			trees++
			for run := range byRuns.runs {
				if byRuns.nearRun(run) {
					crowded++
				}
			}
		}
		if len(byPairs.problems) > 0 {
			broken++
		}
	}
	if trees < 50 || trees > 98 || crowded < 100 || broken < 50 {
		t.Errorf("%d trees, %d crowded runs, %d broken polygons: too few of a kind", trees, crowded, broken)
	}
}

// The last run of a shell and the first of a hole go the same way, and cross all the same: ways are
// told of one ring alone.
func TestRunsOfTwoRingsThatCross(t *testing.T) {
	shell := orb.Ring{{0, 0}}
	for x := range 6 {
		shell = append(shell, orb.Point{float64(x+1) * 10, 0})
	}
	shell = append(shell, orb.Point{60, 80})
	for y := range 9 { // eight sides south
		shell = append(shell, orb.Point{0, float64(80 - 10*y)})
	}
	hole := orb.Ring{{-5, 77}, {5, 67}} // eight south too, of which the first and the last cross the shell
	for y := range 6 {
		hole = append(hole, orb.Point{5, float64(60 - 5*y)})
	}
	hole = append(hole, orb.Point{-5, 27}, orb.Point{-6, 50}, orb.Point{-5, 77})
	var c ringChecker
	c.addRing(shell, 0)
	c.addRing(hole, 1)
	c.hasShell = true
	c.makeRuns()
	if len(c.runs) != 4 || c.runs[1].ways&c.runs[2].ways == 0 {
		t.Fatalf("%+v", c.runs)
	}
	c.checkPairs()
	if !slices.ContainsFunc(c.problems, func(p RingProblem) bool { return p.Place == orb.Point{0, 72} }) {
		t.Errorf("got %v", c.problems)
	}
}

// messy makes a blob or a slanting comb, with holes, some vertices of which lie
// where others do or astray.
func messy(r *rand.Rand) orb.Polygon {
	shell := blob(r, 0, 10, 3+r.IntN(150))
	if r.IntN(2) == 0 {
		shell = comb(10 + r.IntN(300))
	}
	p := orb.Polygon{shell}
	for range r.IntN(4) {
		x, y := shell[0][0]+r.Float64()*20, shell[0][1]+r.Float64()*20
		p = append(p, box(x, y, x+1, y+1))
	}
	for range r.IntN(3) {
		shell[1+r.IntN(len(shell)-2)] = orb.Point{shell[0][0] + r.Float64()*20, shell[0][1] + r.Float64()*20}
	}
	if r.IntN(3) == 0 {
		shell[1+r.IntN(len(shell)-2)] = shell[1+r.IntN(len(shell)-2)]
	}
	return p
}

// comb has teeth that slant across all of it, tip by tip.
func comb(teeth int) orb.Ring {
	var r orb.Ring
	for i := range teeth {
		x := float64(i) / float64(teeth)
		r = append(r, orb.Point{x, 0}, orb.Point{20 + x, 20})
	}
	r = append(r, orb.Point{25, -5}, orb.Point{0, -5})
	return append(r, r[0])
}
