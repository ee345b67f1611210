package crs

import (
	"math"
	"strconv"
	"strings"
)

// WKT returns the system as the text of a .prj file, in ESRI's spelling of
// well-known text, version 1. [Parse] reads it back as the same system.
func (s System) WKT() string {
	d := s.def()
	if d.method == geographic {
		return d.datum.wkt()
	}
	var b strings.Builder
	b.WriteString(`PROJCS["` + d.esriName() + `",` + d.datum.wkt() + `,PROJECTION["`)
	projection, list := d.esriParameters()
	b.WriteString(projection + `"]`)
	for _, p := range list {
		b.WriteString(`,PARAMETER["` + p.name + `",` + esriNumber(p.value) + `]`)
	}
	b.WriteString(`,UNIT["` + d.unit.esriName() + `",` + esriNumber(d.unit.meters()) + `]]`)
	return b.String()
}

func (d datum) wkt() string {
	facts, spheroid := d.facts(), `"GRS_1980",6378137.0,298.257222101`
	if d == wgs84 {
		spheroid = `"WGS_1984",6378137.0,298.257223563`
	}
	return `GEOGCS["` + facts.system + `",DATUM["` + facts.datum + `",SPHEROID[` + spheroid +
		`]],PRIMEM["Greenwich",0.0],UNIT["Degree",0.0174532925199433]]`
}

// esriName is ESRI's name of the system if there is one, else EPSG's or the
// text's, spelled with letters, digits and underscores.
func (d *definition) esriName() string {
	if r := rowByCode(d.code); r != nil && r.esri != "" {
		return r.esri
	}
	words := strings.FieldsFunc(d.name, func(r rune) bool {
		return r > 'z' || !letter(byte(r)) && (r < '0' || r > '9')
	})
	return strings.Join(words, "_")
}

type named struct {
	name  string
	value float64
}

// esriParameters returns ESRI's name of the projection and its parameters in
// ESRI's order.
func (d *definition) esriParameters() (projection string, list []named) {
	p := d.params
	list = []named{{"False_Easting", p.fe}, {"False_Northing", p.fn}}
	add := func(more ...named) { list = append(list, more...) }
	meridian, origin, scale := named{"Central_Meridian", p.lon0}, named{"Latitude_Of_Origin", p.lat0}, named{"Scale_Factor", p.k0}
	parallel1, parallel2 := named{"Standard_Parallel_1", p.sp1}, named{"Standard_Parallel_2", p.sp2}
	switch d.method {
	case transverseMercator:
		add(meridian, scale, origin)
		return "Transverse_Mercator", list
	case lambertConic:
		add(meridian, parallel1)
		if p.sp1 != p.sp2 {
			add(parallel2)
		}
		if p.sp1 == p.sp2 || p.k0 != 1 {
			add(scale)
		}
		add(origin)
		return "Lambert_Conformal_Conic", list
	case albersConic:
		add(meridian, parallel1, parallel2, origin)
		return "Albers", list
	case webMercator:
		add(meridian, parallel1, named{"Auxiliary_Sphere_Type", 0})
		return "Mercator_Auxiliary_Sphere", list
	case mercator:
		add(meridian)
		if p.k0 != 1 { // ESRI's Mercator has no scale
			add(scale)
			return "Mercator_1SP", list
		}
		add(parallel1)
		return "Mercator", list
	}
	add(scale, named{"Azimuth", math.Remainder(p.azimuth, 360)})
	variant := "Natural_Origin"
	if d.method == obliqueMercatorB {
		variant = "Center"
	}
	projection = "Hotine_Oblique_Mercator_Azimuth_" + variant
	if p.skew != p.azimuth {
		projection = "Rectified_Skew_Orthomorphic_" + variant
		add(named{"XY_Plane_Rotation", p.skew})
	}
	add(named{"Longitude_Of_Center", p.lon0}, named{"Latitude_Of_Center", p.lat0})
	return projection, list
}

// esriNumber prints up to 15 digits, as ESRI does, and at least one decimal.
func esriNumber(x float64) string {
	text := strconv.FormatFloat(x, 'f', -1, 64)
	if len(strings.TrimLeft(text, "-0.")) > 15 {
		rounded, _ := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 15, 64), 64)
		text = strconv.FormatFloat(rounded, 'f', -1, 64)
	}
	if !strings.Contains(text, ".") {
		text += ".0"
	}
	return text
}
