package geojson

import (
	"bytes"

	"rxsplit/geo"
)

// maxSystem is how much of a crs member is kept.
const maxSystem = 1024

// finish reads what surrounds the features, once all of them are read.
func (c *collector) finish(s *splitter) {
	c.marked = s.marked
	if s.broken != nil {
		c.stop(geo.BadRecord{Record: s.broken.record, Why: s.broken.Error()})
		return
	}
	if s.frame == nil {
		return // a sequence has none
	}
	f := frame{cursor: cursor{text: s.frame}}
	if err := f.read(); err != nil {
		at, why := syntaxError(s.frame)
		c.stop(geo.BadRecord{Record: -1, Why: s.frameFlaw(at, why).Error()})
		return
	}
	c.system = f.system
	switch {
	case f.twice != "":
		c.stop(geo.BadRecord{Record: -1, Value: f.twice, Why: "stands there twice"})
	case f.kind == "":
		c.stop(geo.BadRecord{Record: -1, Why: `the object has no "type"`})
	case f.kind == "FeatureCollection" && !s.collection:
		c.stop(geo.BadRecord{Record: -1, Why: `the FeatureCollection has no array "features"`})
	case f.kind == "FeatureCollection":
	case s.collection: // RFC 7946 §7.1
		c.stop(geo.BadRecord{Record: -1, Value: f.kind, Why: `is not the "type" of an object with "features"`})
	case f.kind != "Feature" && geometryTypeOf([]byte(`"`+f.kind+`"`)) == unknownType:
		c.stop(geo.BadRecord{Record: -1, Value: f.kind, Why: `is not a "type" of GeoJSON`})
	default:
		c.addAlone(s)
	}
}

// addAlone reads a text that is one Feature or one geometry.
func (c *collector) addAlone(s *splitter) {
	d := featureDecoder{points: c.points}
	c.add(d.decode(&batch{
		text: s.frame, features: []span{{0, int32(len(s.frame))}},
		base: s.frameAt.offset, line: s.frameAt.line, loose: true, alone: true,
	}))
}

// frameFlaw finds the place in the file of a place in the frame.
func (s *splitter) frameFlaw(at int, why string) *flaw {
	f := flaw{s.frameAt.offset + int64(at), s.frameAt.line + bytes.Count(s.frame[:at], []byte{'\n'}), -1, why}
	if s.collection && at >= s.gap.at {
		f.offset += s.gap.bytes
		f.line += s.gap.lines
	}
	return &f
}

// frame is the outermost object without its features.
type frame struct {
	cursor
	kind   string
	system string
	twice  string
}

func (f *frame) read() error {
	if !f.take('{') {
		return errSyntax
	}
	var seen members
	for first := true; ; first = false {
		name, err := f.member(first)
		if name == nil {
			return err
		}
		value, err := f.value()
		if err != nil {
			return err
		}
		m := f.known(name)
		if m != foreign && seen.has(m) {
			f.twice = shorten(name)
		}
		seen |= 1 << m
		switch m {
		case typeMember:
			f.kind = shorten(value)
		case crsMember:
			f.system = f.systemOf(value)
		}
	}
}

// systemOf returns the name that a crs member of the 2008 specification gives
// (its §3.1), or the member as it stands: the caller will not know it.
func (f *frame) systemOf(crs []byte) string {
	name := child(child(crs, "properties"), "name")
	if string(child(crs, "type")) != `"name"` || len(name) < 3 || name[0] != '"' {
		return cut(crs)
	}
	return cut(f.unquote(nil, name))
}

func cut(text []byte) string {
	return string(bytes.ToValidUTF8(text[:min(len(text), maxSystem)], nil))
}

// child returns the text of a member of an object; nil if there is none.
func child(object []byte, want string) []byte {
	c := cursor{text: object}
	if !c.take('{') {
		return nil
	}
	for first := true; ; first = false {
		name, err := c.member(first)
		if err != nil || name == nil {
			return nil
		}
		value, err := c.value()
		if err != nil || string(c.unquote(nil, name)) == want {
			return value
		}
	}
}
