package ground

import (
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Result is what lands on a field. Amounts are pounds of a dry layer and fluid ounces of a
// liquid one.
type Result struct {
	Field    *Field
	Products []Product
	Liquids  []Liquid
	Sampled  Extent      // the field as it was swept
	Spacing  unit.Length // of the scan lines
	Spots    []Spot
	Small    int // spots that are too small to be listed
	Findings []rx.Finding
	Strips   []onStrip   // of a plan that leaves some untreated, where its liquid was laid
	Ahead    []LookAhead // of passes, where a change of rate takes time
	tables   *coverage.Tables
	ground   *coverage.Ground // as logged
	judge    *judge
	drawn    *Drawn
}

// Extent is an area with an estimate of how far it may be off.
type Extent struct{ Area, Error unit.Area }

// Product is what was laid of one layer.
type Product struct {
	Layer                                *rx.Layer
	Total, Laid, Standing, Gaps, Dropped float64
	InField, OutField, InKeepOut         float64 // amounts
	Covered, Skip, Twice, Thrice, Joints Extent  // joints are the narrow part of Twice
	Outside, KeepOut, Off                Extent
	Wanted                               unit.Area // where the layer has a rate
	OnTarget                             unit.Ratio
	Driven                               unit.Area // width times way
	Weighed                              float64   // over the total; 0 where nobody says it
	Unshown                              int       // stands of which no log shows what came out
	Delay                                *delay    // of the rate behind its target; nil if it can't be told
	Zones                                []onZone
}

// onZone is what fell of a product on a zone, and what was to.
type onZone struct {
	Target, Mean float64 // lb/ac or fl oz/ac
	OnTarget     unit.Ratio
	Covered      unit.Ratio
}

// Liquid is how a liquid stands on the field.
type Liquid struct {
	Liquid  rx.JobLiquid
	Graded  bool            // all layers that carry it were laid
	Missing []string        // layers that carry it and were not
	Limit   unit.LiquidRate // of the season; 0 where the label gives none
	Grades
	Corrected *Grades // with the amounts that were weighed; nil if none were
}

// Grades is ground by how a liquid stands on it.
type Grades struct {
	Classes Classes
	Season  Extent // all that is above the season maximum, whatever its class
}

// Classes is the ground of each [Class].
type Classes [classes]Extent

// Spot is connected ground of one kind.
type Spot struct {
	What  string // "skip", "twice", "outside", "keep-out", or a [Class]
	Of    string // the layer or the liquid
	Area  unit.Area
	Place orb.Point // lon/lat
}

// delay is how far a log's rate lags behind its target.
type delay struct {
	Seconds float64
	Way     unit.Length // that the machine drives in that time
	Changes int         // of the target, of a tenth or more
	Fit     float64     // correlation at the peak
}

// Look lays what was driven and tells what is on each acre.
func (f *Field) Look(drives []*Drive, o Options) (*Result, error) {
	var products []int
	for _, d := range drives {
		if !slices.Contains(products, d.Layer) {
			products = append(products, d.Layer)
		}
	}
	slices.Sort(products)
	if len(drives) > 1 {
		for _, d := range drives {
			d.follow(drives)
		}
	}
	for _, d := range drives {
		if err := f.lay(d, slices.Index(products, d.Layer)); err != nil {
			return nil, err
		}
	}
	j := f.judgeOf(products)
	var kept *coverage.Ground
	o.keep = &kept
	tables, err := f.sweepAll(drives, products, j, nil, o)
	if err != nil {
		return nil, err
	}
	r := &Result{Field: f, tables: tables, ground: kept, judge: j, Spacing: unit.Length(tables.Spacing) * unit.Meter}
	for p, layer := range products {
		r.Products = append(r.Products, f.product(tables, drives, p, layer, j))
	}
	r.liquids(j, products, tables)
	r.spots(products, j)
	if scale, any := r.scales(); any {
		corrected, err := f.sweepAll(drives, products, j, scale, o)
		if err != nil {
			return nil, err
		}
		r.correct(j, len(products), corrected)
	}
	r.find(drives, products)
	return r, r.onStrips(o)
}

// judgeOf makes the tables that ground is judged by.
func (f *Field) judgeOf(products []int) *judge {
	j := &judge{}
	n := len(f.Prescription.Zones)
	for _, layer := range products {
		targets := make([]float64, n)
		for z := range targets {
			targets[z] = f.target(layer, z)
		}
		j.targets = append(j.targets, targets)
		j.liquid = append(j.liquid, f.Plan.Layers[layer].Product == rx.Liquid)
	}
	for k, l := range f.liquids() {
		g := graded{number: k}
		some := false
		for _, layer := range products {
			shares := make([]float64, n+1)
			for z := range n {
				shares[z] = f.carried(layer, k, z)
			}
			shares[n] = f.carried(layer, k, -1)
			some = some || slices.Max(shares) > 0
			g.carried = append(g.carried, shares)
		}
		if !some {
			continue
		}
		if r, ok := l.Range(); ok {
			g.low, g.high, g.labeled = float64(r.Min), float64(r.Max), true
			if most, ok := l.Label.SeasonMax.Get(); ok {
				for z := range n {
					g.season = append(g.season, float64(most-l.AlreadyOn(z)))
				}
			}
		}
		j.graded = append(j.graded, g)
	}
	return j
}

func extent(m coverage.Measure) Extent {
	return Extent{unit.Area(m.Area) * unit.SquareMeter, unit.Area(m.Error) * unit.SquareMeter}
}

func (f *Field) product(t *coverage.Tables, drives []*Drive, p, layer int, j *judge) Product {
	mark := func(m int) Extent { return extent(t.Marks[productMarks*p+m]) }
	out := Product{
		Layer:   &f.Plan.Layers[layer],
		Covered: mark(markCovered), Skip: mark(markSkip), Twice: mark(markTwice), Thrice: mark(markThrice),
		Outside: mark(markOutside), KeepOut: mark(markKeepOut), Off: mark(markOff),
		Joints:  Extent{Area: unit.Area(t.Marks[productMarks*p+markTwice].Narrow) * unit.SquareMeter},
		InField: t.Products[p].Field / squareMeters, OutField: t.Products[p].Outside / squareMeters,
		InKeepOut: t.Products[p].KeepOut / squareMeters,
	}
	weighed, said := 0.0, true
	for _, d := range drives {
		if d.Layer != layer {
			continue
		}
		l := d.laid.Ledger
		out.Laid += l.Pieces / squareMeters
		out.Standing += l.Standing / squareMeters
		for _, s := range d.laid.Stands {
			if math.IsNaN(s.Amount) {
				out.Unshown++
			}
		}
		out.Gaps += l.Gaps / squareMeters
		out.Dropped += l.Dropped / squareMeters
		out.Driven += unit.Area(unit.Area(d.laid.Driven) * unit.SquareMeter)
		said = said && d.Weighed > 0
		if d.Weighed > 0 {
			factor, _ := f.factor(d) // it was good when the log was laid
			weighed += d.Weighed * factor / squareMeters
		}
		if d.Log != nil && out.Delay == nil {
			out.Delay = delayOf(d.Log)
		}
	}
	out.Total = out.Laid + out.Standing + out.Gaps + out.Dropped
	if said && out.Total > 0 {
		out.Weighed = weighed / out.Total
	}
	f.onZones(&out, t, p, j.targets[p])
	return out
}

func (f *Field) onZones(out *Product, t *coverage.Tables, p int, targets []float64) {
	var wanted, good float64
	for z := range t.Zones {
		zone := &t.Zones[z]
		on := zone.Products[p]
		row := onZone{Target: targets[z]}
		if zone.Area > 0 {
			row.Mean, row.OnTarget, row.Covered = on.Amount/zone.Area, unit.Ratio(on.OnTarget/zone.Area), unit.Ratio(on.Covered/zone.Area)
		}
		out.Zones = append(out.Zones, row)
		if targets[z] > 0 {
			wanted, good = wanted+zone.Area, good+on.OnTarget
		}
	}
	out.Wanted = unit.Area(wanted) * unit.SquareMeter
	if wanted > 0 {
		out.OnTarget = unit.Ratio(good / wanted)
	}
}

// liquids tells of each liquid on which the label holds.
func (r *Result) liquids(j *judge, products []int, t *coverage.Tables) {
	f := r.Field
	for _, z := range t.Zones {
		r.Sampled.Area += unit.Area(unit.Area(z.Area) * unit.SquareMeter)
	}
	for k, l := range f.liquids() {
		out := Liquid{Liquid: l, Graded: true}
		if l.Label != nil {
			out.Limit = l.Label.SeasonMax.Or(0)
		}
		carriers := 0
		for layer := range f.Plan.Layers {
			if f.carried(layer, k, -1) > 0 {
				carriers++
				if !slices.Contains(products, layer) {
					out.Graded = false
					out.Missing = append(out.Missing, f.Plan.Layers[layer].Name)
				}
			}
		}
		at := slices.IndexFunc(j.graded, func(g graded) bool { return g.number == k })
		if carriers == 0 || at < 0 {
			out.Graded = false
		} else {
			out.Grades = gradesOf(t, len(products), at)
		}
		r.Liquids = append(r.Liquids, out)
	}
}

func gradesOf(t *coverage.Tables, products, liquid int) (out Grades) {
	marks := t.Marks[productMarks*products+liquidMarks*liquid:]
	for c := range out.Classes {
		out.Classes[c] = extent(marks[c])
	}
	out.Season = extent(marks[markSeason])
	return out
}

// scales returns by how much each product was more than its logs say, where it was weighed.
func (r *Result) scales() (scale []float64, any bool) {
	for _, p := range r.Products {
		q := 1.0
		if p.Weighed > 0 {
			q, any = p.Weighed, true
		}
		scale = append(scale, q)
	}
	return scale, any
}

func (r *Result) correct(j *judge, products int, t *coverage.Tables) {
	for at, g := range j.graded {
		c := gradesOf(t, products, at)
		r.Liquids[g.number].Corrected = &c
	}
}

// spots names the spots by what they are.
func (r *Result) spots(products []int, j *judge) {
	f := r.Field
	for _, s := range r.tables.Spots {
		out := Spot{Area: unit.Area(s.Area) * unit.SquareMeter, Place: f.lonLat(s.Place)}
		if p := s.Mark / productMarks; p < len(products) {
			out.Of = f.Plan.Layers[products[p]].Name
			out.What = map[int]string{markSkip: "skip", markTwice: "twice", markOutside: "outside", markKeepOut: "keep-out"}[s.Mark%productMarks]
		} else {
			rest := s.Mark - productMarks*len(products)
			k := j.graded[rest/liquidMarks].number
			if !r.Liquids[k].Graded {
				continue
			}
			out.Of, out.What = f.name(k), Class(rest%liquidMarks).String()
		}
		r.Spots = append(r.Spots, out)
	}
	for _, n := range r.tables.Small {
		r.Small += n
	}
}
