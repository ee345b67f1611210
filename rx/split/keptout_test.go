package split

import (
	"errors"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// A needle where outlines touch is no ground; a hundredth of a square foot is not told either.
func TestReachesKeepOut(t *testing.T) {
	const lands, leaves = "treated dry would land on 1.00 ac ", ", and a boom alone leaves such ground out"
	for _, c := range []struct {
		keepOut bool
		kept    inKeepOut
		given   bool // by the user
		leave   bool
		noRoom  []int
		want    string
	}{
		{false, inKeepOut{area: 1}, false, false, nil, ""},
		{true, inKeepOut{area: 1e-6}, true, false, nil, ""},
		{true, inKeepOut{area: 1}, true, false, nil, lands + "in the keep-outs" + leaves},
		{true, inKeepOut{area: 1}, true, true, nil, lands + "in the keep-outs" + leaves},
		{true, inKeepOut{area: 1}, true, false, []int{0}, lands + "in the keep-outs" + leaves},
		{true, inKeepOut{area: 1}, false, true, []int{0}, lands + "where the season has no room" + leaves},
		{true, inKeepOut{area: 1}, true, true, []int{0}, lands + "in the keep-outs and where the season has no room" + leaves},
		{true, inKeepOut{area: 1, err: errors.New("they cross")}, true, false, nil, "the keep-outs can't be held against the zones: they cross"},
	} {
		task := &Task{kept: &c.kept}
		if c.keepOut {
			task.keepOut = make(orb.MultiPolygon, 1)
		}
		task.terms.Units, task.terms.KeepOuts, task.terms.LeaveOff, task.terms.NoRoom = unit.US, c.given, c.leave, c.noRoom
		if got := task.reachesKeepOut(); got != c.want {
			t.Errorf("%+v: got %q, want %q", c, got, c.want)
		}
	}
}
