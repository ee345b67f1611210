package ground

import (
	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/crs"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// WorstGround is how much of a zone its worst ground must be to count: less is an edge that
// two layers do not share to the meter.
const WorstGround = 0.01

// Already returns what the season has put on each zone of a prescription so far: the rate
// that its worst ground of more than [WorstGround] has. Layers that overlap add up. applied is
// in lon/lat, with a rate each.
func Already(p *rx.Prescription, applied *geo.Shapes, rates []unit.LiquidRate) ([]unit.LiquidRate, error) {
	f := &Field{Prescription: p, plane: crs.Local(p.LonLat.Extent().Center())}
	list := &geo.Shapes{}
	for _, z := range p.Zones {
		list.Append(p.LonLat.Shape(int(z.Record)))
	}
	zones, err := f.inPlane(list)
	if err != nil {
		return nil, err
	}
	patches, err := f.inPlane(applied)
	if err != nil {
		return nil, err
	}
	densities := make([]float64, len(rates))
	for i, r := range rates {
		densities[i] = float64(r)
	}
	levels, err := coverage.Levels(zones, patches, densities, coverage.Options{})
	if err != nil {
		return nil, err
	}
	out := make([]unit.LiquidRate, len(p.Zones))
	for z, list := range levels {
		out[z] = worst(list)
	}
	return out, nil
}

// worst returns the highest density that lies, with what is above it, on more than the share
// of a zone that counts.
func worst(list []coverage.Level) unit.LiquidRate {
	all, sum := 0.0, 0.0
	for _, l := range list {
		all += l.Area
	}
	for _, l := range list {
		if sum += l.Area; sum > WorstGround*all {
			return unit.LiquidRate(l.Density)
		}
	}
	return 0
}
