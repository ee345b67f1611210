package equip

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
)

// Fill is one filling of a tank.
type Fill struct {
	Area    unit.Area
	Product unit.Volume
	Further []unit.Volume // of further products, in the order in which their rates were given
	Water   unit.Volume
}

// Fills are the fillings that an area takes: full ones, then, if Last has an area,
// a partial one.
type Fills struct {
	Full  Fill
	Count int // of full ones
	Last  Fill
}

// Fills returns the fillings for an area at the boom's volume; the products are part
// of the volume: acres = gal/gpa, product = rate·acres, water = tank − products.
func (b Boom) Fills(area unit.Area, product unit.LiquidRate, further ...unit.LiquidRate) (Fills, error) {
	all := product
	for _, f := range further {
		all += f
	}
	if all > b.Volume {
		return Fills{}, fmt.Errorf("%v of product is more than the volume of the whole mix, %v", all, b.Volume)
	}
	if !(b.Volume > 0 && b.Tank > 0) {
		return Fills{}, fmt.Errorf("a tank of %v can't be emptied at %v", b.Tank, b.Volume)
	}
	full := unit.Area(b.Tank / unit.Volume(b.Volume))
	count := math.Floor(float64(area/full) + fillLeeway)
	if !(count <= mostLoads) {
		return Fills{}, fmt.Errorf("a tank of %v takes more than %d fillings for %v", b.Tank, int(mostLoads), area)
	}
	f := Fills{Full: b.fill(full, product, further), Count: int(count)}
	if rest := area - unit.Area(full*unit.Area(count)); rest > full*fillLeeway {
		f.Last = b.fill(rest, product, further)
	}
	return f, nil
}

func (b Boom) fill(area unit.Area, product unit.LiquidRate, further []unit.LiquidRate) Fill {
	p := unit.VolumeOver(product, area)
	f := Fill{Area: area, Product: p, Water: unit.VolumeOver(b.Volume, area) - p}
	for _, rate := range further {
		v := unit.VolumeOver(rate, area)
		f.Further, f.Water = append(f.Further, v), f.Water-v
	}
	return f
}

const (
	fillLeeway = 1e-9 // of a filling, below what any gauge tells
	mostLoads  = 1e6  // beyond that some number has the wrong unit
)

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
	sum := Fill{
		Area:    unit.Area(unit.Area(n)*f.Full.Area) + f.Last.Area,
		Product: unit.Volume(unit.Volume(n)*f.Full.Product) + f.Last.Product,
		Water:   unit.Volume(unit.Volume(n)*f.Full.Water) + f.Last.Water,
	}
	for i, v := range f.Full.Further {
		sum.Further = append(sum.Further, unit.Volume(unit.Volume(n)*v))
		if f.Last.Area > 0 {
			sum.Further[i] += f.Last.Further[i]
		}
	}
	return sum
}

// MeterStep is what a meter of stabilizer reads to, 1 fl oz or 1 mL; common practice,
// no source.
func MeterStep(s unit.System) unit.Volume { return pick(s, unit.FluidOunce, unit.Milliliter) }

// waterStep is what water is metered to, a hundredth of a gallon or liter.
func waterStep(s unit.System) unit.Volume { return pick(s, unit.Gallon, unit.Liter) / 100 }

// Metered returns a volume as a meter of a step reads it: the nearest step for which
// keeps holds, or the other one beside the exact volume, or a tenth or a hundredth of a
// step where neither does; where none of them does, the hundredth below: above the label
// is a violation, and below is not.
func Metered(exact, step unit.Volume, keeps func(unit.Volume) bool) unit.Volume {
	for range 3 {
		near := math.Round(float64(exact / step))
		other := near + 1
		if near > float64(exact/step) {
			other = near - 1
		}
		for _, n := range []float64{near, other} {
			if v := unit.Volume(n) * step; v > 0 && keeps(v) {
				return v
			}
		}
		step /= 10
	}
	return unit.Volume(math.Floor(float64(exact/step)/10*(1+1e-12))) * 10 * step
}

// metered returns the filling as meters read it. The products are dosed so that keeps holds
// for their rates on the filling's ground, of the first and then of the further ones, as
// far as [Metered] can.
func (f Fill) metered(s unit.System, keeps ...func(unit.LiquidRate) bool) Fill {
	dose := func(v unit.Volume, keeps func(unit.LiquidRate) bool) unit.Volume {
		return Metered(v, MeterStep(s), func(v unit.Volume) bool { return keeps(f.Rate(v)) })
	}
	m := Fill{Area: f.Area, Product: dose(f.Product, keeps[0])}
	for i, v := range f.Further {
		m.Further = append(m.Further, dose(v, keeps[1+i]))
	}
	m.Water = unit.Volume(math.Round(float64(f.Water/waterStep(s)))) * waterStep(s)
	return m
}

// Rate returns the rate that a volume of product makes on the filling's ground.
func (f Fill) Rate(product unit.Volume) unit.LiquidRate {
	return unit.LiquidRate(float64(product) / float64(f.Area))
}

// Metered returns the fillings as meters read them, each by itself: a total is the sum
// of what is metered.
func (f Fills) Metered(s unit.System, keeps ...func(unit.LiquidRate) bool) Fills {
	m := Fills{Full: f.Full.metered(s, keeps...), Count: f.Count}
	if f.Last.Area > 0 {
		m.Last = f.Last.metered(s, keeps...)
	}
	return m
}
