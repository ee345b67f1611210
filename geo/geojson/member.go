package geojson

import "bytes"

// member is a member's name that means something in a GeoJSON object.
type member uint8

const (
	foreign member = iota // RFC 7946 §6.1: to be ignored
	typeMember
	geometryMember
	propertiesMember
	coordinatesMember
	geometriesMember
	featuresMember
	crsMember
)

// members is a set of them.
type members uint16

func (s members) has(m member) bool { return s&(1<<m) != 0 }

// known returns what a name, quoted as it stands, means.
func (c *cursor) known(name []byte) member {
	switch string(name) {
	case `"type"`:
		return typeMember
	case `"geometry"`:
		return geometryMember
	case `"properties"`:
		return propertiesMember
	case `"coordinates"`:
		return coordinatesMember
	case `"geometries"`:
		return geometriesMember
	case `"features"`:
		return featuresMember
	case `"crs"`:
		return crsMember
	}
	if bytes.IndexByte(name, '\\') >= 0 {
		plain := append([]byte{'"'}, c.unquote(nil, name)...)
		if bytes.IndexByte(plain, '\\') < 0 { // else it could come here forever
			return c.known(append(plain, '"'))
		}
	}
	return foreign
}

// geometryType is one of the seven of RFC 7946 §1.4.
type geometryType uint8

const (
	unknownType geometryType = iota
	polygon
	multiPolygon
	geometryCollection
	point
	otherGeometry
)

func geometryTypeOf(value []byte) geometryType {
	switch string(value) {
	case `"Polygon"`:
		return polygon
	case `"MultiPolygon"`:
		return multiPolygon
	case `"GeometryCollection"`:
		return geometryCollection
	case `"Point"`:
		return point
	case `"MultiPoint"`, `"LineString"`, `"MultiLineString"`:
		return otherGeometry
	}
	return unknownType
}

func (t geometryType) polygonal() bool { return t == polygon || t == multiPolygon }

// String returns the type's name in GeoJSON.
func (t geometryType) String() string {
	return [...]string{"unknown", "Polygon", "MultiPolygon", "GeometryCollection", "Point", "other geometry"}[t]
}
