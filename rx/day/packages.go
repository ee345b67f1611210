package day

import (
	"math"
	"slices"
)

// Pack is so many packages of one size.
type Pack struct {
	Size  float64
	Count int
}

// Packages returns the packages to order for an amount, both in one unit: those that leave least over,
// and of these the fewest. The largest come first. Sizes are above 0, at most [MostSizes] of
// them; without any, or for an amount of 0, there are no packages.
func Packages(amount float64, sizes []float64) (packs []Pack, left float64) {
	sizes = slices.Clone(sizes)
	slices.Sort(sizes)
	sizes = slices.Compact(sizes)
	slices.Reverse(sizes)
	if len(sizes) == 0 || len(sizes) > MostSizes || amount <= 0 {
		return nil, 0
	}
	b := packing{sizes: sizes, slack: amount * packLeeway, counts: make([]int, len(sizes)), left: math.Inf(1)}
	b.try(0, amount, 0)
	for i, n := range b.best {
		if n > 0 {
			packs = append(packs, Pack{sizes[i], n})
		}
	}
	return packs, max(0, b.left)
}

// MostSizes is how many sizes of packages are told apart.
const MostSizes = 3

// packLeeway is the share of an amount that is no more than the rounding of its sum.
const packLeeway = 1e-9

// packing is a search through the counts of packages.
type packing struct {
	sizes  []float64 // falling
	slack  float64
	counts []int
	best   []int
	left   float64
	fewest int
}

// try counts packages of size i and smaller for what is still wanted.
func (b *packing) try(i int, wanted float64, used int) {
	most := max(0, int(math.Ceil((wanted-b.slack)/b.sizes[i])))
	if i == len(b.sizes)-1 {
		b.counts[i] = most
		b.keep(float64(float64(most)*b.sizes[i])-wanted, used+most)
		return
	}
	for n := most; n >= 0; n-- {
		b.counts[i] = n
		b.try(i+1, wanted-float64(float64(n)*b.sizes[i]), used+n)
	}
}

func (b *packing) keep(left float64, count int) {
	if left < b.left-b.slack || left <= b.left+b.slack && count < b.fewest {
		b.best, b.left, b.fewest = slices.Clone(b.counts), left, count
	}
}
