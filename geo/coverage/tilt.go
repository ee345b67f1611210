package coverage

import (
	"cmp"
	"maps"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/internal/cores"
)

// Lines are tilted against booms by about a tenth. Where a swath or a section of it ends, the
// length that lines have inside bends twice, at either corner of the boom, the one as much as
// the other but the other way. What lines miss by the one they miss by the other too, if both
// corners lie equally far from a line: if a boom's end spans a whole number of lines. That
// leaves ends that are straight across the way out of all errors.
const (
	usualTilt = 0.1 // sines
	leastTilt = 0.08
	mostTilt  = 0.2
)

// boomWidths is how many widths of booms, the most frequent ones, are looked at.
const boomWidths = 32

// boom is how many pieces have a boom of a width.
type boom struct {
	width float64
	count float64
}

// tilt returns the sine of the tilt at which the ends of most booms span whole numbers of lines.
func tilt(pieces []Piece, spacing float64) float64 {
	booms := boomsOf(pieces)
	best, least := usualTilt, math.Inf(1)
	for _, b := range booms {
		for k := math.Ceil(leastTilt * b.width / spacing); k*spacing <= mostTilt*b.width; k++ {
			sine := k * spacing / b.width
			if miss := missedBy(booms, sine/spacing) + float64(math.Abs(sine-usualTilt)*nearer); miss < least {
				best, least = sine, miss
			}
		}
	}
	return best
}

// nearer has the tilt next to the usual one win where others do little better: the more lines are
// tilted, the more of them a boom meets.
const nearer = 0.01

// missedBy returns how far booms are from spanning whole numbers of lines, if a meter of a boom
// spans so many: the mean of squares, of parts of a line.
func missedBy(booms []boom, lines float64) float64 {
	var sum, count float64
	for _, b := range booms {
		span := float64(b.width * lines)
		part := span - math.Round(span)
		sum += float64(b.count * float64(part*part))
		count += b.count
	}
	return sum / count
}

// boomsOf returns the most frequent widths of booms, to the millimeter, the most frequent first.
func boomsOf(pieces []Piece) (booms []boom) {
	all := map[int32]int{}
	for _, part := range cores.Map(len(pieces), cores.Block, func(from, to int) map[int32]int {
		count := map[int32]int{}
		for i := from; i < to; i++ {
			r := &pieces[i].Ring
			side := orb.Point{r[1][0] - r[0][0], r[1][1] - r[0][1]}
			count[int32(math.Round(1000*math.Sqrt(float64(side[0]*side[0])+float64(side[1]*side[1]))))]++
		}
		return count
	}) {
		for width, n := range part {
			all[width] += n
		}
	}
	for _, width := range slices.Sorted(maps.Keys(all)) {
		if width > 0 {
			booms = append(booms, boom{float64(width) / 1000, float64(all[width])})
		}
	}
	slices.SortStableFunc(booms, func(a, b boom) int { return cmp.Compare(b.count, a.count) })
	return booms[:min(len(booms), boomWidths)]
}
