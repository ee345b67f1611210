package crs

import (
	"math"
)

// spelling is how texts name a projection and its parameters. Each parameter is
// one or more folded names, the first of them ESRI's.
type spelling struct {
	name       string // as texts have it
	method     method
	parameters []parameter
	fix        func(*params) // fills in what the text leaves unsaid
}

type parameter struct {
	into     func(*params) *float64
	optional bool
	names    []string
}

func lat0(p *params) *float64    { return &p.lat0 }
func lon0(p *params) *float64    { return &p.lon0 }
func sp1(p *params) *float64     { return &p.sp1 }
func sp2(p *params) *float64     { return &p.sp2 }
func k0(p *params) *float64      { return &p.k0 }
func azimuth(p *params) *float64 { return &p.azimuth }
func skew(p *params) *float64    { return &p.skew }
func fe(p *params) *float64      { return &p.fe }
func fn(p *params) *float64      { return &p.fn }

func spellings() []spelling {
	var (
		needed    = func(into func(*params) *float64, names ...string) parameter { return parameter{into, false, names} }
		optional  = func(into func(*params) *float64, names ...string) parameter { return parameter{into, true, names} }
		originLat = needed(lat0, "latitudeoforigin", "latitudeofcenter", "latitudeofcentre")
		originLon = needed(lon0, "centralmeridian", "longitudeofcenter", "longitudeofcentre", "longitudeoforigin")
		parallel1 = needed(sp1, "standardparallel1")
		parallel2 = needed(sp2, "standardparallel2")
		scale     = needed(k0, "scalefactor")
		line      = needed(azimuth, "azimuth")
		easting   = needed(fe, "falseeasting")
		northing  = needed(fn, "falsenorthing")
		noOrigin  = optional(lat0, "latitudeoforigin")
		origin    = []parameter{easting, northing, originLat, originLon}
	)
	with := func(more ...parameter) []parameter { return append(append([]parameter(nil), origin...), more...) }
	sameParallels := func(p *params) { p.sp1, p.sp2 = p.lat0, p.lat0 }
	oneOrTwo := func(p *params) {
		if math.IsNaN(p.sp2) {
			p.sp2 = p.sp1
		}
	}
	sameSkew := func(p *params) {
		if math.IsNaN(p.skew) {
			p.skew = p.azimuth
		}
	}
	rotated := optional(skew, "rectifiedgridangle")
	return []spelling{
		{"Transverse_Mercator", transverseMercator, with(scale), nil},
		{"Gauss_Kruger", transverseMercator, with(scale), nil},
		{"Lambert_Conformal_Conic", lambertConic, with(parallel1, optional(sp2, "standardparallel2"), optional(k0, "scalefactor")), oneOrTwo},
		{"Lambert_Conformal_Conic_1SP", lambertConic, with(scale), sameParallels},
		{"Lambert_Conformal_Conic_2SP", lambertConic, with(parallel1, parallel2), nil},
		{"Albers", albersConic, with(parallel1, parallel2), nil},
		{"Albers_Conic_Equal_Area", albersConic, with(parallel1, parallel2), nil},
		{"Mercator", mercator, []parameter{easting, northing, originLon, parallel1, noOrigin}, nil},
		{"Mercator_1SP", mercator, []parameter{easting, northing, originLon, scale, noOrigin}, nil},
		{"Mercator_2SP", mercator, []parameter{easting, northing, originLon, parallel1, noOrigin}, nil},
		{"Mercator_Auxiliary_Sphere", webMercator, []parameter{easting, northing, originLon, parallel1,
			optional(azimuth, "auxiliaryspheretype")}, nil}, // only type 0 is the web's; any other number is out of range
		{"Popular_Visualisation_Pseudo_Mercator", webMercator, []parameter{easting, northing, originLon, noOrigin,
			optional(k0, "scalefactor")}, nil},
		{"Hotine_Oblique_Mercator", obliqueMercatorA, with(scale, line, rotated), sameSkew},
		{"Hotine_Oblique_Mercator_Azimuth_Natural_Origin", obliqueMercatorA, with(scale, line, rotated), sameSkew},
		{"Hotine_Oblique_Mercator_Azimuth_Center", obliqueMercatorB, with(scale, line, rotated), sameSkew},
		{"Rectified_Skew_Orthomorphic_Natural_Origin", obliqueMercatorA, with(scale, line, needed(skew, "xyplanerotation")), nil},
		{"Rectified_Skew_Orthomorphic_Center", obliqueMercatorB, with(scale, line, needed(skew, "xyplanerotation")), nil},
		{"Oblique_Mercator", obliqueMercatorB, with(scale, line, rotated), sameSkew},
	}
}

func spellingOf(projection string) (*spelling, bool) {
	folded := fold(projection)
	for _, s := range spellings() {
		if fold(s.name) == folded {
			return &s, true
		}
	}
	return nil, false
}

// given is the parameters of a text by folded name.
type given map[string]float64

func readParameters(n *node) (given, *RefusedError) {
	g := given{}
	for _, part := range n.all("PARAMETER") {
		if err := part.onlyParts(2); err != nil {
			return nil, err
		}
		name, err := part.name()
		if err != nil {
			return nil, err
		}
		number, err := part.number(1)
		if err != nil {
			return nil, err
		}
		if _, twice := g[fold(name)]; twice {
			return nil, refuse(badParameter, part.label(), "it is there twice")
		}
		g[fold(name)] = number
	}
	return g, nil
}

// params turns what is given into the method's parameters: each that the
// spelling needs has to be there, and no other.
func (s *spelling) params(g given) (params, *RefusedError) {
	where := "PROJECTION " + quote(s.name)
	p := params{k0: 1, sp2: math.NaN(), skew: math.NaN()}
	used := 0
	for _, want := range s.parameters {
		found := 0
		for _, name := range want.names {
			if number, ok := g[name]; ok {
				*want.into(&p) = number
				found++
			}
		}
		if found == 0 && !want.optional {
			return p, refuse(badParameter, where, "its parameter "+want.names[0]+" is missing")
		}
		if found > 1 {
			return p, refuse(badParameter, where, "its parameter "+want.names[0]+" is there under two names")
		}
		used += found
	}
	if used != len(g) {
		return p, refuse(badParameter, where, "it has a parameter that does not belong to it")
	}
	s.complete(&p)
	err := s.check(p)
	if math.Abs(p.lon0) > 180 {
		p.lon0 = math.Remainder(p.lon0, 360)
	}
	return p, err
}

// complete fills in what the text may leave unsaid.
func (s *spelling) complete(p *params) {
	if s.fix != nil {
		s.fix(p)
	}
	if math.IsNaN(p.sp2) {
		p.sp2 = 0
	}
	if math.IsNaN(p.skew) {
		p.skew = 0
	}
}
