package strictyaml

import (
	"encoding"
	"reflect"
)

// Form is how the value of a key is entered: what a page asks for. It follows from the Go
// type that the key is read into.
type Form struct {
	Key      string // such as rate.min
	Name     string // the last part of it
	Kind     Kind
	Required bool     // within what it is a part of
	Choices  []string // of a [Choice]
	Units    []string // of an [Amount]
	Bare     string   // the unit of an [Amount] where none is entered; empty if it must be
	Alone    bool     // of a [Group]: its first part may stand for all
	Short    bool     // of a [List]: no value holds a comma
	Parts    []Form   // of a [Group]; of [Items], those of each
}

// Kind is the form of a value.
type Kind int

// The kinds.
const (
	Words  Kind = iota // a text
	Switch             // yes or no
	Choice             // one of some words
	Amount             // a number with a unit
	List               // several texts
	Group              // several keys
	Items              // several groups
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
