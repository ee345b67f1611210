package rx

// Sheet is a work sheet as data: what one crew needs on paper, in the user's units,
// ready to be shown as text or as a page. It knows no kind of sheet, so that text and page
// show any of them.
type Sheet struct {
	Kind     SheetKind
	Title    string // "Blender sheet, load 1 of 2"
	Layer    string // the layer that it belongs to; empty if to the whole plan
	Heads    Heads
	Card     *Card // nil for a sheet of the appendix
	Sections []Section
}

// Heads is what every printed page of a sheet says at its edge, so that a page that was
// dropped finds back.
type Heads struct {
	Field   string
	Load    string // "load A" or, of a sheet for several, "loads A and B"
	Loading string // what the load carries: "322.7 fl oz/ton", or "untreated"
}

// Card is what one person works from at one load: a page that stands for itself. The card
// of a release is of all loads: it has neither mark nor log.
type Card struct {
	Mark string // of the load, the same on every card of it: "A"
	Band int    // which of the bands the mark stands on, from 0
	Dose Fact   // what is measured, printed largest
	Log  Table  // what is done, line by line, to be ticked; blanks are to be written in
}

// SheetKind says whom a sheet is for.
type SheetKind string

// The kinds of sheet.
const (
	BlenderSheet  SheetKind = "blender"
	BoomSheet     SheetKind = "boom"
	SpreaderSheet SheetKind = "spreader"
	FieldSheet    SheetKind = "field"
	ReleaseSheet  SheetKind = "release"
	DaySheet      SheetKind = "day" // of many fields
)

// Section is a part of a sheet; what it does not need is empty.
type Section struct {
	Title    string
	Facts    []Fact
	Tables   []Table
	Steps    []string // in their order
	Notes    []string
	Cautions []string // to be read before the work begins
	Blanks   []string // to be filled in by hand: initials, weights, counter readings
	Desk     bool     // read at a desk, not at work: left out of what is printed of the page
}

// Fact is one figure of a sheet.
type Fact struct {
	What  string
	Value string // with its unit
	Note  string // may be empty
}

// Table is a table of a sheet. A long one is laid in parts side by side on the page, so that
// 25 pans stay on one printed page; text keeps one column.
type Table struct {
	Title string // may be empty
	Head  []string
	Left  []bool // by column: text, aligned left; the others are numbers
	Rows  [][]string
	Total []string // the last row, apart; may be nil
	Long  bool     // and narrow
	Desk  bool     // as a section may be
}
