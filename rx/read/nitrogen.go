package read

import (
	"math"

	"rxsplit/geo"
	"rxsplit/rx"
)

var rateOfN = rx.NewRule[shareOf]("rate-of-n", rx.AboutFile, rx.EveryPlan).InDoubt()

// shareOf is the field that rates are a share of, as N is of its product; empty if it is
// their name that speaks of N.
type shareOf struct {
	Product string
	Share   float64
}

// nitrogenShares are the shares of N in what is spread: urea, ammonium nitrate, two
// solutions, calcium ammonium nitrate, ammonium sulfate, DAP and MAP. From memory.
func nitrogenShares() []float64 { return []float64{0.46, 0.34, 0.32, 0.28, 0.27, 0.21, 0.18, 0.11} }

// namedN is rateOfN where the rates were said to be of product: a job file says it, too, and
// is used again for files of others. It is a warning, and no doubt that wants an answer.
var namedN = rx.NewRule[shareOf]("rate-named-n", rx.AboutFile, rx.EveryPlan)

// namedProduct is the other way round: rates that were said to be of N, and look like product.
var namedProduct = rx.NewRule[takenAsN]("rate-named-product", rx.AboutFile, rx.EveryPlan)

// takenAsN is the material that a field's name speaks of, empty for none; or the field that holds its
// N, by this share of it.
type takenAsN struct {
	Material, Part string
	Share          float64
}

// findProduct finds rates of product that are taken as rates of N: as urea, the field would get more
// than twice what was recommended.
func findProduct(s *suspect) (out []rx.Finding) {
	zones := s.sample(treated)
	for _, rate := range s.Fields {
		d := takenAsN{Material: namedMaterial(rate.Name)}
		for column, field := range s.Cells.Fields() {
			for _, share := range nitrogenShares() {
				if d.Part == "" && column != rate.Index && field.Kind == geo.Number && !s.isRate(column) && s.isShare(zones, column, rate.Index, share) {
					d.Part, d.Share = field.Name, share
				}
			}
		}
		if d.Part != "" || d.Material != "" {
			out = append(out, ofField(rate.Name, namedProduct.Find(rx.Warning, d)))
		}
	}
	return out
}

// findNitrogen finds rates of N that are taken as rates of product: by the field's
// name, or where another field holds the product that gives this N.
func findNitrogen(s *suspect) (out []rx.Finding) {
	rule := rateOfN
	switch {
	case s.Fields[0].Nutrient:
		return findProduct(s)
	case s.opt.RateOf != "":
		rule = namedN
	}
	zones := s.sample(treated)
	for _, rate := range s.Fields {
		product, share := s.productOf(zones, rate)
		if product != "" || speaksOfN(rate.Name) {
			out = append(out, ofField(rate.Name, rule.Find(rx.Warning, shareOf{product, share})))
		}
	}
	return out
}

// productOf finds the field of which a rate is an N share, within the rounding of
// both; empty if there is none. Fields that are added up with it count as well
// where the name says N: what is blended in proportion is no N.
func (s *suspect) productOf(zones []int, rate rx.RateField) (name string, share float64) {
	for column, field := range s.Cells.Fields() {
		if column == rate.Index || field.Kind != geo.Number || s.isRate(column) && !speaksOfN(rate.Name) {
			continue
		}
		for _, share := range nitrogenShares() {
			if s.isShare(zones, rate.Index, column, share) {
				return field.Name, share
			}
		}
	}
	return "", 0
}

// isShare reports whether one column is a share of another in all zones, and not
// all the same.
func (s *suspect) isShare(zones []int, part, whole int, share float64) bool {
	if len(zones) < 3 {
		return false
	}
	low, high := math.Inf(1), math.Inf(-1)
	for _, z := range zones {
		record := int(s.Zones[z].Record)
		a, b := s.Cells.Cell(record, part).Text, s.Cells.Cell(record, whole).Text
		n, ok := number(a)
		product, ok2 := number(b)
		rounding := 0.5 * (math.Pow10(-decimals(a)) + float64(share*math.Pow10(-decimals(b))))
		if !ok || !ok2 || product <= 0 || math.Abs(n-float64(share*product)) > min(rounding, 0.015*n)+float64(1e-9*product) {
			return false
		}
		low, high = min(low, n), max(high, n)
	}
	return high > low
}
