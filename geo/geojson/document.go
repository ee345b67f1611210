package geojson

import (
	"bytes"
	"io"
)

// document reads a GeoJSON text: one object, or a sequence of them with white
// space or record separators between.
func (s *splitter) document() error {
	if err := s.encoding(); err != nil {
		return err
	}
	c, err := s.nextText()
	switch {
	case err == io.EOF:
		return s.flawed(s.pos, "there is no GeoJSON text in the file")
	case err != nil:
		return err
	case c != '{':
		return s.unexpected("a GeoJSON object")
	}
	s.keep = s.pos
	s.frameAt = flaw{offset: s.offset(), line: s.lineAt(s.pos)}
	if err := s.object(); err != nil {
		return s.atEnd(err, "the file ends inside the outermost object")
	}
	length := s.pos - s.keep
	_, err = s.nextText()
	if err == io.EOF {
		s.pos = s.keep + length
		s.addToFrame()
		return nil
	}
	if err != nil {
		return err
	}
	if s.collection {
		return s.unexpected("nothing behind the FeatureCollection")
	}
	s.pos = s.keep // the first object was one of a sequence
	return s.sequence()
}

// encoding looks at the first bytes: a UTF-8 byte order mark is skipped
// (RFC 8259 §8.1 allows it), UTF-16 and UTF-32 are refused.
func (s *splitter) encoding() error {
	for len(s.buf) < 4 {
		if err := s.fill(nil); err == io.EOF {
			break
		} else if err != nil {
			return err
		}
	}
	if bytes.HasPrefix(s.buf, []byte("\xef\xbb\xbf")) {
		s.marked = true
		s.pos, s.keep = 3, 3
		return nil
	}
	head := s.buf[:min(len(s.buf), 4)]
	if bytes.HasPrefix(head, []byte("\xff\xfe")) || bytes.HasPrefix(head, []byte("\xfe\xff")) ||
		bytes.IndexByte(head, 0) >= 0 {
		return s.flawed(0, "the text is not UTF-8 (it looks like UTF-16): save it as UTF-8")
	}
	return nil
}

// nextText skips what may stand between the texts of a sequence.
func (s *splitter) nextText() (byte, error) {
	for {
		c, err := s.next()
		if err != nil || c != recordSeparator {
			return c, err
		}
		s.pos++
	}
}

// object reads the outermost object. Its members go to the frame, except for
// the features.
func (s *splitter) object() error {
	s.pos++ // {
	for first := true; ; first = false {
		c, err := s.next()
		if err != nil {
			return err
		}
		switch {
		case c == '}':
			s.pos++
			return nil
		case !first && c != ',':
			return s.unexpected(`"," or "}"`)
		case !first:
			s.pos++
		}
		if err := s.member(); err != nil {
			return err
		}
	}
}

// member reads a name and its value. What is kept begins before it and only
// grows, so places are told relative to keep.
func (s *splitter) member() error {
	c, err := s.next()
	if err != nil {
		return err
	}
	if c != '"' {
		return s.unexpected("a member's name")
	}
	from := s.pos - s.keep
	if err := s.value(); err != nil {
		return err
	}
	name := s.buf[s.keep+from : s.pos]
	isFeatures := string(name) == `"features"`
	if c, err = s.next(); err != nil {
		return err
	}
	if c != ':' {
		return s.unexpected(`":"`)
	}
	s.pos++
	if c, err = s.next(); err != nil {
		return err
	}
	switch c {
	case ',', '}', ']', ':':
		return s.unexpected("a value")
	case '[':
		if isFeatures {
			return s.features()
		}
	}
	return s.value()
}

// features reads the array of that name.
func (s *splitter) features() error {
	if s.collection {
		return s.flawed(s.pos, `"features" stands there twice`)
	}
	s.pos++ // [
	s.addToFrame()
	s.collection = true
	s.gap = gap{at: len(s.frame), bytes: -s.offset(), lines: -s.lineAt(s.pos)}
	s.inside = true
	if err := s.elements(); err != nil {
		return s.atEnd(err, `the file ends inside "features"`)
	}
	s.inside = false
	s.gap.bytes += s.offset()
	s.gap.lines += s.lineAt(s.pos)
	s.keep = s.pos
	s.pos++ // ]
	return nil
}

// elements reads the features between the brackets.
func (s *splitter) elements() error {
	for first := true; ; first = false {
		s.keep = s.pos
		c, err := s.next()
		if err != nil {
			return err
		}
		switch {
		case c == ']':
			return nil
		case !first && c != ',':
			return s.unexpected(`"," or "]"`)
		case !first:
			s.pos++
			if c, err = s.next(); err != nil {
				return err
			}
		}
		if c == ',' || c == ']' || c == '}' || c == ':' {
			return s.unexpected("a feature")
		}
		if err := s.element(); err != nil {
			return err
		}
	}
}

// element reads one feature into the batch.
func (s *splitter) element() error {
	s.keep = s.pos
	if err := s.value(); err != nil {
		return s.unfinished(err)
	}
	s.now.features = append(s.now.features, span{int32(s.keep), int32(s.pos)})
	s.count++
	return nil
}

// sequence reads objects up to the end of the text.
func (s *splitter) sequence() error {
	s.inside = true
	for {
		if err := s.element(); err != nil {
			return s.atEnd(err, "the file ends inside an object")
		}
		s.keep = s.pos
		c, err := s.nextText()
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return err
		}
		if c != '{' {
			return s.unexpected("the next object of the sequence")
		}
	}
}

// unfinished blames a value that doesn't end on the first thing in it that is
// no JSON, if there is one: a bracket that is missing there shows here.
func (s *splitter) unfinished(err error) error {
	if err != io.EOF {
		return err
	}
	if at, why := syntaxError(s.buf[s.keep:]); at < len(s.buf)-s.keep {
		return s.flawed(s.keep+at, why)
	}
	return err
}

// atEnd says what it means that the text ends.
func (s *splitter) atEnd(err error, why string) error {
	if err != io.EOF {
		return err
	}
	return s.flawed(len(s.buf), why)
}

// member is a member's name that means something in a GeoJSON object.
type member uint8

const (
	foreign member = iota // RFC 7946 §6.1: to be ignored
	typeMember
	geometryMember
	propertiesMember
	coordinatesMember
	geometriesMember
	featuresMember
	crsMember
)

// members is a set of them.
type members uint16

func (s members) has(m member) bool { return s&(1<<m) != 0 }

// known returns what a name, quoted as it stands, means.
func (c *cursor) known(name []byte) member {
	switch string(name) {
	case `"type"`:
		return typeMember
	case `"geometry"`:
		return geometryMember
	case `"properties"`:
		return propertiesMember
	case `"coordinates"`:
		return coordinatesMember
	case `"geometries"`:
		return geometriesMember
	case `"features"`:
		return featuresMember
	case `"crs"`:
		return crsMember
	}
	if bytes.IndexByte(name, '\\') >= 0 {
		plain := append([]byte{'"'}, c.unquote(nil, name)...)
		if bytes.IndexByte(plain, '\\') < 0 { // else it could come here forever
			return c.known(append(plain, '"'))
		}
	}
	return foreign
}

// geometryType is one of the seven of RFC 7946 §1.4.
type geometryType uint8

const (
	unknownType geometryType = iota
	polygon
	multiPolygon
	geometryCollection
	point
	otherGeometry
)

func geometryTypeOf(value []byte) geometryType {
	switch string(value) {
	case `"Polygon"`:
		return polygon
	case `"MultiPolygon"`:
		return multiPolygon
	case `"GeometryCollection"`:
		return geometryCollection
	case `"Point"`:
		return point
	case `"MultiPoint"`, `"LineString"`, `"MultiLineString"`:
		return otherGeometry
	}
	return unknownType
}

func (t geometryType) polygonal() bool { return t == polygon || t == multiPolygon }

// String returns the type's name in GeoJSON.
func (t geometryType) String() string {
	return [...]string{"unknown", "Polygon", "MultiPolygon", "GeometryCollection", "Point", "other geometry"}[t]
}
