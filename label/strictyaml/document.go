// Package strictyaml reads small YAML files that people write by hand into
// structs, and answers every mistake with its file, line, column and key.
//
// A struct field takes part with a tag: `yaml:"season-max"`, or
// `yaml:"name,required"`. Its type may be a string, a bool, an int, a struct, a
// pointer to a struct, a slice of these, an [encoding.TextUnmarshaler] such as
// the quantities of package unit, a string whose Choices() lists the words that it may
// be, or an [Optional] around any of them. With the
// tag `bare:"min"` a number without a unit gets that unit; with the tag
// `alone:"both"` one value may stand for a struct whose fields are alike, and fills
// all of them; with `above:"0"` a 0 is noted. Where a table lists the keys of a file instead, [DecodeKeys] takes a
// [Key] for each.
//
// All mistakes are found in one pass: unknown and repeated keys, missing ones,
// values of another type or dimension. What can be said of the values afterwards
// is added with [Document.Fail], which knows where each key stood.
//
// Of YAML only what such files need is taken: one document of mappings, lists
// and scalars. Anchors, aliases, tags, merge keys and further documents are
// mistakes. Scalars are taken as they are written, so that 03 stays "03".
package strictyaml

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"rxsplit/internal/each"
)

// Document is a file that was read: where its keys stood, and its mistakes.
type Document struct {
	file   string
	places map[string]place
	errs   Errors
	Zeros  []string // keys that are tagged to be above 0 and are not
}

type place struct {
	line, column int
	written      string // a scalar, as it stands
}

// Written returns the value of a key as it stands in the file; empty where that is no
// scalar, or where the file does not hold the key itself.
func (d *Document) Written(key string) string { return d.places[key].written }

// Decode reads data into v, a pointer to a struct. What can be read is read;
// [Document.Err] tells the rest. The name of the file is for messages only.
func Decode(file string, data []byte, v any) *Document {
	return DecodeKeys(file, data, keysOf(reflect.ValueOf(v).Elem()))
}

// DecodeKeys does the same for a file whose keys a table lists.
func DecodeKeys(file string, data []byte, keys []Key) *Document {
	d := &Document{file: file, places: map[string]place{}}
	root, err := body(data)
	if err != nil {
		d.add(err)
		return d
	}
	d.mark(root, "")
	d.mapping(root, keys, field{})
	return d
}

// Place returns the line and column of a key's value. A key that the file does not
// hold is looked for one level up, until the file is meant.
func (d *Document) Place(key string) (line, column int) {
	p := d.place(key)
	for up := key; p.line == 0 && up != ""; {
		up = parent(up)
		p = d.place(up)
	}
	return p.line, p.column
}

// place looks for the first of a list without its number as well: one that stands
// alone needs no brackets in the file.
func (d *Document) place(key string) place {
	if p, ok := d.places[key]; ok {
		return p
	}
	return d.places[strings.ReplaceAll(key, "[1]", "")]
}

// Fail adds a mistake in the value of a key, such as "rate.max", at its [Document.Place].
func (d *Document) Fail(key, what string) {
	line, column := d.Place(key)
	d.add(&Error{Line: line, Column: column, Key: key, What: what})
}

// maxErrors is how many mistakes [Document.Err] lists; one more says how many are
// left out.
const maxErrors = 20

// Err returns the mistakes as [Errors] in the order of the file, or nil.
func (d *Document) Err() error {
	if len(d.errs) == 0 {
		return nil
	}
	slices.SortStableFunc(d.errs, func(a, b *Error) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
	if more := len(d.errs) - maxErrors; more > 0 {
		rest := &Error{File: d.file, What: fmt.Sprintf("and %d more mistakes", more)}
		return append(slices.Clone(d.errs[:maxErrors]), rest)
	}
	return d.errs
}

func (d *Document) add(e *Error) {
	e.File = d.file
	d.errs = append(d.errs, e)
}

// parent cuts the last step off a key: blend[2].share, blend[2], blend, "".
func parent(key string) string {
	for i := len(key) - 1; i > 0; i-- {
		if key[i] == '.' || key[i] == '[' {
			return key[:i]
		}
	}
	return ""
}

// Error is one mistake in a file. It reads FILE:LINE:COLUMN: KEY: WHAT.
type Error struct {
	File   string
	Line   int    // from 1; 0 if the file as a whole is meant
	Column int    // from 1, in characters
	Key    string // such as rate.min or blend[2].share, lists counted from 1; may be empty
	What   string // what is wrong and what to do about it
	Err    error  // what the value's own type said; may be nil
}

// Error prints the place, the key and what is wrong, on one line.
func (e *Error) Error() string {
	var s strings.Builder
	s.WriteString(e.File)
	if e.Line > 0 {
		fmt.Fprintf(&s, ":%d:%d", e.Line, e.Column)
	}
	s.WriteString(": ")
	if e.Key != "" {
		s.WriteString(e.Key + ": ")
	}
	s.WriteString(e.What)
	return s.String()
}

// Unwrap returns what the value's own type said, such as an error of package unit.
func (e *Error) Unwrap() error { return e.Err }

// Errors are all mistakes of a file, in the order in which they stand in it.
type Errors []*Error

// Error prints one mistake a line.
func (e Errors) Error() string {
	return strings.Join(each.Of(e, (*Error).Error), "\n")
}

// Unwrap returns the mistakes, for errors.Is and errors.As.
func (e Errors) Unwrap() []error {
	return each.Of(e, func(one *Error) error { return one })
}
