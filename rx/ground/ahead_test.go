package ground

import (
	"testing"

	"github.com/paulmach/orb"
)

// A section 3 m long from y on, and what stands beside it, behind it or askew. Rings go as those
// of pieces: both ends of where the boom was, then both of where it is.
func TestBesideTakesInWhatIsAsLong(t *testing.T) {
	at := func(x0, x1, y0, y1 float64) [4]orb.Point {
		return [4]orb.Point{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}
	}
	for _, c := range []struct {
		what string
		next [4]orb.Point
		want [4]orb.Point // of a section from 0 to 2 m; the zero value where they stay two
	}{
		{"right of it", at(2, 5, 0, 3), at(0, 5, 0, 3)},
		{"left of it", at(-4, 0, 0, 3), at(-4, 2, 0, 3)},
		{"right of it, longer", at(2, 5, 0, 4), [4]orb.Point{}},
		{"right of it, begun later", at(2, 5, 1, 3), [4]orb.Point{}},
		{"left of it, longer", at(-4, 0, 0, 4), [4]orb.Point{}},
		{"left of it, begun later", at(-4, 0, 1, 3), [4]orb.Point{}},
		{"ahead of it", at(0, 2, 3, 6), [4]orb.Point{}},
		{"farther on", at(7, 9, 0, 3), [4]orb.Point{}},
	} {
		ground := at(0, 2, 0, 3)
		if joined := beside(&ground, &c.next); joined != (c.want != [4]orb.Point{}) {
			t.Errorf("%s: joined is %v", c.what, joined)
		} else if joined && ground != c.want || !joined && ground != at(0, 2, 0, 3) {
			t.Errorf("%s: then it is %v", c.what, ground)
		}
	}
}
