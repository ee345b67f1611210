package crs

import "github.com/paulmach/orb"

// Local returns the plane of a field: transverse Mercator on WGS 84, in meters from a point
// in lon/lat, with scale 1 on its meridian. Areas are true to 1e-7 within 3 km of that
// meridian, and to 1e-6 within 9 km.
func Local(center orb.Point) System {
	p := params{lat0: center[1], lon0: center[0], k0: 1}
	return System{&definition{
		name: "transverse Mercator about the field", datum: wgs84, method: transverseMercator, unit: meter, params: p,
		projection: newTransverse(wgs84.ellipsoid(), p),
	}}
}
