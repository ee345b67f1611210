package strictyaml

import (
	"reflect"
	"testing"
)

// gas is one of some words, amps an amount in one of some units.
type gas string

func (gas) Choices() []string { return []string{"town", "bottled"} }

type amps float64

func (amps) Units() []string                { return []string{"A", "mA"} }
func (*amps) UnmarshalText(b []byte) error  { return nil }
func (*letters) UnmarshalText([]byte) error { return nil }

// letters is a text type without units.
type letters string

type fuse struct {
	Size  amps `yaml:"size,required"`
	Spare amps `yaml:"spare" bare:"mA"`
}

// What a page asks for follows from the Go types, in the order of the keys.
func TestForms(t *testing.T) {
	var v struct {
		Name  string    `yaml:"name,required"`
		Fan   bool      `yaml:"fan"`
		Gas   gas       `yaml:"gas"`
		Label letters   `yaml:"label"`
		Fuse  fuse      `yaml:"fuse" bare:"A" alone:"both"`
		Next  *fuse     `yaml:"next"`
		Words []string  `yaml:"words"`
		Marks []letters `yaml:"marks"`
		Fuses []fuse    `yaml:"fuses"`
	}
	units := []string{"A", "mA"}
	parts := func(of, bare string) []Form {
		return []Form{
			{Key: of + ".size", Name: "size", Kind: Amount, Required: true, Units: units, Bare: bare},
			{Key: of + ".spare", Name: "spare", Kind: Amount, Units: units, Bare: "mA"},
		}
	}
	for i, want := range []Form{
		{Key: "name", Name: "name", Required: true},
		{Key: "fan", Name: "fan", Kind: Switch},
		{Key: "gas", Name: "gas", Kind: Choice, Choices: []string{"town", "bottled"}},
		{Key: "label", Name: "label"},
		{Key: "fuse", Name: "fuse", Kind: Group, Bare: "A", Alone: true, Parts: parts("fuse", "A")},
		{Key: "next", Name: "next", Kind: Group, Parts: parts("next", "")},
		{Key: "words", Name: "words", Kind: List},
		{Key: "marks", Name: "marks", Kind: List, Short: true},
		{Key: "fuses", Name: "fuses", Kind: Items, Parts: parts("fuses[]", "")},
	} {
		if got := Forms(&v)[i]; !reflect.DeepEqual(got, want) {
			t.Errorf("%s:\n got %+v\nwant %+v", want.Name, got, want)
		}
	}
	var m struct {
		Rest maybe `yaml:"rest"`
	}
	if got := Forms(&m); len(got) != 1 || !reflect.DeepEqual(got[0], Form{Key: "rest", Name: "rest"}) {
		t.Errorf("what may be left unsaid: got %+v", got)
	}
}
