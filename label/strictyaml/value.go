package strictyaml

import (
	"encoding"
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	"github.com/goccy/go-yaml/ast"
)

// optional is a value that may be left out of the file. Target is called when it
// is not, and returns a pointer to what is to be filled in.
type optional interface{ Target() any }

// field is what the decoder knows of the value it is about to read.
type field struct {
	key   string // "" is the root
	bare  string // unit of a number without one
	alone bool   // one value may stand for a mapping
	must  bool   // it has to be given
}

// value reads a node into a Go value, by the kind of the latter.
func (d *Document) value(n ast.Node, v reflect.Value, f field) {
	d.mark(n, f.key)
	if v.CanAddr() {
		switch to := v.Addr().Interface().(type) {
		case optional:
			d.value(n, reflect.ValueOf(to.Target()).Elem(), f)
			return
		case encoding.TextUnmarshaler:
			d.text(n, to, f)
			return
		case interface{ Choices() []string }:
			d.choice(n, v, to.Choices(), f)
			return
		}
	}
	switch v.Kind() {
	case reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		d.value(n, v.Elem(), f)
	case reflect.Struct:
		d.mapping(n, keysOf(v), f)
	case reflect.Slice:
		d.list(n, v, f)
	default:
		d.scalar(n, v, f)
	}
}

func (d *Document) mark(n ast.Node, key string) {
	e := at(n, "")
	p := place{line: e.Line, column: e.Column}
	if scalar, ok := n.(ast.ScalarNode); ok && n.Type() != ast.NullType {
		p.written = strings.TrimSpace(scalar.GetToken().Value)
	}
	d.places[key] = p
}

func (d *Document) fail(n ast.Node, key, what string, cause error) {
	e := at(n, what)
	e.Key, e.Err = key, cause
	d.add(e)
}

// list reads a sequence, or one element that stands alone.
func (d *Document) list(n ast.Node, v reflect.Value, f field) {
	nodes := []ast.Node{n}
	if sequence, ok := n.(*ast.SequenceNode); ok {
		nodes = sequence.Values
	}
	v.Set(reflect.MakeSlice(v.Type(), len(nodes), len(nodes)))
	for i, node := range nodes {
		key := f.key
		if len(nodes) > 1 || node != n {
			key = fmt.Sprintf("%s[%d]", f.key, i+1)
		}
		d.value(node, v.Index(i), field{key: key, bare: f.bare})
	}
}

func (d *Document) text(n ast.Node, to encoding.TextUnmarshaler, f field) {
	s, ok := d.short(n, f)
	if !ok {
		return
	}
	if _, err := strconv.ParseFloat(s, 64); err == nil && f.bare != "" {
		s += " " + f.bare
	}
	if err := to.UnmarshalText([]byte(s)); err != nil {
		d.fail(n, f.key, err.Error(), err)
	}
}

// choice reads one of some words.
func (d *Document) choice(n ast.Node, v reflect.Value, words []string, f field) {
	s, ok := d.short(n, f)
	if !ok {
		return
	}
	if v.SetString(strings.TrimSpace(s)); !slices.Contains(words, v.String()) {
		d.fail(n, f.key, fmt.Sprintf("%q is not one of %s", s, strings.Join(words, ", ")), nil)
	}
}

func (d *Document) scalar(n ast.Node, v reflect.Value, f field) {
	read := d.short
	if v.Kind() == reflect.String {
		read = d.written
	}
	s, ok := read(n, f)
	if !ok {
		return
	}
	if err := setScalar(v, s); err != nil {
		d.fail(n, f.key, err.Error(), err)
	}
}

func setScalar(v reflect.Value, s string) error {
	switch v.Kind() {
	case reflect.String:
		v.SetString(s)
	case reflect.Bool:
		switch s {
		case "yes", "true":
			v.SetBool(true)
		case "no", "false":
			v.SetBool(false)
		default:
			return fmt.Errorf("%q is not yes or no", s)
		}
	case reflect.Int:
		i, err := strconv.Atoi(s)
		if err != nil {
			return fmt.Errorf("%q is not a whole number", s)
		}
		v.SetInt(int64(i))
	default:
		return errors.New("can't be read into a " + v.Type().String())
	}
	return nil
}

// longest is how long a value may be that is not a text: messages quote it.
const longest = 100

// short returns a scalar that is not a text, as it is written in the file.
func (d *Document) short(n ast.Node, f field) (s string, ok bool) {
	s, ok = d.written(n, f)
	if ok && len(s) > longest {
		d.fail(n, f.key, "is too long for one value", nil)
		return "", false
	}
	return s, ok
}

// written returns a scalar as it is written in the file.
func (d *Document) written(n ast.Node, f field) (s string, ok bool) {
	switch n := n.(type) {
	case *ast.StringNode:
		return n.Value, true
	case *ast.LiteralNode:
		return n.Value.Value, true
	case *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.InfinityNode, *ast.NanNode:
		return n.GetToken().Value, true
	case *ast.NullNode:
		what := "has no value: give one, or leave the key out"
		if f.must {
			what = "has no value: it has to be given"
		}
		d.fail(n, f.key, what, nil)
	case *ast.MappingNode:
		d.fail(n, f.key, "is a mapping: want one value", nil)
	case *ast.SequenceNode:
		d.fail(n, f.key, "is a list: want one value", nil)
	default:
		d.fail(n, f.key, "has an anchor, alias or tag, which these files don't use: write the value", nil)
	}
	return "", false
}
