package label_test

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// A profile says what it knows; what it leaves out is unknown.
func Example() {
	p, err := label.Parse("label.yaml", []byte(`
name: Invented inhibitor
rate: {min: 20 fl oz/ac, max: 40 fl oz/ac}
max-liquid: 3 gal/ton
`))
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("middle of the label:", p.Rate.Middle())
	if most, known := p.MaxLiquid.Get(); known {
		fmt.Println("most liquid:", most.Brief(unit.US), "or", most.Brief(unit.Metric))
	}
	_, known := p.SeasonMax.Get()
	fmt.Println("season maximum known:", known)
	// Output:
	// middle of the label: 30 fl oz/ac
	// most liquid: 384 fl oz/ton or 12,518 mL/t
	// season maximum known: false
}

// Each mistake has its place, its key, and what to do.
func ExampleParse() {
	_, err := label.Parse("label.yaml", []byte("name: x\nrate: {min: 20 lb/ac, max: 40 fl oz/ac}\nbase: oil\n"))
	fmt.Println(err)
	// Output:
	// label.yaml:2:13: rate.min: "20 lb/ac" is a dry rate: want a liquid rate such as "30 fl oz/ac"
	// label.yaml:3:7: base: "oil" is not one of unknown, water, solvent
}
