package swath

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// Rows that turn wildly make no thousand pieces each, are told, and lose none of their amount.
func TestWildTurns(t *testing.T) {
	f := newField(150)
	at, heading := orb.Point{}, 0.0
	for i := range 600 {
		f.row(at, steady(2))
		f.clock += 60
		heading += []float64{1, 1, 1, -1, -1, -1}[i%6]
		sin, cos := math.Sincos(heading)
		at = orb.Point{at[0] + 60*sin, at[1] + 60*cos}
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
