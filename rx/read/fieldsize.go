package read

import (
	"fmt"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// The sizes of what is spread from one prescription. Beyond the outer pair, ten
// times less or more than anything farmed as one, the file is misread; between
// that and the inner pair it may be a trial's plots or a whole farm, which is
// worth a note.
const (
	noField    = 0.1 * unit.Acre
	smallField = 0.5 * unit.Acre
	largeField = 5000 * unit.Acre
	noFarm     = 50000 * unit.Acre
)

// fieldSize finds a field in the wrong unit of length.
func fieldSize(s *suspect) []rx.Finding {
	area := s.Area()
	f := warning("field-small", area.String(), fmt.Sprintf("%g to %g ac", float64(smallField), float64(largeField)), "", "check the coordinate system of the file (--crs)")
	f.Area = area
	switch {
	case area < noField:
		f.Text = fmt.Sprintf("all zones together are %s: smaller than any field that is spread", acres(area))
	case area < smallField:
		f.Severity = rx.Note
		f.Text = fmt.Sprintf("all zones together are %s: a trial's plots, or the coordinates are misread", acres(area))
	case area > noFarm:
		f.Rule = "field-large"
		f.Text = fmt.Sprintf("all zones together are %s: larger than any field", acres(area))
	case area > largeField:
		f.Rule, f.Severity = "field-large", rx.Note
		f.Text = fmt.Sprintf("all zones together are %s: larger than one field is", acres(area))
		f.Hint = "if it is not a whole farm, check the coordinate system of the file (--crs)"
	default:
		return nil
	}
	return []rx.Finding{f}
}
