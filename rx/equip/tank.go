package equip

import (
	"fmt"
	"iter"
	"math"

	"rxsplit/label/unit"
)

// Fill is one filling of a tank.
type Fill struct {
	Area    unit.Area
	Product unit.Volume
	Water   unit.Volume
}

// Mix returns the volume of the filling.
func (f Fill) Mix() unit.Volume { return f.Product + f.Water }

// Fills are the fillings that an area takes: full ones, then, if Last has an area,
// a partial one.
type Fills struct {
	Full  Fill
	Count int // of full ones
	Last  Fill
}

// Fills returns the fillings for an area at the boom's volume; the product is part
// of the volume: acres = gal/gpa, product = rate·acres, water = tank − product.
func (b Boom) Fills(area unit.Area, product unit.LiquidRate) (Fills, error) {
	if product > b.Volume {
		return Fills{}, fmt.Errorf("%v of product is more than the volume of the whole mix, %v", product, b.Volume)
	}
	if !(b.Volume > 0 && b.Tank > 0) {
		return Fills{}, fmt.Errorf("a tank of %v can't be emptied at %v", b.Tank, b.Volume)
	}
	full := unit.Area(b.Tank / unit.Volume(b.Volume))
	count := math.Floor(float64(area/full) + fillLeeway)
	if !(count <= mostLoads) {
		return Fills{}, fmt.Errorf("a tank of %v takes more than %d fillings for %v", b.Tank, int(mostLoads), area)
	}
	f := Fills{Full: b.fill(full, product), Count: int(count)}
	if rest := area - full*unit.Area(count); rest > full*fillLeeway {
		f.Last = b.fill(rest, product)
	}
	return f, nil
}

func (b Boom) fill(area unit.Area, product unit.LiquidRate) Fill {
	p := unit.VolumeOver(product, area)
	return Fill{Area: area, Product: p, Water: unit.VolumeOver(b.Volume, area) - p}
}

const (
	fillLeeway = 1e-9 // of a filling, below what any gauge tells
	mostLoads  = 1e6  // beyond that some number has the wrong unit
)

// All yields the fillings in their order, numbered from 1.
func (f Fills) All() iter.Seq2[int, Fill] {
	return func(yield func(int, Fill) bool) {
		for i := range f.Count {
			if !yield(i+1, f.Full) {
				return
			}
		}
		if f.Last.Area > 0 {
			yield(f.Count+1, f.Last)
		}
	}
}

// Number returns how many fillings there are, the partial one included.
func (f Fills) Number() int {
	if f.Last.Area > 0 {
		return f.Count + 1
	}
	return f.Count
}

// Total returns the sum of all fillings.
func (f Fills) Total() Fill {
	n := float64(f.Count)
	return Fill{
		Area:    unit.Area(n)*f.Full.Area + f.Last.Area,
		Product: unit.Volume(n)*f.Full.Product + f.Last.Product,
		Water:   unit.Volume(n)*f.Full.Water + f.Last.Water,
	}
}
