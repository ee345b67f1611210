package unit_test

import (
	"fmt"

	"rxsplit/label/unit"
)

func Example() {
	rate, _ := unit.Parse[unit.DryRate]("200 lb/ac")
	loading, _ := unit.Parse[unit.Loading]("2.5 gal/ton")
	fmt.Println(rate.Brief(unit.Metric))
	fmt.Println(loading)
	fmt.Println(unit.StabilizerRate(loading, rate))
	fmt.Println(unit.MassOver(rate, 160*unit.Acre))
	// Output:
	// 224.2 kg/ha
	// 320 fl oz/ton
	// 32 fl oz/ac
	// 32000 lb
}

func ExampleError() {
	_, err := unit.Parse[unit.Volume]("30 oz")
	fmt.Println(err)
	// Output: "30 oz" has "oz", which is a weight: a volume is in "fl oz": want a volume of liquid such as "120 gal"
}
