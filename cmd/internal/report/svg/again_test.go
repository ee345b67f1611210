package svg

import (
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// Every zone is drawn once again, in the class that it is of, but for those too small to see.
func TestZonesAreDrawnAgainInTheirClasses(t *testing.T) {
	d := &Drawer{ground: Ground{Number: func(zone int) int { return 10 + zone }}, shapes: []string{"M0,0Z", "M1,1Z", "", "M2,2Z"}}
	got := d.Again(Map{Fills: []string{"red", "blue", "gray"}, Class: []uint8{1, 0, 1, 1}})
	if want := `<g fill="red"><use href="#z11"/></g><g fill="blue"><use href="#z10"/><use href="#z13"/></g>`; string(got) != want {
		t.Errorf("%s, want %s", got, want)
	}
}

// Joined cells are drawn as finely as the room allows, borders moved by three quarters of a square at most; squares of
// 16 pixels are drawn whatever room they take.
func TestJoinedCellsTakeTheRoomThereIs(t *testing.T) {
	shapes := &geo.Shapes{}
	for i := range mostShapes + 1 {
		x := float64(i) * 1e-4
		shapes.Append(orb.MultiPolygon{orb.Bound{Min: orb.Point{x, 0}, Max: orb.Point{x + 1e-4, 1e-4}}.ToPolygon()})
	}
	same := func(zone int) int { return zone }
	d := NewDrawer(Ground{Shapes: shapes, Zones: shapes.Len(), Record: same, Number: same})
	f := &d.frame // a tenth of its size, to be quick
	f.width, f.height, f.left, f.top, f.perMeter = f.width/10, f.height/10, f.left/10, f.top/10, f.perMeter/10
	for fill, tenths := range map[string]float64{"red": 0.75 * px / 2, strings.Repeat("x", mapRoom): 0.75 * 16 * px} {
		d.Draw([]Map{{Fills: []string{fill}, Class: make([]uint8, shapes.Len()), Tips: func([]int, string) string { return "" }}})
		if meters, joined := d.Simplified(); !joined || math.Abs(meters*d.frame.perMeter-tenths) > 1e-9 {
			t.Errorf("a fill of %d bytes: borders moved by %v tenths of a pixel, want %v", len(fill), meters*d.frame.perMeter, tenths)
		}
	}
}
