package report

import "rxsplit/rx"

// LayerProduct says what a layer applies.
func LayerProduct(l rx.Layer) string {
	switch {
	case l.Product == rx.Liquid:
		return "stabilizer in water"
	case ProductCount(&l) > 1:
		return "dry, all together"
	}
	return dryApplied(l.Treated)
}

func dryApplied(treated bool) string {
	if treated {
		return "treated dry"
	}
	return "untreated dry"
}

// ProductOfLayer is one of the products that a layer spreads side by side.
type ProductOfLayer struct {
	*rx.Spread
	Name    string // of the product
	Applies string // as [LayerProduct] says it
}

// ProductCount returns of how many products a layer spreads some, side by side; 0 for
// one blend.
func ProductCount(l *rx.Layer) int {
	n := 0
	for _, c := range l.Columns {
		if c.Spread != nil && c.Spread.Zones > 0 {
			n++
		}
	}
	return n
}

// ProductsOf lists what a layer spreads of each of several products; none for one
// blend, or where it spreads one of them alone.
func ProductsOf(p *rx.Prescription, l *rx.Layer) []ProductOfLayer {
	if ProductCount(l) < 2 {
		return nil
	}
	var list []ProductOfLayer
	for _, c := range l.Columns {
		if c.Spread.Zones > 0 {
			list = append(list, ProductOfLayer{c.Spread, p.Fields[c.Field].Name, dryApplied(c.Spread.Treated)})
		}
	}
	return list
}
