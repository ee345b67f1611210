package geo

import (
	"math"

	"github.com/paulmach/orb"
)

// The layers that tests and benchmarks work on: all invented, near 40° N 95° W.

var corner = orb.Point{-95, 40}

// cellSize is about 10 m in lon/lat.
var cellSize = orb.Point{0.00012, 0.00009}

// gridPoint returns a node of the grid; neighbors share its bits.
func gridPoint(col, row int) orb.Point {
	return orb.Point{corner[0] + float64(col)*cellSize[0], corner[1] + float64(row)*cellSize[1]}
}

func cell(col, row int) orb.Polygon {
	return orb.Polygon{{
		gridPoint(col, row), gridPoint(col+1, row), gridPoint(col+1, row+1), gridPoint(col, row+1), gridPoint(col, row),
	}}
}

// gridLayer returns the cells of a grid that in accepts, row by row.
func gridLayer(cols, rows int, in func(col, row int) bool) *Shapes {
	s := &Shapes{}
	for row := range rows {
		for col := range cols {
			if in == nil || in(col, row) {
				s.Append(orb.MultiPolygon{cell(col, row)})
			}
		}
	}
	return s
}

// squareGrid returns about n cells.
func squareGrid(n int) *Shapes {
	side := int(math.Round(math.Sqrt(float64(n))))
	return gridLayer(side, side, nil)
}

// lonLatOptions are those of a layer drawn in lon/lat, with a tolerance of 3 mm.
func lonLatOptions(s *Shapes) MeshOptions {
	return MeshOptions{Scale: LonLatScale(s.Extent()), Tolerance: 3 * millimeter}
}
