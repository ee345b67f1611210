package crs

import "fmt"

// Rule names why a text is refused.
type Rule string

// The rules.
const (
	EmptyText         Rule = "crs-empty"
	BadSyntax         Rule = "crs-syntax"
	TooBig            Rule = "crs-too-big"       // longer, or nested deeper, than any real one
	UnknownCode       Rule = "crs-unknown-code"  // not in the table of systems
	NewerText         Rule = "crs-wkt2"          // well-known text of version 2
	NotFlat           Rule = "crs-kind"          // geocentric, vertical, local or fitted
	UnknownDatum      Rule = "crs-datum"         // neither WGS 84 nor NAD 83
	UnknownEllipsoid  Rule = "crs-ellipsoid"     // not that of its datum
	OtherMeridian     Rule = "crs-meridian"      // longitudes are not from Greenwich
	DatumShift        Rule = "crs-datum-shift"   // to be moved to WGS 84 by more than nothing
	UnknownUnit       Rule = "crs-unit"          // not degrees; not meters or one of the feet
	UnknownProjection Rule = "crs-projection"    //
	BadParameter      Rule = "crs-parameter"     // missing, twice, unknown or out of range
	OtherAxes         Rule = "crs-axes"          // not to the east and to the north
	UnknownPart       Rule = "crs-part"          // a part that could change the meaning
	Contradiction     Rule = "crs-contradiction" // says one thing here and another there
)

// RefusedError says why a text does not make a system, and what to do.
type RefusedError struct {
	Rule  Rule
	Found string // the part of the text that is meant, shortened if long
	Why   string
	Hint  string
}

func (e *RefusedError) Error() string {
	if e.Found == "" {
		return "coordinate system: " + e.Why
	}
	return fmt.Sprintf("coordinate system: %s: %s", e.Found, e.Why)
}

const (
	hintName   = "name the system with --crs EPSG:n, or export the file again as WGS 84 longitude/latitude"
	hintExport = "export the file again as WGS 84 longitude/latitude"
)

func refuse(rule Rule, found, why string) *RefusedError {
	return &RefusedError{Rule: rule, Found: found, Why: why, Hint: hintName}
}

// quote quotes a piece of a text for an error, shortened.
func quote(text string) string {
	const most = 60
	if len(text) > most {
		text = text[:most] + "..."
	}
	return fmt.Sprintf("%q", text)
}
