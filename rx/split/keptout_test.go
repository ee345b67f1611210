package split

import (
	"errors"
	"fmt"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// A needle where outlines touch is no ground; a hundredth of a square foot is not told either.
func TestReachesKeepOut(t *testing.T) {
	const lands, leaves = "treated dry would land on 1.00 ac ", " (only a liquid layer can leave such ground out)"
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
		{true, inKeepOut{area: 1}, false, true, []int{0}, "on 1.00 ac the season has no room for treated dry" + leaves},
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

// A task has 255 codes, that of "off" counted: so many rates of a grid, "nothing" counted, and one polygon less.
func TestCodesOfATask(t *testing.T) {
	pieces := func(n int) *rx.Plan {
		s := &geo.Shapes{}
		for range n {
			s.Append(orb.MultiPolygon{{{{0, 0}, {1, 0}, {1, 1}, {0, 0}}}})
		}
		return &rx.Plan{Layers: []rx.Layer{{Pieces: s}}}
	}
	counts := make([]int32, 255)
	for i := range counts {
		counts[i] = int32(i + 1)
	}
	for _, c := range []struct {
		form   rx.TaskForm
		plan   *rx.Plan
		counts []int32
		liquid bool
		want   string
	}{
		{rx.TaskPolygons, pieces(254), []int32{1}, true, ""},
		{rx.TaskPolygons, pieces(255), []int32{1}, true, "task data: a task has 254 polygons at most, and liquid has 255"},
		{rx.CodeGrid, pieces(1), counts[:254], false, ""},
		{rx.CodeGrid, pieces(1), counts, false, "task data: a grid of type 1 has 255 rates at most, and liquid has 256"},
	} {
		b := &tasks{plan: c.plan, Task: &Task{}, out: &rx.TaskData{Request: rx.TaskRequest{Form: c.form}, Tasks: []rx.TaskLayers{
			{Name: "liquid", Products: []rx.TaskProduct{{Counts: c.counts, Liquid: c.liquid}}},
		}}}
		if err := b.fits(); fmt.Sprint(err) != c.want && (err != nil || c.want != "") {
			t.Errorf("got %v, want %q", err, c.want)
		}
	}
}
