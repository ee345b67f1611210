package rx

import (
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo/raster"
	"rxsplit/label"
	"rxsplit/label/unit"
)

// TaskForm says how task data hold the rates of a plan.
type TaskForm uint8

// The forms.
const (
	RateGrid     TaskForm = iota // grid type 2: a rate a cell
	CodeGrid                     // grid type 1: a code a cell, which stands for a rate
	TaskPolygons                 // polygons
)

// TaskRequest says which task data are wanted.
type TaskRequest struct {
	Wanted  bool
	Form    TaskForm
	OneTask bool        // all products in one task, which run in one pass
	Cell    unit.Length // side of a cell; 0 for 5 m, or for larger ones where the field has more than terminals must take
	Hold    bool        // the liquid goes on at its rate where the position is lost; else it stops there, as dry does
}

// TaskData are the layers of a plan as tasks of ISO 11783-10: what each cell of a grid, or
// each polygon, gets of each product.
type TaskData struct {
	Request TaskRequest
	Grower  string           // empty if nobody says it
	Field   string           // its name
	Ground  orb.MultiPolygon // the outline of the field, lon/lat
	Area    unit.Area        // of it
	Cell    unit.Length      // that was taken
	Grid    raster.Grid      // of the forms with a grid
	Owner   []int32          // of each cell the zone, an index, whose rates it has; -1 for none
	Edge    raster.Set       // cells whose center lies outside of the field, and that have the nearest zone's rates
	Kept    raster.Set       // cells that touch a keep-out; nil without any
	Strips  raster.Set       // cells whose center lies in a strip without stabilizer; nil without any
	Tasks   []TaskLayers     // in the order of the plan's layers
}

// TaskLayers are the products of one task.
type TaskLayers struct {
	Name     string
	Products []TaskProduct
}

// TaskProduct is one product of a plan as a task has it.
type TaskProduct struct {
	Layer   int     // index of the plan's layers
	Name    string  // of the product
	Liquid  bool    // counted by volume, else by mass
	Counts  []int32 // of each zone: mg/m², or 0.01 mm³/m² of the whole mix
	Treated bool    // it is dry with liquids on it
	Avoids  bool    // stays out of cells that touch a keep-out
	Drawn   Laid    // of the layer
	Cells   Laid    // of cells whose centers lie in the field; 0 of polygons
	Beyond  unit.Area
	Worst   unit.Area // by which the cells of a zone differ most from it
	None    []int     // numbers of zones that get the product and own no cell
}

// Laid is what a product amounts to.
type Laid struct {
	Area   unit.Area
	Mass   unit.Mass   // of dry
	Volume unit.Volume // of a liquid, the whole mix
}

// Count returns what a cell gets of a product.
func (t *TaskData) Count(p *TaskProduct, cell int) int32 {
	zone := t.Owner[cell]
	if zone < 0 || p.Avoids && t.Kept.Has(cell) || p.Liquid && t.Strips.Has(cell) {
		return 0
	}
	return p.Counts[zone]
}

// MostCodes is how many codes a task has, that of "off" counted.
const MostCodes = 255

// Codes lists what cells of a task get, one count a product, each once: nothing first,
// then the rest in order. A code of grid type 1 is the place in it. strips says that some have
// no liquid.
func (t *TaskLayers) Codes(strips bool) [][]int32 {
	seen := map[string]bool{}
	var list [][]int32
	add := func(counts []int32) {
		key := make([]byte, 0, 4*len(counts))
		for _, n := range counts {
			key = append(key, byte(n), byte(n>>8), byte(n>>16), byte(n>>24))
		}
		if !seen[string(key)] {
			seen[string(key)] = true
			list = append(list, slices.Clone(counts))
		}
	}
	counts := make([]int32, len(t.Products))
	add(counts)
	for z := range t.Products[0].Counts {
		for k := range t.Products {
			counts[k] = t.Products[k].Counts[z]
		}
		add(counts)
		for k := range t.Products {
			if t.Products[k].Liquid { // in a strip
				counts[k] = 0
			}
		}
		strip := slices.Clone(counts)
		for k := range t.Products {
			if t.Products[k].Avoids { // beside a keep-out
				counts[k] = 0
			}
		}
		add(counts)
		if strips {
			add(strip)
		}
	}
	slices.SortFunc(list, slices.Compare[[]int32])
	return list
}

// part is one polygon that gets one rate of a product.
type part struct {
	Count  int32
	Ground orb.Polygon
}

// Parts lists the polygons that get a product of a plan: those of a liquid layer, or each
// of every zone, since some terminals take no zone with two.
func (t *TaskProduct) Parts(p *Prescription, plan *Plan) (list []part) {
	if t.Liquid {
		pieces, bare := plan.Layers[t.Layer].Pieces, plan.Layers[t.Layer].Untreated
		count := slices.Max(t.Counts)
		for i := range pieces.Len() {
			if i == pieces.Len()-bare {
				count = 0
			}
			for polygon := range pieces.Polygons(i) {
				list = append(list, part{count, polygon})
			}
		}
		return list
	}
	for z, zone := range p.Zones {
		if t.Counts[z] == 0 {
			continue
		}
		for polygon := range p.LonLat.Polygons(int(zone.Record)) {
			list = append(list, part{t.Counts[z], polygon})
		}
	}
	return list
}

// StripsAsked says which strips are to stay without stabilizer; what is not known takes the usual.
type StripsAsked struct {
	Count    int                      // of replicates; 0 for none
	Length   label.Known[unit.Length] // of a strip, as far as it is read
	Headland label.Known[unit.Length] // that is kept to the edge of what gets dry
	Azimuth  label.Known[float64]     // of the boom's passes, degrees clockwise from north
	Offset   unit.Length              // by which the first pass begins outside the field's edge
	Header   unit.Length              // of the combine; 0 if nobody says it
	Seed     uint64                   // of the draw of places
}

// Strips are lanes of a boom that are left without stabilizer on purpose, so that they can be held
// against the treated ground on both their sides.
type Strips struct {
	Azimuth  float64 // of the passes, degrees clockwise from north
	Offset   unit.Length
	Width    unit.Length // of the boom, and of each strip
	Length   unit.Length // that is read
	Ends     unit.Length // at each end, that is left out too and not read
	Change   unit.Length // of the treated ground at each end, that gets part of the rate
	Headland unit.Length
	Header   unit.Length
	Seed     uint64
	Places   int // that they were drawn from
	Most     int // that can be drawn
	List     []Strip
	Area     unit.Area // that is left out
	Read     unit.Area // of it, what is read
	Power    Finding   // what difference they can show
}

// Strip is one replicate. Its polygons are in lon/lat.
type Strip struct {
	Rep     int            // from 1
	Pass    int            // of the boom, from 1, counted from the left of the way ahead
	Ground  orb.Polygon    // that is left out
	Read    orb.Polygon    // of it, what is read
	Beside  [2]orb.Polygon // treated ground that is read, to the left and right of the way ahead
	Area    unit.Area      // of Ground
	Dry     unit.DryRate   // mean where it is read
	DrySide unit.DryRate   // mean of the lanes beside it
}

// Grounds lists what is left out; nothing of nil.
func (s *Strips) Grounds() (mp orb.MultiPolygon) {
	if s == nil {
		return nil
	}
	for _, one := range s.List {
		mp = append(mp, one.Ground)
	}
	return mp
}

// Ground returns the area that is left out; 0 of nil.
func (s *Strips) Ground() unit.Area {
	if s == nil {
		return 0
	}
	return s.Area
}
