package read

import (
	"fmt"
	"math"
	"strings"

	"rxsplit/geo"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

var blendRounded = rx.NewRule[oneBlend]("blend-rounded", rx.AboutFile, rx.EveryPlan)

// oneBlend are the fields of one blend with their shares.
type oneBlend struct{ Fields []rx.RateField }

// carry settles what the stabilizer rides on: the sum of the fields where they
// are one blend, else the product that the user names.
func carry(p *rx.Prescription, carrier string) error {
	if carrier == "" && len(p.Fields) == 1 {
		p.Fields[0].Share = 1
		return nil
	}
	if carrier == "" {
		if blendShares(p) {
			return nil
		}
		if !roundedShares(p) {
			return &Error{
				File: p.Source.Name,
				What: "the products of " + quoted(fieldNames(p.Fields)) + " are not in one proportion, so they are spread side by side and not as one blend",
				Hint: "name the one that is impregnated with --carrier " + flagWord(p.Fields[0].Name),
			}
		}
		p.Findings = append(p.Findings, blendRounded.Find(rx.Note, oneBlend{p.Fields}))
		return nil
	}
	at, several := named(fieldNames(p.Fields), carrier)
	if several {
		return severalFields(p.Source.Name, "--carrier", carrier, quoted(fieldNames(p.Fields)))
	}
	if at < 0 {
		return &Error{File: p.Source.Name, What: fmt.Sprintf("--carrier %s is none of its rate fields", carrier), Hint: "name one of " + quoted(fieldNames(p.Fields))}
	}
	if len(p.Fields) == 1 {
		p.Fields[0].Share = 1
		return nil
	}
	p.Fields[at].Carrier = true
	for z := range p.Zones {
		if p.Zones[z].HasRate() {
			p.Zones[z].Carrier = p.FieldRate(z, at)
		}
	}
	return nil
}

// blendShares sets the share of each field and reports whether it is the same in
// every zone, within a millionth.
func blendShares(p *rx.Prescription) bool {
	shares := make([]float64, len(p.Fields))
	first := true
	for z, zone := range p.Zones {
		if !(zone.Dry > 0) {
			continue
		}
		for f := range p.Fields {
			share := float64(p.FieldRate(z, f) / zone.Dry)
			if first {
				shares[f] = share
			}
			if math.Abs(share-shares[f]) > 1e-6 {
				return false
			}
		}
		first = false
	}
	for f := range p.Fields {
		p.Fields[f].Share = unit.Ratio(shares[f])
	}
	return true
}

// mostRounding is how far a zone's share may stand from the blend's at all: where rates
// are so low that their digits say nothing, nothing is explained by them.
const mostRounding = 0.02

// roundedShares sets the share of each field and reports whether one blend makes the rates
// of every zone once they are rounded to the digits that their columns hold: to whole
// pounds, 60, 25 and 15 % of 133 lb are 80, 33 and 20.
func roundedShares(p *rx.Prescription) bool {
	off := make([]unit.DryRate, len(p.Fields)) // by what a stored rate may be off
	var most unit.DryRate
	for f, field := range p.Fields {
		off[f] = unit.DryRate(unit.DryRate(0.5*math.Pow10(-digitsOf(p, field.Index))) * field.Unit)
		most += off[f]
	}
	sums, total := make([]unit.DryRate, len(p.Fields)), unit.DryRate(0)
	from, to := make([]float64, len(p.Fields)), make([]float64, len(p.Fields))
	for f := range to {
		to[f] = 1
	}
	for z, zone := range p.Zones {
		if !(zone.Dry > 0) {
			continue
		}
		total += zone.Dry
		for f := range p.Fields {
			r := p.FieldRate(z, f)
			sums[f] += r
			others, leeway := zone.Dry-r, most-off[f]
			low, high := max(r-off[f], 0), r+off[f]
			from[f] = max(from[f], float64(low/(low+others+leeway)))
			to[f] = min(to[f], float64(high/(high+max(others-leeway, 0))))
		}
	}
	for f := range p.Fields {
		if !(total > 0) || from[f] > to[f]+1e-9 {
			return false
		}
		p.Fields[f].Share = unit.Ratio(sums[f] / total)
	}
	return nearShares(p)
}

// nearShares reports whether every zone's shares are near those of the blend; else the
// fields have none.
func nearShares(p *rx.Prescription) bool {
	for z, zone := range p.Zones {
		for f := range p.Fields {
			if zone.Dry > 0 && math.Abs(float64(p.FieldRate(z, f)/zone.Dry)-float64(p.Fields[f].Share)) > mostRounding {
				for f := range p.Fields {
					p.Fields[f].Share = 0
				}
				return false
			}
		}
	}
	return true
}

// digitsOf returns how many decimals the numbers of a column have, zeros at their end left
// aside.
func digitsOf(p *rx.Prescription, column int) (most int) {
	for _, z := range p.Zones {
		cell := p.Cells.Cell(int(z.Record), column)
		if text := string(cell.Text); cell.Kind != geo.Null && strings.Contains(text, ".") {
			most = max(most, decimals([]byte(strings.TrimRight(text, "0"))))
		}
	}
	return most
}

func fieldNames(fields []rx.RateField) []string {
	return each.Of(fields, func(f rx.RateField) string { return f.Name })
}

func quoted(names []string) string { return strings.Join(names, ", ") }
