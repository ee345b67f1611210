package ground

import (
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/geo/swath"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// Drive is what one machine laid of one layer: a log, or passes that were worked out.
type Drive struct {
	Layer   int         // of the plan
	Log     *track.Log  // nil for passes
	Swaths  *geo.Shapes // lon/lat, one of each row, where the log holds polygons
	Mix     bool        // the log counts water and product together
	Bridge  bool        // fill short gaps straight ahead
	Heading bool        // take the log's own heading
	Weighed float64     // in the log's own amounts, of loads or tank fills; 0 where nobody says it
	laid    *swath.Laid // what it laid
	patches []coverage.Patch
	away    int         // rows in another part of the country
	shapes  *geo.Shapes // in the plane
	overlap struct {    // of swaths with those before them
		swaths int
		area   float64
	}
}

// Pieces is how many pieces of ground a drive has that is laid.
func (d *Drive) Pieces() int { return len(d.laid.Pieces) }

// nearDegrees is how far from the middle of the field rows may be to be looked at: what is
// farther is no other field of the same day, but a place that was written wrong.
const nearDegrees = 1

// lay lays a log on the ground of its field.
func (f *Field) lay(d *Drive, product int) error {
	if d.laid != nil {
		for i := range d.laid.Pieces {
			d.laid.Pieces[i].Product = int32(product)
		}
		return nil
	}
	if err := checkWidth(d.Log); err != nil {
		return err
	}
	factor, err := f.factor(d)
	if err != nil {
		return err
	}
	return f.layBy(d, product, factor)
}

// layBy lays a log whose amounts are so many of the product's.
func (f *Field) layBy(d *Drive, product int, factor float64) (err error) {
	if d.Swaths == nil {
		d.away = d.Log.KeepNear(f.Prescription.LonLat.Extent().Center(), nearDegrees)
	}
	places := make([]orb.Point, len(d.Log.Rows))
	for i := range d.Log.Rows {
		places[i] = d.Log.Rows[i].At
	}
	if places, err = f.places(places); err != nil {
		return err
	}
	if d.Swaths == nil {
		d.laid = swath.Lay(d.Log, places, swath.Options{Product: int32(product), Factor: factor, Bridge: d.Bridge, Heading: d.Heading})
		return nil
	}
	return f.laySwaths(d, product, factor)
}

// laySwaths takes polygons as they are: what one holds is its rate times its own area. One
// that repeats another is dropped.
func (f *Field) laySwaths(d *Drive, product int, factor float64) error {
	d.laid, d.shapes = &swath.Laid{}, &geo.Shapes{}
	shapes, err := f.inPlane(d.Swaths)
	if err != nil {
		return err
	}
	seen := map[string]bool{}
	for i := range shapes.Len() {
		row := &d.Log.Rows[i]
		shape := shapes.Shape(i)
		area := math.Abs(areaOf(shape))
		amount := float64(row.Rate * factor * area)
		key := fmt.Sprint(shape, row.Rate)
		switch {
		case row.On() && row.Rate == 0:
			d.laid.Odd.Zero++
			continue
		case !row.On() || area == 0:
			continue
		case math.IsNaN(row.Rate):
			d.laid.Odd.NoRate++
			d.laid.Odd.NoRateOn += area
			continue
		case seen[key]:
			d.laid.Odd.Twice++
			d.laid.Ledger.Dropped += amount
			continue
		}
		seen[key] = true
		d.laid.Widest = max(d.laid.Widest, d.Log.WidthAt(row))
		if k := d.shapes.Len(); k > 0 {
			if over := geo.ConvexOverlap(d.shapes.Shape(k-1), shape); over > 0.01*area {
				d.overlap.swaths, d.overlap.area = d.overlap.swaths+1, d.overlap.area+over
			}
		}
		d.shapes.Append(shape)
		d.patches = append(d.patches, coverage.Patch{Density: row.Rate * factor, Product: int32(product)})
		d.laid.Ledger.Pieces += amount
		d.laid.Driven += area
	}
	return nil
}

func areaOf(mp orb.MultiPolygon) (sum float64) {
	for _, polygon := range mp {
		for _, ring := range polygon {
			for i := 1; i < len(ring); i++ {
				a, b := ring[i-1], ring[i]
				x, y := mp[0][0][0][0], mp[0][0][0][1]
				sum += float64((float64((a[0]-x)*(b[1]-y)) - float64((b[0]-x)*(a[1]-y))) / 2)
			}
		}
	}
	return sum
}

// volumeFactor turns milliliters on a square meter into fl oz/ac.
const volumeFactor = squareMeters / float64(unit.FluidOunce/unit.Milliliter)

// massFactor turns grams on a square meter into lb/ac.
const massFactor = squareMeters / (1000 * float64(unit.Pound/unit.Kilogram))

// factor turns amounts of a log into lb/ac or fl oz/ac of the layer's product.
func (f *Field) factor(d *Drive) (float64, error) {
	l := &f.Plan.Layers[d.Layer]
	if (l.Product == rx.Dry) != (d.Log.Amount == track.Mass) {
		return 0, &Error{What: fmt.Sprintf("%s: its rates are of %s, and layer %s is %s", d.Log.Name, map[track.Amount]string{track.Mass: "dry product", track.Volume: "liquid"}[d.Log.Amount], l.Name, l.Product), Hint: "name the layer that the log is of in its map, and the unit of its rates"}
	}
	if d.Log.Amount == track.Mass {
		return massFactor, nil
	}
	factor := volumeFactor
	if d.Mix {
		if l.Mix == 0 {
			return 0, &Error{What: fmt.Sprintf("%s: its rates are of the mix, and the plan does not know how much of that is product", d.Log.Name), Hint: "give the boom in the job file, or a log of the product"}
		}
		factor *= float64(l.Rate / l.Mix)
	}
	return factor, nil
}

// Error is why ground can't be told of, and what to do about it.
type Error struct{ What, Hint string }

func (e *Error) Error() string { return e.What }

// Options say how ground is looked at.
type Options struct {
	Context  context.Context
	Progress func(done, total int)
	keep     **coverage.Ground // where the ground as logged is kept; nil for nowhere
}

// sweepAll sweeps what all drives laid; scale is by product, nil for as logged.
func (f *Field) sweepAll(drives []*Drive, products []int, j *judge, scale []float64, o Options) (*coverage.Tables, error) {
	g := swept{&coverage.Ground{Products: len(products), Zones: f.zones, KeepOuts: f.keepOuts, Targets: j.targets, Spare: j.liquid, Patches: &geo.Shapes{}}}
	if f.strips != nil {
		g.Spared = f.strips.Len()
	}
	for _, d := range drives {
		g.add(d, scale, len(drives) == 1)
	}
	if scale == nil && o.keep != nil {
		*o.keep = g.Ground
	}
	count := productMarks*len(products) + liquidMarks*len(j.graded)
	if count > coverage.MaxMarks {
		return nil, &Error{What: fmt.Sprintf("%d layers and %d liquids are more than can be told apart at a time", len(products), len(j.graded)), Hint: "give the logs of some layers at a time"}
	}
	spots := coverage.Marks(0)
	for p := range products {
		spots |= (1<<markSkip | 1<<markTwice | 1<<markOutside | 1<<markKeepOut) << (productMarks * p)
	}
	for k := range j.graded {
		spots |= (1<<Below | 1<<Above | 1<<OverSeason) << (productMarks*len(products) + liquidMarks*k)
	}
	return coverage.Sweep(g.Ground, coverage.Options{
		Smallest: smallestSpot, Judge: j.marks, Marks: count, Spots: spots, Context: o.Context, Progress: o.Progress,
	})
}

// swept is ground that is gathered drive by drive.
type swept struct{ *coverage.Ground }

// add takes what a drive laid; a million pieces are not copied where they need not be.
func (g swept) add(d *Drive, scale []float64, alone bool) {
	if alone && scale == nil {
		g.Pieces = d.laid.Pieces
	} else {
		g.Pieces = slices.Grow(g.Pieces, len(d.laid.Pieces))
		for _, p := range d.laid.Pieces {
			if scale != nil {
				p.Density *= scale[p.Product]
			}
			g.Pieces = append(g.Pieces, p)
		}
	}
	for i, p := range d.patches {
		if scale != nil {
			p.Density *= scale[p.Product]
		}
		g.Laid = append(g.Laid, p)
		g.Patches.Append(d.shapes.Shape(i))
	}
}

// smallestSpot is a hundredth of an acre, in square meters: smaller spots are counted alone.
const smallestSpot = squareMeters / 100
