package taskdata

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
)

// Bounds of what is read. Real files stay far below: a terminal asks for less than 2 MB.
const (
	mostXML      = 256 << 20 // bytes of one file
	deepest      = 32        // elements inside each other
	mostElements = 8 << 20
	mostAttrs    = 256 // of an element: the standard has up to 20, makers add some
	mostText     = 200 // bytes that are told of text between elements
)

// element is one element with all that is in it. Task data has its data in attributes;
// text inside elements is kept apart as a mistake.
type element struct {
	name     string
	attrs    []xml.Attr
	children []*element
	line     int
	text     string // beside white space
}

// get returns an attribute; ok is false where it is absent, which an empty one is not.
func (e *element) get(name string) (string, bool) {
	for _, a := range e.attrs {
		if a.Name.Local == name {
			return a.Value, true
		}
	}
	return "", false
}

// attr returns an attribute; empty if it is absent.
func (e *element) attr(name string) string {
	v, _ := e.get(name)
	return v
}

// all returns the children of a name.
func (e *element) all(name string) (list []*element) {
	for _, c := range e.children {
		if c.name == name {
			list = append(list, c)
		}
	}
	return list
}

// FileError is a file of a set that can't be read.
type FileError struct {
	File string
	Line int // 0 where the whole file is meant
	Why  string
	Hint string // what to do next; may be empty
	Err  error
}

func (e *FileError) Error() string {
	if e.Line > 0 {
		return fmt.Sprintf("%s: line %d: %s", e.File, e.Line, e.Why)
	}
	return e.File + ": " + e.Why
}

// Unwrap returns what lies behind the error.
func (e *FileError) Unwrap() error { return e.Err }

var byteOrderMark = []byte("\xef\xbb\xbf")

// parse reads a file of XML. Entities beyond the five of XML, and a document type, which
// could define some, are refused.
func parse(name string, data []byte) (*element, error) { return parseAfter(name, data, new(int)) }

// parseAfter reads a file after others with some elements, and adds its own to them.
func parseAfter(name string, data []byte, elements *int) (*element, error) {
	if len(data) > mostXML {
		return nil, &FileError{File: name, Why: fmt.Sprintf("has %d bytes, more than task data has", len(data))}
	}
	p := parser{name: name, data: bytes.TrimPrefix(data, byteOrderMark), line: 1, count: *elements}
	p.decoder = xml.NewDecoder(bytes.NewReader(p.data))
	if err := p.run(); err != nil {
		return nil, err
	}
	*elements = p.count
	if p.root == nil {
		return nil, p.fault("holds no element")
	}
	return p.root, nil
}

// parser builds the tree of one file.
type parser struct {
	name    string
	data    []byte
	decoder *xml.Decoder
	root    *element
	open    []*element
	count   int
	line    int
	counted int64 // up to where lines are counted
}

func (p *parser) fault(why string) error {
	return &FileError{File: p.name, Line: p.line, Why: why}
}

func (p *parser) run() error {
	for {
		token, err := p.decoder.Token()
		at := p.decoder.InputOffset()
		p.line += bytes.Count(p.data[p.counted:at], []byte("\n"))
		p.counted = at
		if err == io.EOF {
			return nil
		}
		if err != nil {
			return p.notXML(err)
		}
		if err := p.take(token); err != nil {
			return err
		}
	}
}

// notXML says why a text is no XML.
func (p *parser) notXML(err error) error {
	why := err.Error()
	var wrong *xml.SyntaxError
	if errors.As(err, &wrong) {
		why = wrong.Msg
	}
	return &FileError{File: p.name, Line: p.line, Why: "is no whole XML: " + why, Hint: "copy the folder again, or export it again", Err: err}
}

func (p *parser) take(token xml.Token) error {
	switch t := token.(type) {
	case xml.StartElement:
		return p.begin(t)
	case xml.EndElement:
		p.open = p.open[:len(p.open)-1]
	case xml.CharData:
		if text := strings.TrimSpace(string(t)); text != "" && len(p.open) > 0 {
			if e := p.open[len(p.open)-1]; len(e.text) < mostText {
				e.text += text
			}
		}
	case xml.Directive:
		return p.fault("has a document type, which task data has not")
	}
	return nil
}

func (p *parser) begin(t xml.StartElement) error {
	if p.count++; p.count > mostElements {
		return p.fault(fmt.Sprintf("has more than %d elements", mostElements))
	}
	if len(p.open) >= deepest {
		return p.fault(fmt.Sprintf("has elements more than %d deep", deepest))
	}
	e := &element{name: t.Name.Local, attrs: t.Attr, line: p.line}
	if len(t.Attr) > mostAttrs {
		return p.fault(fmt.Sprintf("<%s> has %d attributes, more than task data has", e.name, len(t.Attr)))
	}
	for i, a := range t.Attr {
		if slices.ContainsFunc(t.Attr[:i], func(b xml.Attr) bool { return a.Name == b.Name }) {
			return p.fault("<" + e.name + "> has its attribute " + a.Name.Local + " twice")
		}
	}
	switch {
	case len(p.open) > 0:
		parent := p.open[len(p.open)-1]
		parent.children = append(parent.children, e)
	case p.root != nil:
		return p.fault("has a second root, <" + e.name + ">")
	default:
		p.root = e
	}
	p.open = append(p.open, e)
	return nil
}
