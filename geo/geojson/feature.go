package geojson

import (
	"fmt"
	"slices"
	"unicode/utf8"

	"rxsplit/geo"
)

// featureDecoder decodes one batch after another. Its room is used again.
type featureDecoder struct {
	cursor
	part    *part
	columns columns
	loose   bool // geometries may stand where features do
	alone   bool // the text is the file's one object
	points  bool // points are wanted, not polygons

	// Of the record at hand:
	trouble geo.BadRecord
	bad     bool // there is trouble
	outer   bool // the object at hand is the outermost one of the file
	open    bool // a ring was closed
	flat    bool // an ordinate was dropped
	wound   bool // a ring goes against the right-hand rule
}

// leastPoint is how many bytes of text a point mostly takes at the least.
const leastPoint = 36

// decode reads a batch's features into its part.
func (d *featureDecoder) decode(b *batch) *part {
	d.part, d.loose, d.alone = &b.part, b.loose, b.alone
	d.part.reset()
	d.part.shapes.Points = slices.Grow(d.part.shapes.Points, len(b.text)/leastPoint)
	d.part.bytes = len(b.text)
	d.columns.reset()
	for i, at := range b.features {
		d.text, d.pos = b.text[at.from:at.to:at.to], 0
		if err := d.record(i); err != nil {
			d.part.fatal = d.fatal(i, err, b, at)
			break
		}
	}
	d.part.rows = d.columns.rows.clone()
	d.part.columns = d.columns.list
	return d.part
}

// fatal describes what stops the reading at a record.
func (d *featureDecoder) fatal(i int, err error, b *batch, at span) *geo.BadRecord {
	if err != errSyntax {
		return &geo.BadRecord{Record: i, Why: err.Error()}
	}
	place, why := syntaxError(d.text)
	from := int(at.from) + place
	w := window{buf: b.text, line: b.line}
	f := flaw{offset: b.base + int64(from), line: w.lineAt(from), why: why}
	return &geo.BadRecord{Record: i, Why: f.Error()}
}

// record reads one feature. The error means that reading can't go on.
func (d *featureDecoder) record(i int) error {
	d.bad, d.outer, d.open, d.flat, d.wound = false, d.alone, false, false, false
	d.columns.record(i)

	if err := d.feature(); err != nil {
		return err
	}
	if d.peek() != 0 || d.pos < len(d.text) {
		return errSyntax
	}
	if d.bad {
		d.trouble.Record = i
		d.part.report(d.trouble) // with it the shapes will not be used
	} else {
		d.remark(i)
	}
	s := &d.part.shapes
	s.ShapeEnds = append(s.ShapeEnds, int32(len(s.PolyEnds)))
	d.columns.endRecord()
	return nil
}

func (d *featureDecoder) remark(i int) {
	if d.open {
		d.part.closed = append(d.part.closed, i)
	}
	if d.flat {
		d.part.flat = append(d.part.flat, i)
	}
	if d.wound {
		d.part.wound++
	}
}

// feature reads a Feature object (RFC 7946 §3.2).
func (d *featureDecoder) feature() error {
	if !d.take('{') {
		value, err := d.value()
		d.troubled("", value, "is not a Feature")
		return err
	}
	var seen members
	for first := true; ; first = false {
		name, err := d.member(first)
		if err != nil {
			return err
		}
		if name == nil {
			break
		}
		m := d.known(name)
		d.once(&seen, m, name)
		switch m {
		case geometryMember:
			d.outer = false
			err = d.geometry(false)
		case propertiesMember:
			err = d.properties()
		default:
			var value []byte
			if value, err = d.value(); err != nil {
				return err
			}
			if m == typeMember && string(value) != `"Feature"` {
				if d.loose && geometryTypeOf(value) != unknownType {
					return d.bareGeometry()
				}
				d.troubled("", value, "is not a Feature")
			}
			if m == crsMember {
				d.checkCRS(value)
			}
		}
		if err != nil {
			return err
		}
	}
	if !seen.has(typeMember) {
		d.troubled("", nil, `the feature has no "type"`)
	}
	return nil
}

// bareGeometry reads the whole text again as a geometry.
func (d *featureDecoder) bareGeometry() error {
	d.bad = false
	d.pos = 0
	return d.geometry(false)
}

// properties reads the object of that name, or null.
func (d *featureDecoder) properties() error {
	if !d.take('{') {
		value, err := d.value()
		if err == nil && !isNull(value) {
			d.troubled("", value, `stands where "properties" has an object`)
		}
		return err
	}
	for first := true; ; first = false {
		name, err := d.cursor.member(first)
		if name == nil {
			return err
		}
		if err := d.property(name); err != nil {
			return err
		}
	}
}

func (d *featureDecoder) property(quoted []byte) error {
	c := &d.columns
	c.name = d.unquote(c.name[:0], quoted)
	value, err := d.value()
	if err != nil {
		return err
	}
	i, err := c.find(c.name)
	if err != nil {
		return err
	}
	if c.last[i] == c.now {
		d.troubled(string(c.name), value, "stands there twice")
	}
	if !utf8.Valid(c.name) {
		d.troubled(fmt.Sprintf("%q", c.name), nil, "the field's name is not UTF-8")
	}
	kind := kindOf(value)
	switch kind {
	case geo.Null:
	case geo.Text:
		from := len(c.rows.text)
		c.rows.text = d.unquote(c.rows.text, value)
		if !utf8.Valid(c.rows.text[from:]) {
			d.troubled(string(c.name), value, "is not UTF-8")
		}
	case geo.Other:
		c.rows.text = append(c.rows.text, value[:min(len(value), maxOther)]...)
	default:
		c.rows.text = append(c.rows.text, value...)
	}
	c.add(i, kind)
	return nil
}

// once notes a member that has a meaning, and refuses it if it stands there
// twice: which of them is meant can't be known.
func (d *featureDecoder) once(seen *members, m member, name []byte) {
	if m != foreign && seen.has(m) {
		d.troubled("", name, "stands there twice")
	}
	*seen |= 1 << m
}

// troubled keeps what first makes a record bad; the rest of it is still read.
func (d *featureDecoder) troubled(field string, value []byte, why string) {
	if !d.bad && len(d.part.bad) < geo.MaxBadRecords { // else nobody will see it
		d.trouble = geo.BadRecord{Field: field, Value: shorten(value), Why: why}
	}
	d.bad = true
}

// shorten cuts long values for messages and takes the quotes off strings.
func shorten(value []byte) string {
	const most = 40
	if n := len(value); n > 1 && value[0] == '"' {
		value = value[1 : n-1]
	}
	if len(value) <= most {
		return string(value)
	}
	cut := most
	for cut > most-utf8.UTFMax && !utf8.RuneStart(value[cut]) {
		cut--
	}
	return fmt.Sprintf("%s...", value[:cut])
}
