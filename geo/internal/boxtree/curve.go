package boxtree

import "github.com/paulmach/orb"

// curveOrder returns the boxes' numbers in the order of a Z-curve (G. M. Morton,
// 1966) through their middles, equal ones in their own order.
func curveOrder(boxes []orb.Bound) []int32 {
	if len(boxes) == 0 {
		return nil
	}
	all := boxes[0]
	for _, b := range boxes[1:] {
		all = Join(all, b)
	}
	perX, perY := perUnit(all.Max[0]-all.Min[0]), perUnit(all.Max[1]-all.Min[1])
	keys := make([]uint64, len(boxes))
	for i, b := range boxes {
		x := step((b.Min[0]/2 + b.Max[0]/2 - all.Min[0]) * perX)
		y := step((b.Min[1]/2 + b.Max[1]/2 - all.Min[1]) * perY)
		keys[i] = uint64(spread(x)|spread(y)<<1)<<32 | uint64(i)
	}
	keys = sortByHigh(keys)
	order := make([]int32, len(keys))
	for i, k := range keys {
		order[i] = int32(uint32(k))
	}
	return order
}

// perUnit returns how many of 65536 steps a unit of a size is.
func perUnit(size float64) float64 {
	if size <= 0 {
		return 0
	}
	return 65535 / size
}

// step rounds down to one of 65536 steps. Boxes that reach too far to be told apart,
// so that sums overflow, go to either end.
func step(at float64) uint32 {
	if !(at > 0) {
		return 0
	}
	return uint32(min(at, 65535))
}

// spread puts a zero bit above each of the low 16 bits.
func spread(v uint32) uint32 {
	v = (v | v<<8) & 0x00ff00ff
	v = (v | v<<4) & 0x0f0f0f0f
	v = (v | v<<2) & 0x33333333
	return (v | v<<1) & 0x55555555
}

// sortByHigh sorts by the high 32 bits, stably: a radix sort by bytes.
func sortByHigh(keys []uint64) []uint64 {
	other := make([]uint64, len(keys))
	for shift := 32; shift < 64; shift += 8 {
		var ends [257]int
		for _, k := range keys {
			ends[int(byte(k>>shift))+1]++
		}
		for i := 1; i < 257; i++ {
			ends[i] += ends[i-1]
		}
		for _, k := range keys {
			b := byte(k >> shift)
			other[ends[b]] = k
			ends[b]++
		}
		keys, other = other, keys
	}
	return keys
}
