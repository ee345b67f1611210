package rx

import (
	"iter"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// FurtherAmount is what a way takes of a further liquid.
type FurtherAmount struct {
	Name    string
	Volume  unit.Volume
	Metered unit.Volume            // as batches or fills are dosed
	Rate    Range[unit.LiquidRate] // on the ground; 0 where the way puts none on
}

// Product says what a layer applies.
type Product string

// The products of layers.
const (
	Dry    Product = "dry"
	Liquid Product = "liquid"
)

// Plan is one way worked out: the layers that the machines load.
type Plan struct {
	Way        Way
	Layers     []Layer
	Stabilizer []unit.LiquidRate   // on the ground, a zone each, 0 where none
	Further    [][]unit.LiquidRate // the same of each further liquid, in the order of the terms
	KeptOut    []unit.Area         // of a zone each, what keep-outs and strips leave without stabilizer; nil if nothing is cut out
	Materials  equip.Blend         // that are impregnated; all of the job's where it doesn't say which, none in a wet boom
	Findings   []Finding           // about the plan
	Accepted   []Accepted          // doubts about the input that somebody has answered
	Strips     *Strips             // that are left without stabilizer; nil for none
	TaskData   *TaskData           // the layers for terminals of ISO 11783-10; nil if nobody wants them
	KeepOut    *Finding            // of these, what keep-outs mean for it, with the area that they cut out; nil without any
}

// WithStabilizer returns how much of a zone, of the given area, gets stabilizer.
func (p *Plan) WithStabilizer(zone int, area unit.Area) unit.Area {
	switch {
	case !(p.Stabilizer[zone] > 0):
		return 0
	case p.KeptOut == nil:
		return area
	}
	return max(0, area-p.KeptOut[zone])
}

// StabilizerGround returns the ground that gets stabilizer: that of the liquid layer,
// which leaves keep-outs off, or else of the zones that get any.
func (p *Plan) StabilizerGround(zones []Zone) (area unit.Area) {
	for i := range p.Layers {
		if p.Layers[i].Product == Liquid {
			return p.Layers[i].Area
		}
	}
	for i, z := range zones {
		if p.Stabilizer[i] > 0 {
			area += z.Area
		}
	}
	return area
}

// Layer is one file that a machine loads. A dry layer has a record for every
// zone; a liquid layer has a record for every connected piece.
type Layer struct {
	Name      string
	Product   Product
	Treated   bool          // impregnated
	Loading   unit.Loading  // of a treated layer; 0 where it carries further liquids alone
	Further   []LayerLiquid // of a treated layer those on the blend, of a liquid layer those in the tank, in the order of the terms
	Columns   []RateColumn  // of a dry layer, one a rate field
	RxRate    bool          // the spread rates differ from the prescription's, which is written beside them
	Pieces    *geo.Shapes   // of a liquid layer, lon/lat
	PieceArea []unit.Area
	Untreated int                    // of the pieces the last ones, which are strips of rate 0
	Rate      unit.LiquidRate        // of a liquid layer: stabilizer
	Mix       unit.LiquidRate        // of a liquid layer: water and stabilizer; 0 if unknown
	Zones     int                    // that get something from this layer
	Area      unit.Area              // of those zones, or of the pieces that get something
	Mass      unit.Mass              // of a dry layer
	Volume    unit.Volume            // of stabilizer, of a liquid or a treated layer
	Dry       Range[unit.DryRate]    // of a dry layer's positive rates, all fields together
	Liquid    Range[unit.LiquidRate] // of a liquid layer
}

// LayerLiquid is a further liquid of a layer.
type LayerLiquid struct {
	Name    string
	Loading unit.Loading    // of a treated layer
	Rate    unit.LiquidRate // of a liquid layer
	Volume  unit.Volume
}

// Load returns a treated layer as the blender takes it.
func (l *Layer) Load(mass unit.Mass, rates Range[unit.DryRate], materials equip.Blend) Load {
	load := Load{Loading: l.Loading, Mass: mass, Rates: rates, Materials: materials}
	for _, f := range l.Further {
		load.Further = append(load.Further, f.Loading)
	}
	return load
}

// SideBySide reports whether the layer spreads several products beside each other,
// of which a treated layer has one impregnated: what each amounts to stands in its
// column. It is false for one blend.
func (l *Layer) SideBySide() bool { return len(l.Columns) > 0 && l.Columns[0].Spread != nil }

// DryRate returns what a dry layer spreads on a zone of the prescription that it is
// of, all fields together; NaN where the source has no rate.
func (l *Layer) DryRate(p *Prescription, zone int) (sum unit.DryRate) {
	for i := range l.Columns {
		sum += l.Columns[i].Rate(p, zone)
	}
	return sum
}

// Metered returns what the spreader has to meter on a zone for the layer: the rate of the
// blend or, of products side by side, which have bins of their own, the rate of each.
func (l *Layer) Metered(p *Prescription, zone int) iter.Seq[unit.DryRate] {
	return func(yield func(unit.DryRate) bool) {
		if p.Blend() {
			yield(l.DryRate(p, zone))
			return
		}
		for i := range l.Columns {
			if !yield(l.Columns[i].Rate(p, zone)) {
				return
			}
		}
	}
}

// Metered returns what the spreader has to meter on a zone as it is prescribed; see
// [Layer.Metered].
func (p *Prescription) Metered(zone int) iter.Seq[unit.DryRate] {
	return func(yield func(unit.DryRate) bool) {
		if p.Blend() {
			yield(p.Zones[zone].Dry)
			return
		}
		for f := range p.Fields {
			if !yield(p.FieldRate(zone, f)) {
				return
			}
		}
	}
}

// RateColumn is a rate field of a dry layer.
type RateColumn struct {
	Field  int            // index of Prescription.Fields
	Rates  []unit.DryRate // product, a zone each, NaN where the source has none; nil if the source's cells stand as they are
	Spread *Spread        // what the field's product amounts to, where products are spread side by side; nil for one blend
}

// Rate returns what the column spreads on a zone of the prescription that it is of.
func (c *RateColumn) Rate(p *Prescription, zone int) unit.DryRate {
	if c.Rates != nil {
		return c.Rates[zone]
	}
	return p.FieldRate(zone, c.Field)
}

// Spread is what a layer spreads of one product.
type Spread struct {
	Treated bool // the product carries the layer's stabilizer
	Zones   int  // that get some
	Area    unit.Area
	Mass    unit.Mass
	Dry     Range[unit.DryRate] // of the positive rates
}

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
	Load    string // "load A", "boom B" or, of a sheet for several, "loads A, B, boom C"
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
