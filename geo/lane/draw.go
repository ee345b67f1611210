package lane

import (
	"math/bits"
	"math/rand/v2"
	"slices"
)

// apart reports whether two places, each with the lanes beside it, share no ground.
func (p Place) apart(q Place) bool {
	lanes := p.Lane - q.Lane
	return lanes >= 3 || lanes <= -3 || p.From >= q.To-touching || q.From >= p.To-touching
}

func clear(p Place, taken []Place) bool {
	return !slices.ContainsFunc(taken, func(q Place) bool { return !p.apart(q) })
}

// Packed returns places that share no ground, as many as go in when they are taken from one side
// of the field to the other. More can't be drawn.
func Packed(places []Place) (packed []Place) {
	near := 0 // of those before, none reaches as far as the lane
	for _, p := range places {
		for near < len(packed) && packed[near].Lane <= p.Lane-3 {
			near++
		}
		if clear(p, packed[near:]) {
			packed = append(packed, p)
		}
	}
	return packed
}

// tries is how often a whole design is drawn anew where one of its blocks has no place left.
const tries = 50

// Draw draws n places that share no ground, one at random from each of n blocks of lanes that
// have equally many places; places are those of [Lanes.Places]. The same seed draws the same ones.
// Where no draw succeeds, the blocks are those of [Packed], from which one can always be drawn;
// where fewer than n are packed, nil is returned.
func Draw(places []Place, n int, seed uint64) []Place {
	packed := Packed(places)
	if n < 1 || len(packed) < n {
		return nil
	}
	source := rand.NewPCG(seed, 0)
	for range tries {
		if list := drawOnce(places, n, source); list != nil {
			return list
		}
	}
	return drawOnce(packed, n, source)
}

// drawOnce draws one place of each block; nil where one has none that is clear of the others.
func drawOnce(places []Place, n int, source *rand.PCG) (list []Place) {
	for i := range n {
		block := places[len(places)*i/n : len(places)*(i+1)/n]
		var open []Place
		for _, p := range block {
			if clear(p, list) {
				open = append(open, p)
			}
		}
		if len(open) == 0 {
			return nil
		}
		list = append(list, open[below(source, len(open))])
	}
	return list
}

// below draws a number from 0 to n, excluded. It goes by the generator's own numbers alone, which
// are laid down, so that a seed draws the same by every compiler.
func below(source *rand.PCG, n int) int {
	high, _ := bits.Mul64(source.Uint64(), uint64(n))
	return int(high)
}
