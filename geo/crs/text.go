package crs

import (
	"math"
	"slices"
	"strconv"
	"strings"
)

// parseText reads well-known text, version 1.
func parseText(text string) (*definition, *RefusedError) {
	nodes, err := readNodes(text)
	if err != nil {
		return nil, err
	}
	d, err := horizontal(nodes[0])
	if err != nil {
		return nil, err
	}
	for _, n := range nodes[1:] {
		if n.keyword != "VERTCS" && n.keyword != "VERT_CS" {
			return nil, refuse(unknownPart, n.label(), "a second system in one text")
		}
		d.notes = append(d.notes, vertical(n))
	}
	return d, nil
}

func vertical(n *node) string { return "heights are not read: " + n.label() + " is left out" }

// horizontal reads a system or the horizontal part of a compound one.
func horizontal(n *node) (*definition, *RefusedError) {
	switch n.keyword {
	case "GEOGCS":
		return readGeographic(n)
	case "PROJCS":
		return readProjected(n)
	case "COMPD_CS":
		return readCompound(n)
	case "GEOCCS", "VERT_CS", "VERTCS", "LOCAL_CS", "FITTED_CS":
		return nil, refuse(notFlat, n.label(), "neither longitude and latitude nor a map projection")
	case "GEOGCRS", "GEODCRS", "GEODETICCRS", "GEOGRAPHICCRS", "PROJCRS", "PROJECTEDCRS", "COMPOUNDCRS",
		"BOUNDCRS", "VERTCRS", "VERTICALCRS", "ENGCRS", "ENGINEERINGCRS", "BASEGEOGCRS", "BASEGEODCRS", "DERIVEDPROJCRS":
		return nil, refuse(newerText, n.label(), "well-known text of version 2 is not read; .prj files hold version 1")
	}
	return nil, refuse(unknownPart, n.label(), "not a coordinate system")
}

func readCompound(n *node) (*definition, *RefusedError) {
	if len(n.values) < 2 || n.values[1].kind != nodeValue || n.values[1].node.keyword == "COMPD_CS" {
		return nil, refuse(badSyntax, n.label(), "its horizontal system is missing")
	}
	d, err := horizontal(n.values[1].node)
	if err != nil {
		return nil, err
	}
	for _, part := range n.values[2:] {
		if part.kind != nodeValue {
			return nil, refuse(badSyntax, n.label(), "a value too many: "+quote(part.text))
		}
		if part.node.keyword == "VERT_CS" || part.node.keyword == "VERTCS" {
			d.notes = append(d.notes, vertical(part.node))
		}
	}
	return d, nil
}

// readGeographic reads GEOGCS. Its axes don't matter: a writer may state latitude
// first, as EPSG's definitions do, and the file holds x = longitude all the same;
// only directions other than east and north are refused.
func readGeographic(n *node) (*definition, *RefusedError) {
	if err := n.onlyParts(1, "DATUM", "PRIMEM", "UNIT", "AXIS"); err != nil {
		return nil, err
	}
	if _, err := n.name(); err != nil {
		return nil, err
	}
	d, err := readDatum(n)
	if err != nil {
		return nil, err
	}
	for _, check := range []func(*node) *RefusedError{checkMeridian, checkDegrees, checkAxes} {
		if err := check(n); err != nil {
			return nil, err
		}
	}
	if code := n.authority(); code != 0 && code != d.facts().code {
		if other, ok := datumByCode(code); ok {
			return nil, refuse(contradiction, n.label(), "its code is that of "+other.facts().name)
		}
	}
	return fromDatum(d), nil
}

func readDatum(n *node) (datum, *RefusedError) {
	part, err := n.one("DATUM")
	if err != nil {
		return 0, err
	}
	name, err := part.name()
	if err != nil {
		return 0, err
	}
	if err := checkShift(part); err != nil {
		return 0, err
	}
	d, ok := datumByName(name)
	if !ok {
		return 0, refuse(unknownDatum, part.label(), "neither WGS 84 nor NAD 83; without its shift, which may be hundreds of meters, points can't be placed")
	}
	if err := part.onlyParts(1, "SPHEROID", "TOWGS84"); err != nil {
		return 0, err
	}
	return d, checkEllipsoid(part, d)
}

func checkEllipsoid(part *node, d datum) *RefusedError {
	spheroid, err := part.one("SPHEROID")
	if err != nil {
		return err
	}
	if err := spheroid.onlyParts(3); err != nil {
		return err
	}
	a, err := spheroid.number(1)
	if err != nil {
		return err
	}
	inverse, err := spheroid.number(2)
	if err != nil {
		return err
	}
	if !d.hasEllipsoid(a, inverse) {
		return refuse(unknownEllipsoid, spheroid.label(), "not the ellipsoid of "+d.facts().name)
	}
	return nil
}

// checkShift lets a shift of nothing to WGS 84 pass.
func checkShift(part *node) *RefusedError {
	for _, shift := range part.all("TOWGS84") {
		for _, v := range shift.values {
			if v.kind != numberValue || v.number != 0 {
				return refuse(datumShift, part.label(), "it is to be shifted by TOWGS84, which is not done")
			}
		}
	}
	return nil
}

func checkMeridian(n *node) *RefusedError {
	meridian, err := n.one("PRIMEM")
	if err != nil {
		return err
	}
	longitude, err := meridian.number(1)
	if err != nil {
		return err
	}
	if longitude != 0 {
		return refuse(otherMeridian, meridian.label(), "longitudes have to be from Greenwich")
	}
	return nil
}

// checkDegrees takes degrees only. The tolerance takes in factors cut to 9
// decimals; no other unit in use is as near.
func checkDegrees(n *node) *RefusedError {
	angular, err := n.one("UNIT")
	if err != nil {
		return err
	}
	factor, err := angular.number(1)
	if err != nil {
		return err
	}
	if math.Abs(factor-degree) > 1e-9 {
		return refuse(unknownUnit, angular.label(), "angles have to be in degrees")
	}
	return nil
}

// checkAxes wants one axis to the east and one to the north, in either order, if
// there are any: files have x = east first whatever the text says.
func checkAxes(n *node) *RefusedError {
	axes := n.all("AXIS")
	if len(axes) == 0 {
		return nil
	}
	var directions []string
	for _, a := range axes {
		if len(a.values) != 2 || a.values[1].kind != wordValue {
			return refuse(badSyntax, a.label(), "its direction is missing")
		}
		directions = append(directions, a.values[1].text)
	}
	slices.Sort(directions)
	if !slices.Equal(directions, []string{"EAST", "NORTH"}) {
		return refuse(otherAxes, n.label(), "its axes do not point to the east and to the north")
	}
	return nil
}

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
