package report

import (
	"cmp"
	"math/rand/v2"
	"slices"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// The largest zones are those that a sort of all would put first, equal ones in the order of
// the file.
func TestLargestOffZones(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 2))
	for range 500 {
		p, a := &rx.Prescription{}, &rx.Assessment{}
		var want []int
		for i := range rng.IntN(200) {
			p.Zones = append(p.Zones, rx.Zone{Area: unit.Area(rng.IntN(20))})
			a.Verdicts = append(a.Verdicts, []rx.Verdict{rx.Below, rx.Within, rx.Above}[rng.IntN(3)])
			if a.Verdicts[i] != rx.Within {
				want = append(want, i)
			}
		}
		slices.SortStableFunc(want, func(x, y int) int { return cmp.Compare(p.Zones[y].Area, p.Zones[x].Area) })
		most := 1 + rng.IntN(12)
		got, all := OffZones(p, a, most)
		if all != len(want) || !slices.Equal(got, want[:min(most, len(want))]) {
			t.Fatalf("got %v of %d, want the first %d of %v", got, all, most, want)
		}
	}
}
