package ground

import (
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/crs"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// worstGround is how much of a zone its worst ground must be to count: less is an edge that
// two layers do not share to the meter.
const worstGround = 0.01

// Already returns what the season has put on each zone of a prescription so far: the rate
// that its worst ground of more than [worstGround] has. Layers that overlap add up. applied is
// in lon/lat, with a rate each.
func Already(p *rx.Prescription, applied *geo.Shapes, rates []unit.LiquidRate) ([]unit.LiquidRate, error) {
	f := &Field{Prescription: p, plane: crs.Local(p.LonLat.Extent().Center())}
	patches, err := f.inPlane(applied)
	if err != nil {
		return nil, err
	}
	g := &coverage.Ground{Patches: patches}
	for _, r := range rates {
		g.Laid = append(g.Laid, coverage.Patch{Density: float64(r)})
	}
	return f.worstOf(g)
}

// AlreadyDriven returns the same of a log, in fl oz/ac or lb/ac of what the log counts. Its layer
// means nothing.
func AlreadyDriven(p *rx.Prescription, d *Drive) ([]float64, error) {
	f := &Field{Prescription: p, plane: crs.Local(p.LonLat.Extent().Center())}
	if err := checkWidth(d.Log); err != nil {
		return nil, err
	}
	factor := volumeFactor
	if d.Log.Amount == track.Mass {
		factor = massFactor
	}
	if err := f.layBy(d, 0, factor); err != nil {
		return nil, err
	}
	rates, err := f.worstOf(&coverage.Ground{Pieces: d.laid.Pieces, Patches: d.shapes, Laid: d.patches})
	out := make([]float64, len(rates))
	for z, r := range rates {
		out[z] = float64(r)
	}
	return out, err
}

// worstOf returns what the worst ground of each zone has.
func (f *Field) worstOf(g *coverage.Ground) ([]unit.LiquidRate, error) {
	var err error
	if g.Zones, err = f.inPlane(f.Prescription.Grounds()); err != nil {
		return nil, err
	}
	if len(g.Pieces)+len(g.Laid) == 0 {
		return nil, &Error{What: "none of its rows lays anything: compare the columns that its map names, and the form of the time", Hint: "lay it over its own plan, which tells more: rxsplit applied"}
	}
	if !lies(g) {
		return nil, &Error{What: "lies nowhere on this field", Hint: "compare its places with the field's"}
	}
	g.Products = 1
	levels, err := coverage.Levels(g, coverage.Options{})
	if err != nil {
		return nil, err
	}
	out := make([]unit.LiquidRate, len(levels))
	for z, list := range levels {
		out[z] = worst(list)
	}
	return out, nil
}

// lies reports whether anything is laid near a ground's zones.
func lies(g *coverage.Ground) bool {
	field := g.Zones.Extent()
	for i := range g.Laid {
		if field.Intersects(g.Patches.Shape(i).Bound()) {
			return true
		}
	}
	return slices.ContainsFunc(g.Pieces, func(p coverage.Piece) bool { return field.Intersects(orb.MultiPoint(p.Ring[:]).Bound()) })
}

// worst returns the highest density that lies, with what is above it, on more than the share
// of a zone that counts.
func worst(list []coverage.Level) unit.LiquidRate {
	all, sum := 0.0, 0.0
	for _, l := range list {
		all += l.Area
	}
	for _, l := range list {
		if sum += l.Area; sum > worstGround*all {
			return unit.LiquidRate(l.Density)
		}
	}
	return 0
}
