// Package ground says what lands on each acre: what the logs of the machines laid over a
// plan say of it, or what the machines would lay if they drove the plan.
//
// A log is what the controller believed, not what fell: weighed loads and tank fills are
// the truth for totals. A swath is taken as a sharp-edged strip.
package ground

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Field is a plan with its ground in one plane.
type Field struct {
	Prescription *rx.Prescription
	Assessment   *rx.Assessment
	Plan         *rx.Plan
	plane        crs.System
	zones        *geo.Shapes // in the plane, in the order of Prescription.Zones
	keepOuts     *geo.Shapes // likewise, after as many strips as the plan leaves untreated; nil for none
	strips, read *geo.Shapes // the strips, and what is read of them; nil for none
	bound        orb.Bound   // of the zones
	lands        map[landOf]headland
}

const squareMeters = 1 / float64(unit.SquareMeter) // of an acre

// NewField lays a plan out in the plane of its field. keepOut is in lon/lat.
func NewField(p *rx.Prescription, a *rx.Assessment, plan *rx.Plan, keepOut orb.MultiPolygon) (*Field, error) {
	f := &Field{Prescription: p, Assessment: a, Plan: plan}
	f.plane = crs.Local(p.LonLat.Extent().Center())
	var err error
	if f.zones, err = f.inPlane(p.Grounds()); err != nil {
		return nil, err
	}
	f.bound = f.zones.Extent()
	left, read := plan.Strips.Grounds(), &geo.Shapes{}
	if plan.Strips != nil {
		for _, one := range plan.Strips.List {
			read.Append(orb.MultiPolygon{one.Read})
		}
		if f.strips, err = f.eachInPlane(left); err != nil {
			return nil, err
		}
		if f.read, err = f.inPlane(read); err != nil {
			return nil, err
		}
	}
	if left = append(left, keepOut...); len(left) > 0 {
		f.keepOuts, err = f.eachInPlane(left)
	}
	return f, err
}

// eachInPlane brings polygons to the plane, each as a record of its own.
func (f *Field) eachInPlane(mp orb.MultiPolygon) (*geo.Shapes, error) {
	s := &geo.Shapes{}
	for _, polygon := range mp {
		s.Append(orb.MultiPolygon{polygon})
	}
	return f.inPlane(s)
}

// inPlane brings lon/lat to meters of the plane.
func (f *Field) inPlane(s *geo.Shapes) (*geo.Shapes, error) {
	points, err := f.places(s.Points)
	if err != nil {
		return nil, err
	}
	return s.WithPoints(points), nil
}

// places brings lon/lat to meters of the plane.
func (f *Field) places(lonLat []orb.Point) ([]orb.Point, error) {
	points := make([]orb.Point, len(lonLat))
	if err := f.plane.FromLonLat(points, lonLat); err != nil {
		return nil, fmt.Errorf("a place lies too far from the field: %w", err)
	}
	return points, nil
}

// lonLat undoes [Field.Places] for one point.
func (f *Field) lonLat(p orb.Point) orb.Point {
	one := []orb.Point{p}
	if f.plane.ToLonLat(one, one) != nil {
		return orb.Point{math.NaN(), math.NaN()}
	}
	return one[0]
}

// target returns what a layer is to put on a zone, in lb/ac or fl oz/ac; 0 where nothing.
func (f *Field) target(layer, zone int) float64 {
	l := &f.Plan.Layers[layer]
	if l.Product == rx.Liquid {
		if f.Plan.Stabilizer[zone] > 0 || l.Rate == 0 {
			return float64(l.Rate)
		}
		return 0
	}
	if r := float64(l.DryRate(f.Prescription, zone)); r > 0 {
		return r
	}
	return 0
}

// carried returns how much of a liquid one unit of what a layer lays on a zone brings, by the
// liquid's number: 0 is the stabilizer, then the further ones. zone is -1 outside.
func (f *Field) carried(layer, liquid, zone int) float64 {
	l := &f.Plan.Layers[layer]
	if l.Product == rx.Liquid {
		switch {
		case liquid == 0 && l.Rate > 0:
			return 1
		case liquid > 0 && l.Rate > 0:
			if own := furtherOf(l, f.name(liquid)); own != nil {
				return float64(own.Rate / l.Rate)
			}
		}
		return 0
	}
	if !l.Treated {
		return 0
	}
	loading := l.Loading
	if liquid > 0 {
		own := furtherOf(l, f.name(liquid))
		if own == nil {
			return 0
		}
		loading = own.Loading
	}
	return float64(unit.StabilizerRate(loading, unit.DryRate(f.impregnated(l, zone))))
}

func furtherOf(l *rx.Layer, name string) *rx.LayerLiquid {
	for i := range l.Further {
		if l.Further[i].Name == name {
			return &l.Further[i]
		}
	}
	return nil
}

// impregnated is the share of a layer's dry that carries the liquids: all of one blend, or
// one of the products that are spread side by side.
func (f *Field) impregnated(l *rx.Layer, zone int) float64 {
	if !l.SideBySide() {
		return 1
	}
	var carrier, all float64
	add := func(z int, weight float64) {
		for i := range l.Columns {
			if r := float64(l.Columns[i].Rate(f.Prescription, z)); r > 0 {
				all += float64(r * weight)
				if l.Columns[i].Spread.Treated {
					carrier += float64(r * weight)
				}
			}
		}
	}
	if zone >= 0 {
		add(zone, 1)
	}
	if all == 0 {
		for z := range f.Prescription.Zones {
			add(z, float64(f.Prescription.Zones[z].Area))
		}
	}
	if all == 0 {
		return 0
	}
	return carrier / all
}

// liquids returns what the job grades, the stabilizer first.
func (f *Field) liquids() []rx.JobLiquid {
	return append([]rx.JobLiquid{f.Assessment.Liquid}, f.Assessment.Terms.Further...)
}

func (f *Field) name(liquid int) string { return f.liquids()[liquid].Name }
