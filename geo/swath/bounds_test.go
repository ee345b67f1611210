package swath

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/paulmach/orb"
)

// Rows that turn wildly make no thousand pieces each, are told, and lose none of their amount.
func TestWildTurns(t *testing.T) {
	random := rand.New(rand.NewPCG(3, 4))
	f := newField(150)
	for range 600 {
		f.row(orb.Point{300 * random.Float64(), 300 * random.Float64()}, steady(2))
		f.clock += 60
	}
	got := Lay(&f.log, f.places, Options{})
	if most := freePieces + eachPieces*len(f.places) + mostSteps*mostSlices; len(got.Pieces) > most+4*mostSteps || len(got.Pieces) < freePieces {
		t.Errorf("%d pieces, want up to %d", len(got.Pieces), most)
	}
	if got.Odd.Rough == 0 || got.Odd.Rough > 600 {
		t.Errorf("%d ways are said to be laid roughly", got.Odd.Rough)
	}
	sum := 0.0
	for i := range got.Pieces {
		sum += got.Pieces[i].Density * swept(got.Pieces[i].Ring)
	}
	if want := got.Ledger.Pieces; math.Abs(sum-want) > 0.01*want {
		t.Errorf("pieces hold %.0f of %.0f", sum, want)
	}
}
