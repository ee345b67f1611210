package strictyaml

import (
	"cmp"
	"encoding"
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"unicode"

	"github.com/goccy/go-yaml/ast"

	"rxsplit/internal/each"
)

// Key is a key that a mapping takes.
type Key struct {
	Name     string
	Into     any    // pointer to what its value is read into
	Bare     string // unit of a number without one
	Alone    bool   // one value may stand for a mapping whose fields are alike
	Required bool
	Above0   bool // 0 is noted for [Document.Zeros]
}

// keysOf lists the keys of a struct in the order of its fields.
func keysOf(v reflect.Value) []Key {
	var keys []Key
	for i := range v.NumField() {
		tag := v.Type().Field(i).Tag
		name, option, _ := strings.Cut(tag.Get("yaml"), ",")
		if name == "" || name == "-" {
			continue
		}
		keys = append(keys, Key{name, v.Field(i).Addr().Interface(), tag.Get("bare"), tag.Get("alone") == "both", option == "required", tag.Get("above") == "0"})
	}
	return keys
}

func (d *Document) mapping(n ast.Node, keys []Key, f field) {
	if _, ok := n.(ast.ScalarNode); ok && f.alone {
		d.alone(n, keys, f)
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
		d.value(entry.Value, k.target(), field{join(f.key, name), cmp.Or(k.Bare, f.bare), k.Alone, k.Required})
		if v := k.target(); k.Above0 && isZero(v) {
			d.Zeros = append(d.Zeros, join(f.key, name))
		}
	}
	for _, k := range keys {
		if _, ok := lines[k.Name]; k.Required && !ok {
			d.fail(n, join(f.key, k.Name), "is missing: it has to be given", nil)
		}
	}
}

// alone reads one value into every key of a mapping that it stands for. What is wrong
// with it is said once, of the mapping's own key.
func (d *Document) alone(n ast.Node, keys []Key, f field) {
	first := keys[0].target()
	d.value(n, first, field{key: f.key, bare: f.bare, must: f.must})
	for _, k := range keys {
		k.target().Set(first)
		d.mark(n, join(f.key, k.Name))
	}
}

// isZero reports whether a value that was read is 0, whether or not it could be left out.
func isZero(v reflect.Value) bool {
	if to, ok := v.Addr().Interface().(optional); ok {
		v = reflect.ValueOf(to.Target()).Elem()
	}
	return v.IsZero()
}

func (k Key) target() reflect.Value { return reflect.ValueOf(k.Into).Elem() }

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

func find(keys []Key, name string) *Key {
	for i := range keys {
		if keys[i].Name == name {
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

// suggest names the key that was probably meant, or else all of them.
func suggest(keys []Key, name string) string {
	if best := Nearest(keyNames(keys), name); best != "" {
		return "did you mean " + best + "?"
	}
	return "want " + listed(keys)
}

// Nearest returns the one of some names that was probably meant by another word; empty if
// none is near.
func Nearest(names []string, word string) string {
	best, least := "", 3
	for _, name := range names {
		if n := distance(strings.ToLower(word), name); n < least && n < len(word) {
			best, least = name, n
		}
	}
	return best
}

func keyNames(keys []Key) []string { return each.Of(keys, func(k Key) string { return k.Name }) }

func listed(keys []Key) string { return strings.Join(keyNames(keys), ", ") }

// distance is the Levenshtein distance of two short words, with "_" and "-"
// taken for the same.
func distance(a, b string) int {
	a = strings.ReplaceAll(a, "_", "-")
	if len(a) > 40 {
		return len(a)
	}
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			change := diagonal
			if a[i] != b[j] {
				change++
			}
			diagonal = row[j+1]
			row[j+1] = min(change, diagonal+1, row[j]+1)
		}
	}
	return row[len(b)]
}

// Form is how the value of a key is entered: what a page asks for. It follows from the Go
// type that the key is read into.
type Form struct {
	Key      string // such as rate.min
	Name     string // the last part of it
	Kind     formKind
	Required bool     // within what it is a part of
	Choices  []string // of a [Choice]
	Units    []string // of an [Amount]
	Bare     string   // the unit of an [Amount] where none is entered; empty if it must be
	Alone    bool     // of a [Group]: its first part may stand for all
	Short    bool     // of a [List]: no value holds a comma
	Parts    []Form   // of a [Group]; of [Items], those of each
}

// formKind is the form of a value.
type formKind int

// The kinds.
const (
	words  formKind = iota // a text
	Switch                 // yes or no
	Choice                 // one of some words
	Amount                 // a number with a unit
	List                   // several texts
	Group                  // several keys
	Items                  // several groups
)

// Forms lists how the keys of a struct, of a pointer to it, are entered.
func Forms(v any) []Form { return FormsOf(keysOf(reflect.ValueOf(v).Elem())) }

// FormsOf does the same for keys that a table lists.
func FormsOf(keys []Key) []Form { return formsOf("", keys) }

func formsOf(parent string, keys []Key) []Form {
	var list []Form
	for _, k := range keys {
		f := formOf(join(parent, k.Name), reflect.TypeOf(k.Into).Elem(), k.Bare)
		f.Name, f.Required, f.Alone = k.Name, k.Required, k.Alone
		list = append(list, f)
	}
	return list
}

func formOf(key string, t reflect.Type, bare string) Form {
	f := Form{Key: key, Bare: bare}
	value := reflect.New(t)
	switch to := value.Interface().(type) {
	case optional:
		return formOf(key, reflect.TypeOf(to.Target()).Elem(), bare)
	case interface{ Units() []string }:
		f.Kind, f.Units = Amount, to.Units()
		return f
	case interface{ Choices() []string }:
		f.Kind, f.Choices = Choice, to.Choices()
		return f
	case encoding.TextUnmarshaler:
		return f
	}
	switch t.Kind() {
	case reflect.Pointer:
		return formOf(key, t.Elem(), bare)
	case reflect.Bool:
		f.Kind = Switch
	case reflect.Struct:
		f.Kind, f.Parts = Group, formsOf(key, keysOf(value.Elem()))
		for i := range f.Parts {
			if f.Parts[i].Bare == "" {
				f.Parts[i].Bare = bare
			}
		}
	case reflect.Slice:
		f.Kind = List
		if each := formOf(key+"[]", t.Elem(), bare); each.Kind == Group {
			f.Kind, f.Parts = Items, each.Parts
		}
		_, f.Short = reflect.New(t.Elem()).Interface().(encoding.TextUnmarshaler)
	}
	return f
}
