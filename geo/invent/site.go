package invent

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/crs"
	"rxsplit/internal/cores"
)

// site is where an invented field lies, and in which coordinates. Fields are
// drawn in meters around 0, 0 and put on the plane of the UTM zone there.
type site struct {
	epsg   int // of the layer
	target crs.System
	plane  crs.System // the UTM zone in which the field is drawn
	drawn  bool       // the layer is in the plane's coordinates
	origin orb.Point  // of the field's meters, on the plane
}

func newSite(epsg int, center orb.Point) (*site, error) {
	if epsg == 0 {
		epsg = 4326
	}
	if center == (orb.Point{}) {
		center = openWater()
	}
	s := &site{epsg: epsg, drawn: isUTM(epsg)}
	plane := epsg
	if !s.drawn {
		plane = zoneOf(center)
	}
	var err error
	if s.target, err = parse(epsg); err != nil {
		return nil, err
	}
	if s.plane, err = parse(plane); err != nil {
		return nil, err
	}
	origin := []orb.Point{center}
	if err := s.plane.FromLonLat(origin, origin); err != nil {
		return nil, fmt.Errorf("EPSG:%d: %w", plane, err)
	}
	s.origin = orb.Point{math.Round(origin[0][0]), math.Round(origin[0][1])}
	return s, nil
}

func parse(epsg int) (crs.System, error) { return crs.Parse(fmt.Sprintf("EPSG:%d", epsg)) }

// isUTM reports whether an EPSG code is a zone of UTM on WGS 84 or NAD 83.
func isUTM(epsg int) bool {
	zone := epsg % 100
	switch epsg / 100 {
	case 326, 327:
		return zone >= 1 && zone <= 60
	case 269:
		return zone >= 1 && zone <= 23
	}
	return false
}

// zoneOf returns the EPSG code of the UTM zone on WGS 84 around a place, the
// exceptions near Norway left aside.
func zoneOf(lonLat orb.Point) int {
	zone := min(int(math.Floor((lonLat[0]+180)/6))+1, 60)
	if lonLat[1] < 0 {
		return 32700 + zone
	}
	return 32600 + zone
}

// place turns the meters of a field into the coordinates of its layer, in place.
func (s *site) place(points []orb.Point) error {
	return cores.Try(len(points), cores.Block, func(from, to int) error {
		part := points[from:to]
		for i, p := range part {
			part[i] = orb.Point{p[0] + s.origin[0], p[1] + s.origin[1]}
		}
		if s.drawn {
			return nil
		}
		if err := s.plane.ToLonLat(part, part); err != nil {
			return err
		}
		return s.target.FromLonLat(part, part)
	})
}
