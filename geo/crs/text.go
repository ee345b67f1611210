package crs

import (
	"math"
	"slices"
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
