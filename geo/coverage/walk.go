package coverage

import (
	"slices"
	"sync"
)

// walker goes along one scan line after the other and keeps what holds where it is.
type walker struct {
	*sweeper
	state  State
	in     []int32 // zones that hold the place
	kept   []int32 // keep-outs that do
	on     []int32 // patches that do
	active int     // covers of all products
}

var lineRoom = sync.Pool{New: func() any { room := make([][]event, bandLines); return &room }}

// sweepBand walks all lines of a band. Each stretch on which nothing changes, and on which
// there is a zone, a keep-out or a cover, goes to the visitor.
func sweepBand[V visitor](s *sweeper, b int, to V) V {
	room := lineRoom.Get().(*[][]event)
	w := &walker{sweeper: s, state: State{Covers: make([]int32, s.ground.Products), Density: make([]float64, s.ground.Products)}}
	for i, events := range s.sorted(b, *room) {
		to.begin(b*bandLines + i)
		w.walk(events, to)
		if !to.end() {
			break
		}
	}
	lineRoom.Put(room)
	return to
}

// visitor is told of the stretches of lines.
type visitor interface {
	begin(line int)
	stretch(from, to float64, s *State)
	end() (more bool) // lines of the band are wanted
}

func (w *walker) walk(events []event, to visitor) {
	w.reset()
	at := 0.0
	for _, e := range events {
		if e.u > at && w.some() {
			to.stretch(at, e.u, &w.state)
		}
		at = e.u
		w.pass(e)
	}
}

// reset leaves everything: a line begins outside of all.
func (w *walker) reset() {
	w.state.Zone, w.state.KeptOut, w.state.Spared = -1, false, false
	clear(w.state.Covers)
	clear(w.state.Density)
	w.in, w.kept, w.on, w.active = w.in[:0], w.kept[:0], w.on[:0], 0
}

func (w *walker) some() bool {
	return w.active > 0 || w.state.Zone >= 0 || w.state.KeptOut || w.state.Spared
}

// pass has an event happen.
func (w *walker) pass(e event) {
	if e.what < 0 {
		w.cross(-1 - e.what)
		if e.step > 0 {
			w.cross(e.step - 1)
		}
		return
	}
	p := &w.ground.Pieces[e.what]
	w.cover(p.Product, p.Density, e.step)
}

// cover enters or leaves covered ground.
func (w *walker) cover(product int32, density float64, step int32) {
	w.active += int(step)
	w.state.Covers[product] += step
	switch {
	case w.state.Covers[product] == 0:
		w.state.Density[product] = 0 // what rounding left goes
	case step > 0:
		w.state.Density[product] += density
	default:
		w.state.Density[product] -= density
	}
}

// cross enters or leaves a zone, a keep-out or a patch.
func (w *walker) cross(of int32) {
	if int(of) >= w.beyond {
		before, laid := len(w.on), w.ground.Laid[int(of)-w.beyond]
		w.on = toggled(w.on, of)
		w.cover(laid.Product, laid.Density, int32(len(w.on)-before))
		return
	}
	if int(of) >= w.zones {
		w.kept = toggled(w.kept, of)
		spared := int32(w.zones + w.ground.Spared)
		w.state.KeptOut = len(w.kept) > 0 && slices.Max(w.kept) >= spared
		w.state.Spared = len(w.kept) > 0 && slices.Min(w.kept) < spared
		return
	}
	w.in = toggled(w.in, of)
	w.state.Zone = -1
	if len(w.in) > 0 {
		w.state.Zone = int(slices.Min(w.in))
	}
}

// toggled takes a number off a short list, or puts it on.
func toggled(list []int32, n int32) []int32 {
	if i := slices.Index(list, n); i >= 0 {
		return slices.Delete(list, i, i+1)
	}
	return append(list, n)
}
