package readout

import (
	"math"
	"slices"
)

// Lanes is a map of one field without any treatment, summed up in lanes side by side that are
// cut into bins of one length.
type Lanes [][]Bin

// Bin is what one bin of a lane holds: its points' yield and ground, in any units.
type Bin struct {
	Points    int
	Sum, Area float64
}

// Pattern says which of the lanes from a place on are treated and untreated, by their
// distance from it. A strip of several lanes is worth the mean of theirs.
type Pattern struct{ Treated, Untreated []int }

// The patterns of one replicate.
var (
	TUT  = Pattern{[]int{0, 2}, []int{1}}
	TUUT = Pattern{[]int{0, 3}, []int{1, 2}} // an untreated strip twice as wide as each side
	TU   = Pattern{[]int{0}, []int{1}}
)

func (p Pattern) width() int { return max(slices.Max(p.Treated), slices.Max(p.Untreated)) + 1 }

// Noise returns the root mean square difference that strips a number of bins long would show
// on a field that nobody treated, over all their places, and how many there are. A strip is
// left out where it holds at most 0.7 times the points that strips usually hold.
func (l Lanes) Noise(bins int, p Pattern) (rms float64, places int) {
	squares, list := 0.0, l.Places(bins, p)
	for _, place := range list {
		squares += float64(place.Difference * place.Difference)
	}
	return math.Sqrt(squares / float64(len(list))), len(list)
}

// Place is where a replicate would fit: its first lane and bin, and what it would show there.
type Place struct {
	Lane, Start int
	Difference  float64
}

// Places lists the places of strips a number of bins long, by lane.
func (l Lanes) Places(bins int, p Pattern) (places []Place) {
	windows := make([][]Bin, len(l))
	var counts []float64
	for i, lane := range l {
		for start := 0; start+bins <= len(lane); start++ {
			var w Bin
			for _, b := range lane[start : start+bins] {
				w.add(b)
			}
			windows[i] = append(windows[i], w)
			counts = append(counts, float64(w.Points))
		}
	}
	least := 0.7 * medianOf(counts)
	for i := 0; i+p.width() <= len(l); i++ {
		for start := range windows[i] {
			if d, ok := p.difference(windows[i:], start, least); ok {
				places = append(places, Place{i, start, d})
			}
		}
	}
	return places
}

// difference is treated less untreated at one place; ok is false where a strip lacks points.
func (p Pattern) difference(windows [][]Bin, start int, least float64) (d float64, ok bool) {
	enough := func(lane int) bool {
		return start < len(windows[lane]) && float64(windows[lane][start].Points) > least
	}
	for _, lane := range p.Untreated {
		if !enough(lane) {
			return 0, false
		}
		d -= windows[lane][start].yield() / float64(len(p.Untreated))
	}
	for _, lane := range p.Treated {
		if !enough(lane) {
			return 0, false
		}
		d += windows[lane][start].yield() / float64(len(p.Treated))
	}
	return d, true
}

func (b *Bin) add(c Bin) { b.Points, b.Sum, b.Area = b.Points+c.Points, b.Sum+c.Sum, b.Area+c.Area }

func (b Bin) yield() float64 { return b.Sum / b.Area }
