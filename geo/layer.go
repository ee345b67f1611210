package geo

import (
	"fmt"
	"strings"

	"github.com/paulmach/orb"
)

// Layer is what a file holds, whatever its format.
type Layer struct {
	Name       string // of the layer inside its file, without extension
	Shapes     Shapes // in the file's own coordinates, one record a row
	Attributes Attributes
	System     string   // the .prj text or the crs member, as it stands; empty if the file has none
	Deleted    []int    // records, from 0, that are marked deleted; they have no polygon
	Remarks    []Remark // oddities that were survived
}

// Attributes are the cells beside the polygons.
type Attributes interface {
	Fields() []Field
	// Cell returns the cell of a record and a field, both from 0. Its text is
	// valid as long as the Attributes are, and must not be changed.
	Cell(record, field int) Cell
}

// Field describes one column of [Attributes].
type Field struct {
	Name     string
	Kind     Kind   // what its cells are: Null when all are, Mixed when they differ
	Width    int    // of a DBF cell in bytes; 0 in GeoJSON
	Decimals int    // of a DBF number
	Unit     string // that its numbers count, where the file says it: "kg/ha"; else empty
}

// Kind is what a cell holds.
type Kind uint8

// The kinds of cell.
const (
	Null Kind = iota
	Number
	Text
	Bool
	Date
	Other // a JSON array or object, a DBF memo
	Mixed // of a field: cells of several kinds
)

// String returns the kind's name in lower case.
func (k Kind) String() string {
	return [...]string{"null", "number", "text", "bool", "date", "other", "mixed"}[k]
}

// Cell is one value as the file has it: Text holds the number's digits or the
// string's characters, without padding or quotes, in UTF-8.
type Cell struct {
	Kind Kind
	Text []byte
}

// Remark is an oddity of a file that its reader survived. What is told of each rule stands
// in rx/tell.
type Remark struct {
	Rule    string // a short name such as "z-dropped"
	Records []int  // from 0; empty if the whole file is meant
	Place   *orb.Point
	Count   int    // of what the rule is about, where that is not the records
	Name    string // of what it is about, or why
}

// BadRecord is a record that can't be read.
type BadRecord struct {
	Record int    // from 0; -1 if the file as a whole is meant
	Field  string // empty if the geometry is meant
	Value  string // quoted as it stands, shortened if long; empty if there is none
	Why    string
}

// Shorten keeps a value that a message quotes below 40 bytes.
func Shorten(value string) string {
	if len(value) > 40 {
		return strings.ToValidUTF8(value[:37], "") + "..."
	}
	return value
}

// BadFileError lists everything that makes a file unreadable, all found in one
// pass, with a cap on how many are listed.
type BadFileError struct {
	File string // base name
	Bad  []BadRecord
	More int    // bad records beyond those listed
	Hint string // what to do next; may be empty
}

// HintPolygons is what to do about a layer of points or lines: nothing is wrong with the file.
const HintPolygons = "a prescription is drawn as polygons: where it was made, have zones made of these points or lines (cells of a grid, or the ground of one rate), and export those"

func (e *BadFileError) Error() string {
	lines := make([]string, 0, len(e.Bad)+1)
	for _, b := range e.Bad {
		lines = append(lines, e.File+": "+b.String())
	}
	if e.More > 0 {
		lines = append(lines, fmt.Sprintf("%s: and %d more", e.File, e.More))
	}
	return strings.Join(lines, "\n")
}

// String prints the record's number from 1, the field, the value and the reason.
func (b BadRecord) String() string {
	var s strings.Builder
	if b.Record >= 0 {
		fmt.Fprintf(&s, "record %d: ", b.Record+1)
	}
	if b.Field != "" {
		fmt.Fprintf(&s, "field %s: ", b.Field)
	}
	if b.Value != "" {
		fmt.Fprintf(&s, "%q ", b.Value)
	}
	s.WriteString(b.Why)
	return s.String()
}

// MaxBadRecords is how many bad records a [BadFileError] lists.
const MaxBadRecords = 20
