package invent

import (
	"fmt"

	"github.com/paulmach/orb"
)

// ContourOptions say which field [Contours] makes. The zero value is a field in
// lon/lat at [OpenWater].
type ContourOptions struct {
	Seed   uint64
	EPSG   int       // of the coordinates; 0 is 4326, WGS 84 in lon/lat
	Center orb.Point // lon/lat of about the middle; 0, 0 is [OpenWater]
}

// Shape of the contour fields, in meters and square meters.
const (
	contourStep  = 10   // of the mesh
	leastZone    = 1500 // smaller zones go to a neighbor: a spreader can't serve them
	mostParts    = 68   // so that at most about 60 zones are left once some are joined
	joinedZones  = 5    // how many zones are made of several parts
	waterwayHalf = 9    // half a width of 60 ft
	shortestWave = 225  // of the surface
	longestWave  = 600
)

// bandRates are the dry rates in lb/ac at which one band of a contour field ends
// and the next begins.
var bandRates = [...]float64{112, 128, 148, 168, 188, 208, 228, 246, 268}

// Contours makes a field of about 200 acres and 40 to 80 zones with curved
// borders: the bands between contour lines of a smooth surface, cut by a grassed
// waterway with rate 0. There are zones with holes, zones of several parts, and a
// grove in the field that belongs to no zone. In UTM the vertices are rounded to
// the centimeter, and in other systems they are those of UTM, transformed.
//
// It fails if the system is not known, or is not fit for the place.
func Contours(opt ContourOptions) (*Layer, error) {
	site, err := newSite(opt.EPSG, opt.Center)
	if err != nil {
		return nil, fmt.Errorf("invented field: %w", err)
	}
	m := newOutline(newRand(opt.Seed, "outline"), contourStep).mesh()
	cutGrove(m, newRand(opt.Seed, "grove"))
	cutWaterway(m, newRand(opt.Seed, "waterway"))
	hills := newSurface(newRand(opt.Seed, "surface"), 28, shortestWave, longestWave)
	heights := m.values(hills.at)
	ranks := newRanks(heights)
	heights = cutBands(m, heights, ranks)

	twins := m.twins()
	r := newRegions(m, twins)
	r.absorb(leastZone, mostParts)
	zones := joinParts(r, newRand(opt.Seed, "parts"))
	rates := r.rates(m, heights, ranks)

	if m.points, err = site.place(m.points, 0.01); err != nil {
		return nil, fmt.Errorf("invented field: %w", err)
	}
	layer := &Layer{Name: "contours", EPSG: site.epsg, Names: r.names(zones)}
	polygons := r.polygons(m, twins)
	for _, parts := range zones {
		var shape orb.MultiPolygon
		for _, region := range parts {
			shape = append(shape, polygons[region])
		}
		layer.Shapes.Append(shape)
		layer.Rates = append(layer.Rates, rates[parts[0]])
	}
	return layer, nil
}
