package track

import (
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// A new row says nothing that its record did not say: what is left out is not 0.
func TestNewRowIsUnknown(t *testing.T) {
	r := NewRow(orb.Point{-93, 42}, 7)
	for name, v := range map[string]float64{
		"time": r.Time, "rate": r.Rate, "target": r.Target, "width": r.Width, "heading": r.Heading, "flow": r.Flow, "total": r.Total,
	} {
		if !math.IsNaN(v) {
			t.Errorf("%s is %v, want none", name, v)
		}
	}
	if !r.On() || r.Record != 7 {
		t.Errorf("on %v, record %d", r.On(), r.Record)
	}
	if r.Open = 0; r.On() {
		t.Error("on with no section open")
	}
}
