package geo

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// InvalidError says which rule of OGC 06-103r4 a multipolygon breaks.
type InvalidError struct {
	Polygon int       // from 0; -1 if polygons disagree
	Place   orb.Point // where, or near it
	Why     string
}

func (e *InvalidError) Error() string { return placeText(e.Place) + ": " + e.Why }

// Valid reports whether a multipolygon is valid by OGC 06-103r4 (ISO 19125-1),
// coordinates being plane. The error is an [*InvalidError].
func Valid(mp orb.MultiPolygon) error {
	for i, p := range mp {
		if err := toPolygon(p).Validate(); err != nil {
			return invalid(err, i, mp)
		}
	}
	if err := toMultiPolygon(mp).Validate(); err != nil {
		return invalid(err, -1, mp)
	}
	return nil
}

// invalid finds the place at the end of the validator's message, which is the only
// way it gives one; without it, the polygon's first point serves.
func invalid(err error, polygon int, mp orb.MultiPolygon) *InvalidError {
	e := &InvalidError{Polygon: polygon, Why: err.Error()}
	why, at, found := strings.Cut(e.Why, " (at or near ")
	if found {
		e.Why = why
		at = strings.NewReplacer("{", "", "}", "", ")", "").Replace(at)
		if n, _ := fmt.Sscan(at, &e.Place[0], &e.Place[1]); n == 2 {
			return e
		}
	}
	if p := mp[max(polygon, 0)]; len(p) > 0 && len(p[0]) > 0 {
		e.Place = p[0][0]
	}
	return e
}
