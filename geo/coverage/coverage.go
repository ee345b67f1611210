// Package coverage says what lands on each piece of ground where machines drove: how
// often it was covered, with how much, and in which zone.
//
// Ground is sampled along parallel scan lines. On a line everything is exact: where it
// enters and leaves each piece, each zone and each keep-out; in between, the line counts
// for as much ground as lies halfway to the next. A grid of cells would be at its worst
// where passes run along it, and passes usually do; an exact arrangement of a million
// strips that nearly coincide is slow and fragile.
//
// One sweep feeds all tables, so they add up. Results don't depend on the number of cores.
package coverage

import (
	"context"
	"errors"
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// Ground is what is swept. Coordinates are meters of one plane.
type Ground struct {
	Pieces   []Piece
	Patches  *geo.Shapes // covered ground of any form, one of each of Laid; nil for none
	Laid     []Patch
	Products int         // kinds of product that pieces lay, numbered from 0
	Zones    *geo.Shapes // a zone each record, whose rings count even-odd; where two overlap, the first owns the ground. nil for none
	KeepOuts *geo.Shapes // likewise; nil for none
	Spared   int         // of KeepOuts the first ones, which are none, and are to be left bare as well
	Spare    []bool      // by product: whether it is to leave keep-outs bare; nil where none is
	Targets  [][]float64 // wanted density, by product and zone; nil, or nil for a product, where nothing is wanted
}

// Piece is ground that a machine covers from one place of its boom to the next.
type Piece struct {
	Ring    [4]orb.Point // left and right end of the boom, then right and left end of the next; a bow tie counts as both its lobes
	Density float64      // amount over a square meter
	Product int32
}

// Patch says what lies on a shape.
type Patch struct {
	Density float64
	Product int32
}

// State is what holds on one stretch of a scan line.
type State struct {
	Zone    int       // -1 outside all zones
	KeptOut bool      // inside a keep-out
	Spared  bool      // inside ground that is none, and is to be left bare as well
	Covers  []int32   // how many pieces cover the ground, by product
	Density []float64 // their sum, by product
}

// Marks are up to 64 properties of ground, a bit each, of the caller's own meaning.
type Marks uint64

// MaxMarks is how many marks there can be.
const MaxMarks = 64

// Options say how ground is swept.
type Options struct {
	Spacing  float64            // of the scan lines, in meters; 0 for a quarter of a meter
	Thin     bool               // no ground is covered many times: it is not looked at whether it is
	NoZones  bool               // it is not told what fell on each zone
	Narrow   float64            // runs along a scan line that are shorter, in meters, are told apart; 0 for 0.3 m
	Smallest float64            // spots with less ground, in square meters, are counted alone
	Judge    func(*State) Marks // of each stretch; it runs on several cores at a time and keeps nothing. nil for none
	Marks    int                // that Judge gives, bits 0 to Marks-1
	Spots    Marks              // of which connected ground is listed
	Context  context.Context    // cancels the work; nil for never
	Progress func(done, total int)
}

// Defaults of [Options]. Passes whose seam is within the accuracy of a receiver make runs
// narrower than 0.3 m.
const (
	DefaultSpacing = 0.25
	defaultNarrow  = 0.3
)

// Tables is what a sweep finds. Areas are square meters.
type Tables struct {
	Spacing  float64 // of the scan lines: what was asked for, or more where there would have been too many
	Widened  bool
	Marks    []Measure
	Products []laidPatch
	Zones    []zone
	Spots    []spot // by mark, the largest first
	Small    []int  // spots too small to be listed, by mark
}

// Measure is an area with an estimate of how far it may be off, see [total.off].
type Measure struct {
	Area   float64
	Narrow float64 // of it, in runs that are narrow
	Error  float64
}

// laidPatch says where the amounts of one product fell.
type laidPatch struct {
	Field   float64
	Outside float64 // of all zones
	KeepOut float64 // inside keep-outs, wherever
}

// zone is what fell on one zone.
type zone struct {
	Area     float64 // as sampled
	Products []onZone
}

// onZone is what fell of one product on a zone.
type onZone struct {
	Covered  float64 // area with at least one cover
	Amount   float64
	Off      float64 // amount by which the density missed its target, above or below
	OnTarget float64 // area on which it was within a tenth of its target
}

// spot is connected ground of one mark.
type spot struct {
	Mark  int
	Area  float64
	Place orb.Point // inside it
}

// nearTarget is how far a density may be off and still count as on target: beyond a
// tenth of it counts as an error. Source: Colaço, Rosa & Molin, Precision Agriculture,
// 2014, "10 % off".
const nearTarget = 0.1

// errMany says that there is more than can be swept.
var errMany = errors.New("more than 2 000 000 000 edges")

// Sweep sweeps ground. The error is [errMany], one of bad coordinates, or the context's.
func Sweep(g *Ground, o Options) (*Tables, error) {
	s, err := newSweeper(g, o)
	if err != nil {
		return nil, err
	}
	o = s.options
	total := newTotal(g, o, s.frame)
	err = inOrder(s, func(b int) *band {
		band, room := newBand(g, o), spotRoom.Get().(*spotFinder)
		band.spots.found, band.spots.sets = room.found[:0], room.sets[:0]
		sweepBand(s, b, band)
		room.found, room.sets = band.spots.found, band.spots.sets
		band.spots.gather() // here, so that no more than a spot is kept of all its runs
		spotRoom.Put(room)
		return band
	}, total.add)
	if err != nil {
		return nil, err
	}
	return total.tables(), nil
}

func (o Options) filled() Options {
	if !(o.Spacing > 0) {
		o.Spacing = DefaultSpacing
	}
	if !(o.Narrow > 0) {
		o.Narrow = defaultNarrow
	}
	if o.Judge == nil {
		o.Judge, o.Marks = func(*State) Marks { return 0 }, 0
	}
	o.Marks = min(o.Marks, MaxMarks)
	return o
}

// farthest bounds coordinates, in meters: no field is as far from its middle.
const farthest = 1e7

// check refuses pieces that no field has: the sweep's memory goes by their extent.
func (g *Ground) check() error {
	for i := range g.Pieces {
		p := &g.Pieces[i]
		for _, q := range p.Ring {
			if !(q[0] > -farthest && q[0] < farthest && q[1] > -farthest && q[1] < farthest) {
				return fmt.Errorf("piece %d reaches to %v %v", i, q[0], q[1])
			}
		}
		if p.Product < 0 || int(p.Product) >= g.Products {
			return fmt.Errorf("piece %d is of product %d, of %d", i, p.Product, g.Products)
		}
	}
	if g.Patches != nil && g.Patches.Len() != len(g.Laid) {
		return fmt.Errorf("%d patches, and %d are laid", g.Patches.Len(), len(g.Laid))
	}
	return nil
}
