package strictyaml

import (
	"cmp"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"
)

// key is a key that a struct takes.
type key struct {
	name     string
	index    int // of the struct's field
	bare     string
	alone    bool // one value may stand for the mapping
	required bool
}

// keysOf lists the keys of a struct in the order of its fields.
func keysOf(t reflect.Type) []key {
	var keys []key
	for i := range t.NumField() {
		tag := t.Field(i).Tag
		name, option, _ := strings.Cut(tag.Get("yaml"), ",")
		if name == "" || name == "-" {
			continue
		}
		keys = append(keys, key{name, i, tag.Get("bare"), tag.Get("alone") == "both", option == "required"})
	}
	return keys
}

func (d *Document) mapping(n ast.Node, v reflect.Value, f field) {
	keys := keysOf(v.Type())
	if _, ok := n.(ast.ScalarNode); ok && f.alone {
		d.alone(n, v, f, keys)
		return
	}
	m, ok := n.(*ast.MappingNode)
	if !ok {
		d.fail(n, f.key, "is not a mapping: want "+listed(keys), nil)
		return
	}
	lines := map[string]int{}
	for _, entry := range m.Values {
		name, ok := d.name(entry.Key, f)
		if !ok {
			continue
		}
		line := at(entry.Key, "").Line
		if first, again := lines[name]; again {
			d.fail(entry.Key, join(f.key, printable(name)), fmt.Sprintf("stands in line %d as well: keep one", first), nil)
			continue
		}
		lines[name] = line
		k := find(keys, name)
		if k == nil {
			d.fail(entry.Key, join(f.key, printable(name)), "is not a key that is known here: "+suggest(keys, name), nil)
			continue
		}
		d.value(entry.Value, v.Field(k.index), field{join(f.key, name), cmp.Or(k.bare, f.bare), k.alone, k.required})
	}
	for _, k := range keys {
		if _, ok := lines[k.name]; k.required && !ok {
			d.fail(n, join(f.key, k.name), "is missing: it has to be given", nil)
		}
	}
}

// alone reads one value into every key of a mapping that it stands for. What is wrong
// with it is said once, of the mapping's own key.
func (d *Document) alone(n ast.Node, v reflect.Value, f field, keys []key) {
	d.value(n, v.Field(keys[0].index), field{key: f.key, bare: f.bare, must: f.must})
	for _, k := range keys {
		v.Field(k.index).Set(v.Field(keys[0].index))
		d.mark(n, join(f.key, k.name))
	}
}

// name returns the text of a key, which must be a plain one.
func (d *Document) name(n ast.MapKeyNode, f field) (string, bool) {
	if s, ok := n.(*ast.StringNode); ok {
		return s.Value, true
	}
	d.fail(n, f.key, fmt.Sprintf("%q is no key for these files: want a plain word", shorten(n.GetToken().Value)), nil)
	return "", false
}

// printable makes a key fit to print: one that holds what a terminal would not show
// as it is, or that is long, is quoted and cut.
func printable(name string) string {
	odd := func(r rune) bool { return !unicode.IsPrint(r) }
	if strings.ContainsFunc(name, odd) || shorten(name) != name {
		return strconv.Quote(shorten(name))
	}
	return name
}

func shorten(s string) string {
	const most = 40
	if runes := []rune(s); len(runes) > most {
		return string(runes[:most]) + "..."
	}
	return s
}

func find(keys []key, name string) *key {
	for i := range keys {
		if keys[i].name == name {
			return &keys[i]
		}
	}
	return nil
}

func join(parent, name string) string {
	if parent == "" {
		return name
	}
	return parent + "." + name
}
