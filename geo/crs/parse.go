package crs

import (
	"fmt"
	"strconv"
	"strings"
)

// maxText is the longest text that is read, in bytes; real ones stay below 4000.
const maxText = 1 << 16

// Parse reads a coordinate system from well-known text of version 1, as ESRI
// writes it to .prj files or as OGC 01-009 spells it, or from one of the forms of
// a code: "EPSG:26915", "urn:ogc:def:crs:EPSG::32615",
// "http://www.opengis.net/def/crs/EPSG/0/32615", "urn:ogc:def:crs:OGC:1.3:CRS84",
// "OGC:CRS84". Any error is a [*RefusedError].
func Parse(text string) (System, error) {
	if len(text) > maxText {
		return System{}, refuse(tooBig, "", "a text of "+strconv.Itoa(len(text))+" bytes is not a coordinate system's")
	}
	// Some writers put a byte order mark before the text, or NULs behind it.
	text = strings.Trim(strings.TrimPrefix(text, "\ufeff"), " \t\r\n\x00")
	if text == "" {
		return System{}, refuse(EmptyText, "", "the text is empty")
	}
	d, err := parse(text)
	if err != nil {
		return System{}, err
	}
	return System{d}, nil
}

func parse(text string) (*definition, *RefusedError) {
	if strings.ContainsAny(text, "[(") {
		return parseText(text)
	}
	return parseCode(text)
}

// parseCode reads a code in one of its forms. The axes of a code's definition
// don't matter: files have x before y whatever the code.
func parseCode(text string) (*definition, *RefusedError) {
	authority, code, ok := splitCode(strings.ToUpper(text))
	if !ok {
		return nil, refuse(badSyntax, quote(text), "neither a code such as EPSG:26915 nor well-known text")
	}
	if authority == "OGC" || authority == "CRS" {
		switch code {
		case "CRS84", "84":
			return fromDatum(wgs84), nil
		case "CRS83", "83":
			return fromDatum(nad83), nil
		}
		return nil, refuseCode(text)
	}
	number, err := strconv.Atoi(code)
	if err != nil || number <= 0 {
		return nil, refuse(badSyntax, quote(text), "the code is not a number")
	}
	if authority == "ESRI" && (number == 102100 || number == 102113) || authority == "EPSG" && number == 900913 {
		number = webMercatorCode
	} else if authority != "EPSG" {
		return nil, refuseCode(text)
	}
	if d := fromCode(number); d != nil {
		return d, nil
	}
	return nil, refuseCode(text)
}

// webMercatorCode is EPSG's code; ESRI's two and the unofficial 900913 mean the
// same.
const webMercatorCode = 3857

// splitCode takes "EPSG:n", the URN with a version or none, and the URL.
func splitCode(text string) (authority, code string, ok bool) {
	var parts []string
	switch {
	case strings.HasPrefix(text, "URN:OGC:DEF:CRS:"), strings.HasPrefix(text, "URN:X-OGC:DEF:CRS:"):
		parts = strings.Split(text, ":")[4:]
	case strings.HasPrefix(text, "HTTP://WWW.OPENGIS.NET/DEF/CRS/"), strings.HasPrefix(text, "HTTPS://WWW.OPENGIS.NET/DEF/CRS/"):
		parts = strings.Split(text, "/")[5:]
	default:
		parts = strings.Split(text, ":")
		return parts[0], parts[len(parts)-1], len(parts) == 2
	}
	return parts[0], parts[len(parts)-1], len(parts) == 2 || len(parts) == 3
}

func refuseCode(text string) *RefusedError {
	return refuse(unknownCode, quote(text), "not among the systems known: those of WGS 84 and NAD 83 in EPSG's registry over the projections that field files use")
}

// fromCode returns the system of an EPSG code; nil if it is not known.
func fromCode(code int) *definition {
	if d, ok := datumByCode(code); ok {
		return fromDatum(d)
	}
	if r := rowByCode(code); r != nil {
		d := projectedSystem(r)
		return &d
	}
	return nil
}

func fromDatum(d datum) *definition {
	def := geographicSystem(d)
	return &def
}

// fold brings the spellings of a name to one: ASCII letters in lower case and
// digits, nothing else, so that "False_Easting" is "false easting".
func fold(name string) string {
	folded := make([]byte, 0, len(name))
	for i := range len(name) {
		switch c := name[i]; {
		case 'A' <= c && c <= 'Z':
			folded = append(folded, c+'a'-'A')
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
			folded = append(folded, c)
		}
	}
	return string(folded)
}

// rule names why a text is refused.
type rule string

// The rules.
const (
	EmptyText         rule = "crs-empty"
	badSyntax         rule = "crs-syntax"
	tooBig            rule = "crs-too-big"       // longer, or nested deeper, than any real one
	unknownCode       rule = "crs-unknown-code"  // not in the table of systems
	newerText         rule = "crs-wkt2"          // well-known text of version 2
	notFlat           rule = "crs-kind"          // geocentric, vertical, local or fitted
	unknownDatum      rule = "crs-datum"         // neither WGS 84 nor NAD 83
	unknownEllipsoid  rule = "crs-ellipsoid"     // not that of its datum
	otherMeridian     rule = "crs-meridian"      // longitudes are not from Greenwich
	datumShift        rule = "crs-datum-shift"   // to be moved to WGS 84 by more than nothing
	unknownUnit       rule = "crs-unit"          // not degrees; not meters or one of the feet
	unknownProjection rule = "crs-projection"    //
	badParameter      rule = "crs-parameter"     // missing, twice, unknown or out of range
	otherAxes         rule = "crs-axes"          // not to the east and to the north
	unknownPart       rule = "crs-part"          // a part that could change the meaning
	contradiction     rule = "crs-contradiction" // says one thing here and another there
)

// RefusedError says why a text does not make a system.
type RefusedError struct {
	Rule  rule
	Found string // the part of the text that is meant, shortened if long
	Why   string
}

func (e *RefusedError) Error() string {
	if e.Found == "" {
		return "coordinate system: " + e.Why
	}
	return fmt.Sprintf("coordinate system: %s: %s", e.Found, e.Why)
}

func refuse(rule rule, found, why string) *RefusedError {
	return &RefusedError{Rule: rule, Found: found, Why: why}
}

// quote quotes a piece of a text for an error, shortened.
func quote(text string) string {
	const most = 60
	if len(text) > most {
		text = text[:most] + "..."
	}
	return fmt.Sprintf("%q", text)
}
