package invent_test

import (
	"fmt"

	"rxsplit/geo/invent"
)

func ExampleFourZones() {
	four := invent.FourZones()
	for zone, rate := range four.Rates {
		fmt.Println(rate, "lb/ac in a ring of", len(four.Shapes.Ring(zone)), "points")
	}
	// Output:
	// 100 lb/ac in a ring of 5 points
	// 180 lb/ac in a ring of 5 points
	// 250 lb/ac in a ring of 5 points
	// 300 lb/ac in a ring of 5 points
}

func ExampleGrid() {
	grid, err := invent.Grid(invent.GridOptions{Seed: 1, EPSG: 32615, Cells: 2500, CellSize: 5, Angle: 12})
	fmt.Println(grid.Shapes.Len(), len(grid.Rates), err)
	// Output: 2500 2500 <nil>
}
