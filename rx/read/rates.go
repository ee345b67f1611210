package read

import (
	"math"
	"slices"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What speaks against the column that is taken for the rates, or against its unit.
var (
	rateLow      = rx.NewRule[oddMean]("rate-low", rx.AboutFile, rx.EveryPlan).InDoubt()
	rateZero     = rx.NewRule[rx.Nothing]("rate-zero", rx.AboutFile, rx.EveryPlan)
	rateHigh     = rx.NewRule[oddMean]("rate-high", rx.AboutFile, rx.EveryPlan).InDoubt()
	rateIsID     = rx.NewRule[rowNumbers]("rate-is-id", rx.AboutFile, rx.EveryPlan).InDoubt()
	rateIsArea   = rx.NewRule[areasInstead]("rate-is-area", rx.AboutFile, rx.EveryPlan).InDoubt()
	rateDecimals = rx.NewRule[cutDecimals]("rate-decimals", rx.AboutFile, rx.EveryPlan)
	ratePerArea  = rx.NewRule[otherArea]("rate-per-area", rx.AboutFile, rx.EveryPlan).InDoubt()
)

// What the mean of a dry rate can hardly be: less than a spreader meters, more
// than is ever spread.
const (
	lowestMean  = 15 * unit.PoundPerAcre
	highestMean = 3000 * unit.PoundPerAcre
)

// oddMean is a mean that a dry rate can hardly have.
type oddMean struct {
	Mean  unit.DryRate
	Usual rx.Range[unit.DryRate]
}

// findOddMean finds rates in the wrong unit, and none at all.
func findOddMean(s *suspect) []rx.Finding {
	treated := s.TreatedArea()
	if treated <= 0 {
		if f := rateZero.Find(rx.Warning, rx.Nothing{}); f.Where(s.Prescription, func(i int) bool { return s.Zones[i].HasRate() }) {
			return []rx.Finding{ofField(s.Fields[0].Name, f)}
		}
		return nil
	}
	d := oddMean{unit.DryRate(float64(s.DryMass()) / float64(treated)), rx.Range[unit.DryRate]{Min: lowestMean, Max: highestMean}}
	switch {
	case d.Mean < lowestMean:
		return []rx.Finding{rateLow.Find(rx.Warning, d)}
	case d.Mean > highestMean:
		return []rx.Finding{rateHigh.Find(rx.Warning, d)}
	}
	return nil
}

// fewestRows is how many zones it takes to tell a row number from a rate.
const fewestRows = 5

// rowNumbers are the first and the last of numbers that grow from row to row.
type rowNumbers struct{ First, Last float64 }

// findRowNumbers finds a rate field that is an id of the rows: whole numbers that grow
// from record to record and leave out no more than every other number. Rates that
// were sorted grow as well, but in longer steps.
func findRowNumbers(s *suspect) (out []rx.Finding) {
	for f, field := range s.Fields {
		if first, last, ok := s.grows(f); ok {
			out = append(out, ofField(field.Name, rateIsID.Find(rx.Warning, rowNumbers{first, last})))
		}
	}
	return out
}

// ofField names the field that a finding is about.
func ofField(name string, f rx.Finding) rx.Finding {
	f.Field = name
	return f
}

func (s *suspect) grows(f int) (first, last float64, ok bool) {
	n := 0
	for z, zone := range s.Zones {
		if !zone.HasRate() {
			continue
		}
		v, ok := s.number(z, s.Fields[f].Index)
		if !ok || v != math.Trunc(v) || n > 0 && v <= last {
			return 0, 0, false
		}
		if n == 0 {
			first = v
		}
		last = v
		n++
	}
	return first, last, n >= fewestRows && last-first <= 2*float64(n-1)
}

// areasInstead names the unit of the areas that stand for rates.
type areasInstead struct{ Unit string }

// findRateIsArea finds a rate field that repeats the zones' areas, which differ.
func findRateIsArea(s *suspect) (out []rx.Finding) {
	zones := s.sample(treated)
	least, most := math.Inf(1), 0.0
	var areas []unit.Area
	for _, z := range zones {
		areas = append(areas, s.Zones[z].Area)
		least, most = min(least, float64(s.Zones[z].Area)), max(most, float64(s.Zones[z].Area))
	}
	if most < 1.1*least {
		return nil
	}
	for _, field := range s.Fields {
		same := newAreaMatch(areas)
		for i, z := range zones {
			if v, ok := s.number(z, field.Index); ok {
				same.add(i, v)
			}
		}
		symbol := same.unit(len(zones))
		if symbol == "" {
			continue
		}
		out = append(out, ofField(field.Name, rateIsArea.Find(rx.Warning, areasInstead{symbol})))
	}
	return out
}

var rateOverflow = rx.NewRule[rx.Nothing]("rate-overflow", rx.AboutFile, rx.EveryPlan)

// overflowed tells of rates whose cells hold asterisks, which programs write where a number
// is wider than its column: the rate is lost, not left out.
func (f *File) overflowed(fields []rx.RateField) (out []rx.Finding) {
	for _, r := range f.Layer.Remarks {
		if r.Rule == "overflow" && slices.Contains(fieldNames(fields), r.Name) {
			found := ofField(r.Name, rateOverflow.Find(rx.Warning, rx.Nothing{}))
			found.Zones = numbers(r.Records)
			out = append(out, found)
		}
	}
	return out
}

// cutDecimals is one of the rates that others cut, as it stands.
type cutDecimals struct{ Such string }

// findCutDecimals finds rates with decimals in a DBF field that declares none: others
// read such a field as whole numbers, and 150.75 as 150.
func findCutDecimals(s *suspect) (out []rx.Finding) {
	all := s.Cells.Fields()
	for _, rate := range s.Fields {
		if field := all[rate.Index]; field.Width == 0 || field.Decimals > 0 || field.Kind != geo.Number {
			continue
		}
		var zones []int
		got := ""
		for z := range s.Zones {
			if decimals(s.Cells.Cell(int(s.Zones[z].Record), rate.Index).Text) == 0 {
				continue
			}
			if v, ok := s.number(z, rate.Index); ok && v != math.Trunc(v) {
				if zones == nil {
					got = string(s.Cells.Cell(int(s.Zones[z].Record), rate.Index).Text)
				}
				zones = append(zones, s.Zones[z].Number())
			}
		}
		if zones == nil {
			continue
		}
		f := ofField(rate.Name, rateDecimals.Find(rx.Warning, cutDecimals{got}))
		f.Zones = zones
		out = append(out, f)
	}
	return out
}

// amounts are what a column of amounts a zone counts its rate's unit in: a rate of
// lb/ac gives pounds, or tons where it is 1/2000 of them.
var amounts = [...]struct {
	area   unit.Area
	per    string
	factor float64
}{
	{unit.Acre, "acre", 1}, {unit.Acre, "acre", 1. / 2000},
	{unit.Hectare, "hectare", 1}, {unit.Hectare, "hectare", 1. / 1000},
}

// otherArea is a unit of area that rates count by, and another that they were taken by.
type otherArea struct{ Amounts, Per, Taken string }

// findOtherArea finds rates per hectare that are taken as rates per acre, and the
// other way round: where a column holds the amounts of the zones, it says how many
// areas of which unit a rate was multiplied with.
func findOtherArea(s *suspect) []rx.Finding {
	if len(s.Fields) > 1 {
		return nil
	}
	rate := s.Fields[0]
	taken := "acre"
	if perHectare(rate) {
		taken = "hectare"
	}
	zones := s.sample(treated)
	for column, field := range s.Cells.Fields() {
		per := s.amountPer(zones, column)
		if s.isRate(column) || per == "" || per == taken {
			continue
		}
		return []rx.Finding{ofField(rate.Name, ratePerArea.Find(rx.Warning, otherArea{field.Name, per, taken}))}
	}
	return nil
}

// amountPer returns the unit of area by which a column is the rate times the area;
// empty if it is no such thing.
func (s *suspect) amountPer(zones []int, column int) string {
	var hits [len(amounts)]int
	for _, z := range zones {
		amount, ok := s.number(z, column)
		if !ok {
			continue
		}
		rate := float64(s.Zones[z].Dry / s.Fields[0].Unit)
		for i, a := range amounts {
			if math.Abs(amount/(rate*float64(s.Zones[z].Area/a.area)*a.factor)-1) < 0.02 {
				hits[i]++
			}
		}
	}
	for i, n := range hits {
		if len(zones) > 2 && float64(n) >= nearlyAll*float64(len(zones)) {
			return amounts[i].per
		}
	}
	return ""
}
