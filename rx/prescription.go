// Package rx holds the nouns of the job: the prescription and its zones, what is
// found about them, the ways to release it, and the plan that is written.
//
// The job is five calls, each in a package named for its verb:
//
//	read.Open, read.Prescription   a file becomes a [Prescription]
//	check.Grade                    a verdict for each zone: an [Assessment]
//	split.Ways, split.Plan         the ways to release it; one of them as a [Plan]
//	sheet.For                      the work sheets of a plan
//	write.Plan, write.Verify       the files, all or nothing, proved by reading them back
//
// Findings are data from the first stage to the last; printing comes last.
package rx

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// Prescription is a variable-rate prescription as it was read: the zones of one
// file with their dry rates.
type Prescription struct {
	Source   Source
	Drawn    *geo.Shapes // a record each, in the file's own coordinates
	LonLat   *geo.Shapes // the same, WGS 84; the same slab where the file is in lon/lat
	Mesh     *geo.Mesh   // the topology of Drawn
	Cells    geo.Attributes
	Fields   []RateField // what the blend's rate is made of, at least one
	Zones    []Zone      // in file order
	Rates    []unit.DryRate
	Findings []Finding // about the file
}

// Source says which file a prescription came from and how it was understood.
type Source struct {
	Path    string // as the user named it; "-" is standard input
	Name    string // base name, for messages
	Layer   string // inside the file
	Format  string // a name of the formats that rx/read lists
	System  string // name of the coordinate system
	EPSG    int    // 0 if unknown
	Records int
	Files   []SourceFile // all the parts that were read
}

// SourceFile is one part of a source.
type SourceFile struct {
	Name   string // base name
	SHA256 string // in hex
	Size   int64
}

// SHA256 returns the digest of the file that the user named.
func (s Source) SHA256() string {
	if len(s.Files) == 0 {
		return ""
	}
	return s.Files[0].SHA256
}

// SystemText names the coordinate system with its code, where that is known.
func (s Source) SystemText() string {
	if s.EPSG == 0 {
		return s.System
	}
	return fmt.Sprintf("%s (EPSG:%d)", s.System, s.EPSG)
}

// RateField is one field of the source that is, or adds to, the dry rate.
type RateField struct {
	Name     string
	Index    int          // in Prescription.Cells
	Unit     unit.DryRate // of one in the file, as product: lb/ac, kg/ha..., over the nutrient's share
	Symbol   string       // of the unit in the file, such as "kg/ha"
	Carrier  bool         // the stabilizer rides on this product
	Share    unit.Ratio   // of the blend's weight, where the fields are one blend; else 0
	Grade    string       // "46-0-0", if given
	Nutrient bool         // a number in the file counts nutrient N, not product
	SaysN    bool         // its name speaks of N
}

// Counts says what a number in the file counts, such as "lb/ac of product".
func (f RateField) Counts() string {
	if f.Nutrient {
		return f.Symbol + " of N"
	}
	return f.Symbol + " of product"
}

// Zone is one record of the source that has a polygon.
type Zone struct {
	Record  int32        // place in the file, from 0
	Area    unit.Area    // geodesic, as drawn
	Dry     unit.DryRate // of all products together; NaN if the record has none
	Carrier unit.DryRate // of the product that is impregnated: Dry for one blend
}

// Number returns the zone's number: the record's place in the file, from 1.
func (z Zone) Number() int { return int(z.Record) + 1 }

// HasRate reports whether the record has a rate, 0 included.
func (z Zone) HasRate() bool { return !math.IsNaN(float64(z.Dry)) }

// Treated reports whether dry product is spread on the zone and may carry
// stabilizer there.
func (z Zone) Treated() bool { return z.Carrier > 0 }

// FieldRate returns the product rate that field f of the prescription has in
// zone z (an index of Zones); NaN if there is none, also where another field has none:
// a zone has the rates of all its products or no rate.
func (p *Prescription) FieldRate(z, f int) unit.DryRate {
	if zone := p.Zones[z]; len(p.Fields) == 1 || !zone.HasRate() {
		return zone.Dry
	}
	return p.Rates[z*len(p.Fields)+f]
}

// Blend reports whether the rate fields are one blend, spread together.
func (p *Prescription) Blend() bool { return len(p.Fields) == 1 || p.Fields[0].Share > 0 }

// Grades lists the analyses of the rate fields; none if one is missing.
func (p *Prescription) Grades() []equip.Grade {
	var grades []equip.Grade
	for _, f := range p.Fields {
		g, err := equip.ParseGrade(f.Grade)
		if err != nil {
			return nil
		}
		grades = append(grades, g)
	}
	return grades
}

// CarrierField returns the index of the field whose product is impregnated; for
// one blend, -1.
func (p *Prescription) CarrierField() int {
	if p.Blend() {
		return -1
	}
	for i, f := range p.Fields {
		if f.Carrier {
			return i
		}
	}
	return -1
}

// sum adds f over the zones in fixed blocks in file order, so that the result
// is the same on any number of cores.
func (p *Prescription) sum(f func(Zone) float64) float64 {
	total, block := 0.0, 0.0
	for i, z := range p.Zones {
		block += f(z)
		if i%4096 == 4095 {
			total, block = total+block, 0
		}
	}
	return total + block
}

// Where returns the numbers of the zones for which keep is true, by index, and their area;
// nil if there are none.
func (p *Prescription) Where(keep func(i int) bool) (numbers []int, area unit.Area) {
	kept, n := make([]bool, len(p.Zones)), 0
	for i := range kept {
		if kept[i] = keep(i); kept[i] {
			n++
		}
	}
	if n == 0 {
		return nil, 0
	}
	numbers = make([]int, 0, n) // a long list that grows touches several times the memory
	for i, z := range p.Zones {
		if kept[i] {
			numbers, area = append(numbers, z.Number()), area+z.Area
		}
	}
	return numbers, area
}

// Area returns the sum of the zones' areas as drawn.
func (p *Prescription) Area() unit.Area {
	return unit.Area(p.sum(func(z Zone) float64 { return float64(z.Area) }))
}

// TreatedArea returns the sum of the areas of the treated zones.
func (p *Prescription) TreatedArea() unit.Area {
	return unit.Area(p.sum(func(z Zone) float64 {
		if !z.Treated() {
			return 0
		}
		return float64(z.Area)
	}))
}

// DryArea returns the sum of the areas of the zones that get any dry product.
func (p *Prescription) DryArea() unit.Area {
	return unit.Area(p.sum(func(z Zone) float64 {
		if !(z.Dry > 0) {
			return 0
		}
		return float64(z.Area)
	}))
}

// DryMass returns the product that the prescription spreads, all fields together.
func (p *Prescription) DryMass() unit.Mass {
	return unit.Mass(p.sum(func(z Zone) float64 {
		if !z.HasRate() {
			return 0
		}
		return float64(unit.MassOver(z.Dry, z.Area))
	}))
}

// CarrierMass returns the product that would be impregnated.
func (p *Prescription) CarrierMass() unit.Mass {
	return unit.Mass(p.sum(func(z Zone) float64 {
		if !z.Treated() {
			return 0
		}
		return float64(unit.MassOver(z.Carrier, z.Area))
	}))
}

// CarrierRange returns the lowest and the highest positive carrier rate; ok is
// false if no zone is treated.
func (p *Prescription) CarrierRange() (lowest, highest unit.DryRate, ok bool) {
	for _, z := range p.Zones {
		if !z.Treated() {
			continue
		}
		if !ok || z.Carrier < lowest {
			lowest = z.Carrier
		}
		if !ok || z.Carrier > highest {
			highest = z.Carrier
		}
		ok = true
	}
	return lowest, highest, ok
}

// Grounds returns the polygons of the zones in lon/lat, by their index: [Prescription.LonLat]
// itself where every record is a zone.
func (p *Prescription) Grounds() *geo.Shapes {
	if len(p.Zones) == p.LonLat.Len() {
		return p.LonLat
	}
	s := &geo.Shapes{}
	for _, z := range p.Zones {
		s.Append(p.LonLat.Shape(int(z.Record)))
	}
	return s
}

// Place returns a point well inside zone z, in lon/lat.
func (p *Prescription) Place(z int) orb.Point {
	return geo.InteriorPoint(p.LonLat.Shape(int(p.Zones[z].Record)))
}
