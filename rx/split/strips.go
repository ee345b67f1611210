package split

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/geo/lane"
	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/readout"
)

// What holds of strips where nobody says it.
const (
	usualStrip    = 600 * unit.Foot
	usualHeadland = 2    // widths of the boom
	mixing        = 66   // feet that a combine mixes grain over; common practice, no source
	unlikeRate    = 0.05 // of the neighbors' dry rate, by which a strip's own may differ
)

// strips are the untreated strips of a task, once asked for.
type strips struct {
	*rx.Strips
	why string // there are none
	few bool   // since too few places fit
}

// untreated returns the strips that are to stay without stabilizer, nil for none, or says why they
// can't be had.
func (t *Task) untreated() (*rx.Strips, string) {
	if t.terms.Strips.Count == 0 {
		return nil, ""
	}
	if t.strips == nil {
		t.strips = t.placeStrips()
	}
	return t.strips.Strips, t.strips.why
}

// noStrips says why a way can't leave strips out; empty if it can.
func (t *Task) noStrips(s solution) string {
	if t.terms.Strips.Count == 0 || s.Sprayed > 0 {
		return ""
	}
	return "untreated strips are left out of a liquid layer; here the stabilizer rides on the dry, and strips without that would lack its N as well"
}

// placeStrips draws the strips.
func (t *Task) placeStrips() *strips {
	asked, u := t.terms.Strips, t.terms.Units
	if t.terms.Job == nil || t.terms.Job.Boom == nil {
		return &strips{why: "a strip is one pass of the boom, and nobody knows how wide that is: give the boom in the job file"}
	}
	outline, err := t.outline()
	if err != nil {
		return &strips{why: "the ground that gets dry can't be drawn: " + err.Error()}
	}
	f := &laidOut{plane: crs.Local(t.p.LonLat.Extent().Center())}
	ground := f.ground(t, outline.Polygons)
	if f.err != nil {
		return &strips{why: "the field can't be laid out in passes: " + f.err.Error()}
	}
	boom := t.terms.Job.Boom
	change := equip.RateChangeDistance(boom.Speed.Usual, equip.LongRateChange)
	s := &rx.Strips{
		Azimuth: asked.Azimuth.Or(lane.LongestEdge(ground.Outline)), Offset: asked.Offset, Width: boom.Width, Length: asked.Length.Or(usualStrip),
		Ends: max(change, mixing*unit.Foot), Change: change, Headland: asked.Headland.Or(usualHeadland * boom.Width), Header: asked.Header, Seed: asked.Seed,
	}
	if s.Header > 0 && headerPasses(s) == 0 {
		return &strips{why: fmt.Sprintf("a strip is one pass of the boom, %s wide, and no pass of the %s header lies in it with %s to spare on each side",
			s.Width.Brief(u), s.Header.Brief(u), spare.Brief(u))}
	}
	f.Lanes = lane.Over(ground.Zones.Points, s.Azimuth, unit.Meters(s.Width), unit.Meters(s.Offset))
	places, err := f.Places(ground, lane.Plot{
		Length: unit.Meters(s.Length) + float64(2*unit.Meters(s.Ends)), Ends: unit.Meters(s.Ends),
		Headland: unit.Meters(s.Headland), Spare: f.Width, Unlike: unlikeRate,
	})
	if err != nil {
		return &strips{why: "the field can't be laid out in passes: " + err.Error()}
	}
	s.Places, s.Most = len(places), len(lane.Packed(places))
	drawn := lane.Draw(places, asked.Count, s.Seed)
	if drawn == nil {
		return &strips{why: t.fewPlaces(s), few: true}
	}
	for i, p := range drawn {
		one := f.strip(s, p)
		one.Rep = i + 1
		s.List = append(s.List, one)
	}
	s.Power = powerNote(len(s.List), s.Length)
	if err := measure(s); err != nil || f.err != nil {
		return &strips{why: "the strips can't be drawn in degrees"}
	}
	return &strips{Strips: s}
}

// ground is where strips may lie.
func (f *laidOut) ground(t *Task, outline orb.MultiPolygon) lane.Ground {
	g := lane.Ground{Outline: f.flat(outline), KeepOuts: f.flat(t.keepOut), Zones: t.p.LonLat.WithPoints(f.points(t.p.LonLat.Points))}
	g.Rates = make([]float64, t.p.LonLat.Len())
	for _, z := range t.p.Zones {
		if z.HasRate() {
			g.Rates[z.Record] = float64(z.Dry)
		}
	}
	return g
}

// measure adds up the ground of strips.
func measure(s *rx.Strips) error {
	for i := range s.List {
		one := &s.List[i]
		area, err := geo.AreaOf(orb.MultiPolygon{one.Ground})
		if err != nil {
			return err
		}
		read, err := geo.AreaOf(orb.MultiPolygon{one.Read})
		if err != nil {
			return err
		}
		one.Area = area
		s.Area, s.Read = s.Area+area, s.Read+read
	}
	return nil
}

// spare is what a header keeps to the sides of its strip.
const spare = readout.Spare * unit.Meter

// headerPasses is how many passes of the header lie in a strip with [spare] on both sides; 0 where
// nobody says how wide it is.
func headerPasses(s *rx.Strips) int {
	if !(s.Header > 0) {
		return 0
	}
	return int((s.Width - 2*spare) / s.Header)
}

// fewPlaces says how many strips fit at most.
func (t *Task) fewPlaces(s *rx.Strips) string {
	u := t.terms.Units
	return fmt.Sprintf("%d of %d strips fit: each %s long with %s more at each end, along %.4g°, with a pass of %s on both its sides, %s from the edge of what gets dry "+
		"and a pass from keep-outs, where the dry rate is that of its neighbors to 5 %%",
		s.Most, t.terms.Strips.Count, s.Length.Brief(u), s.Ends.Brief(u), s.Azimuth, s.Width.Brief(u), s.Headland.Brief(u))
}

// laidOut is a field in a plane, in lanes.
type laidOut struct {
	lane.Lanes
	plane crs.System
	err   error
}

func (f *laidOut) points(lonLat []orb.Point) []orb.Point {
	out := make([]orb.Point, len(lonLat))
	if err := f.plane.FromLonLat(out, lonLat); err != nil {
		f.err = err
	}
	return out
}

func (f *laidOut) flat(mp orb.MultiPolygon) (out orb.MultiPolygon) {
	for _, polygon := range mp {
		flat := each.Of(polygon, func(ring orb.Ring) orb.Ring { return f.points(ring) })
		out = append(out, flat)
	}
	return out
}

// box returns ground of the frame in lon/lat.
func (f *laidOut) box(left, right, from, to float64) orb.Polygon {
	box := f.Box(left, right, from, to)
	if err := f.plane.ToLonLat(box[0], box[0]); err != nil {
		f.err = err
	}
	box[0][len(box[0])-1] = box[0][0]
	return box
}

// strip draws a replicate. The treated ground that is read on each side is half as wide as the
// strip, so that as much of it is read in all, but wide enough for a whole pass of the header
// wherever that lies, as far as the boom's pass reaches; where nobody knows the header, all of that.
func (f *laidOut) strip(s *rx.Strips, p lane.Place) rx.Strip {
	left, right := f.Side(p.Lane), f.Side(p.Lane+1)
	side := f.Width
	if s.Header > 0 {
		side = min(f.Width, max(f.Width/2, unit.Meters(2*s.Header+2*spare)))
	}
	from, to := p.From+unit.Meters(s.Ends), p.To-unit.Meters(s.Ends)
	return rx.Strip{
		Pass:   p.Lane + 1,
		Ground: f.box(left, right, p.From, p.To), Read: f.box(left, right, from, to),
		Beside: [2]orb.Polygon{f.box(left-side, left, from, to), f.box(right, right+side, from, to)},
		Dry:    unit.DryRate(p.Rate), DrySide: unit.DryRate(p.Beside),
	}
}
