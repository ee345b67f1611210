package ground

import (
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// What is drawn by the label has the acres of the table by verdict, ground with none too.
func TestByLabelIsTheTable(t *testing.T) {
	// 16 and 38.4 fl oz/ac, and nothing between them.
	f := planned([]orb.Polygon{rectangle(0, 0, 200, 160), rectangle(0, 160, 200, 200), rectangle(0, 200, 200, 400)}, 100, 0, 240)
	r := driveOn(t, f, tenMeters)
	d, err := r.Drawn(Options{})
	if err != nil {
		t.Fatal(err)
	}
	var drawn [classes]unit.Area
	for _, row := range d.ByLabel.Rows {
		drawn[row.Class] += row.Area
	}
	for class, on := range r.Liquids[0].Classes {
		if a := drawn[class]; a < on.Area-0.02*unit.Acre || a > on.Area+0.02*unit.Acre {
			t.Errorf("class %v: drawn %v, in the table %v", Class(class), a, on.Area)
		}
	}
	if r.Liquids[0].Classes[None].Area < 0.02*unit.Acre {
		t.Error("all ground gets some")
	}
}
