package invent

import (
	"fmt"
	"math/rand/v2"
)

// joinParts returns the regions of each zone, in the order of the mesh. Most
// zones are one region; a few are several of the same band.
func joinParts(r *regions, rng *rand.Rand) [][]int32 {
	parts := r.living()
	joined := map[int32]int32{} // region to the first of its zone
	for tries := 0; tries < 100*joinedZones && len(joined) < 2*joinedZones; tries++ {
		a, b := parts[rng.IntN(len(parts))], parts[rng.IntN(len(parts))]
		_, left := joined[a]
		_, right := joined[b]
		if a < b && !left && !right && r.joinable(a, b) {
			joined[a], joined[b] = a, a
		}
	}
	var zones [][]int32
	place := map[int32]int{}
	for _, region := range parts {
		if first, ok := joined[region]; ok && first != region {
			zones[place[first]] = append(zones[place[first]], region)
			continue
		}
		place[region] = len(zones)
		zones = append(zones, []int32{region})
	}
	return zones
}

// joinable reports whether two regions can be parts of one zone: of the same band,
// apart from each other, and not the waterway.
func (r *regions) joinable(a, b int32) bool {
	_, border := r.borders[a][b]
	return !border && r.mark[a].band == r.mark[b].band && r.mark[a].side != 0 && r.mark[b].side != 0
}

// names returns the names of zones: the band's letter and a number, from the
// south of the field on.
func (r *regions) names(zones [][]int32) []string {
	names := make([]string, len(zones))
	count := map[int8]int{}
	for i, parts := range zones {
		m := r.mark[parts[0]]
		if m.side == 0 {
			names[i] = "Waterway"
			continue
		}
		count[m.band]++
		names[i] = fmt.Sprintf("%c%d", 'A'+m.band, count[m.band])
	}
	return names
}

// rates returns the dry rate of each region: that of the surface's mean height
// over it, in steps of 5 lb/ac, and 0 in the waterway.
func (r *regions) rates(m *mesh, heights []float64, ranks ranks) []float64 {
	rates := make([]float64, len(r.area))
	sums := make([]float64, len(r.area))
	areas := make([]float64, len(r.area))
	for i, c := range m.cells {
		if region := r.of[i]; region >= 0 {
			a := m.area(c)
			areas[region] += a
			sums[region] += a * meanOf(heights, c.ring)
		}
	}
	for i := range rates {
		if areas[i] > 0 && r.mark[i].side != 0 {
			rates[i] = roundTo(5, ranks.rate(sums[i]/areas[i]))
		}
	}
	return rates
}

func meanOf(values []float64, at []int32) float64 {
	var sum float64
	for _, i := range at {
		sum += values[i]
	}
	return sum / float64(len(at))
}
