package split

import (
	"errors"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// A needle where outlines touch is no ground; a hundredth of a square foot is not told either.
func TestReachesKeepOut(t *testing.T) {
	for _, c := range []struct {
		keepOut bool
		kept    inKeepOut
		leave   bool
		noRoom  []int
		want    string
	}{
		{false, inKeepOut{area: 1}, false, nil, ""},
		{true, inKeepOut{area: 1e-6}, false, nil, ""},
		{true, inKeepOut{area: 1}, false, nil, "treated dry would land on 1.00 ac inside the keep-outs"},
		{true, inKeepOut{area: 1}, true, nil, "treated dry would land on 1.00 ac inside the keep-outs"},
		{true, inKeepOut{area: 1}, true, []int{0}, "treated dry would land on 1.00 ac inside the keep-outs and where the season has no room"},
		{true, inKeepOut{area: 1, err: errors.New("they cross")}, false, nil, "the keep-outs can't be held against the zones: they cross"},
	} {
		task := &Task{kept: &c.kept}
		if c.keepOut {
			task.keepOut = make(orb.MultiPolygon, 1)
		}
		task.terms.Units, task.terms.LeaveOff, task.terms.NoRoom = unit.US, c.leave, c.noRoom
		if got := task.reachesKeepOut(); got != c.want {
			t.Errorf("%+v: got %q, want %q", c, got, c.want)
		}
	}
}
