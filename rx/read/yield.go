package read

import (
	"fmt"
	"math"
	"path/filepath"
	"strings"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/track"
	"rxsplit/internal/samebits"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/readout"
)

// yieldFile is a yield monitor's points, or those of an index, as they were read.
type yieldFile struct {
	Source  rx.Source
	Points  []readout.Point
	Weigh   bool // points have ground
	NoPlace int  // records without a place
	Wet     bool // said to be dry, and look wet
}

// Yield reads the points of a yield monitor: shapefile, GeoJSON or CSV. Points that lie
// more than half a year apart are an error.
func Yield(path string, m *YieldMap, opt FileOptions) (*yieldFile, error) {
	c := &m.Columns
	if c.Yield == "" && c.Flow == "" {
		return nil, &Error{File: filepath.Base(path), What: "the map names no column for its yields", Hint: "give columns: yield, or flow with moisture and distance"}
	}
	y := &yieldReader{m: m, first: math.Inf(1), last: math.Inf(-1), out: &yieldFile{Weigh: c.Distance != ""}}
	log := &LogMap{TimeForm: m.TimeForm, CRS: m.CRS, Columns: logColumns{Lon: c.Lon, Lat: c.Lat, Date: c.Date, Time: c.Time}}
	source, err := eachPoint(path, log, opt, func(r *rowReader) error {
		return r.find([]wanted{
			{"yield", c.Yield, &y.at.yield}, {"distance", c.Distance, &y.at.distance}, {"width", c.Width, &y.at.width},
			{"moisture", c.Moisture, &y.at.moisture}, {"flow", c.Flow, &y.at.flow}, {"seconds", c.Seconds, &y.at.seconds},
		}...)
	}, y.add, &y.out.NoPlace)
	if err != nil {
		return nil, err
	}
	y.out.Source = source
	y.out.Wet = m.YieldIs != "wet" && y.looksWet()
	const season = 183 * 86400 // seconds
	if y.last-y.first > season {
		day := func(t float64) string { return time.Unix(int64(t), 0).UTC().Format(time.DateOnly) }
		return nil, &Error{
			File: source.Name, What: fmt.Sprintf("holds points from %s to %s: two years are two answers", day(y.first), day(y.last)),
			Hint: "read each year on its own; readout --together joins them",
		}
	}
	return y.out, nil
}

// yieldReader turns records into points.
type yieldReader struct {
	m           *YieldMap
	at          struct{ yield, distance, width, moisture, flow, seconds int }
	out         *yieldFile
	dry, wet    spread // logarithms of grain by the yield over grain by the flow
	lastMoist   float64
	first, last float64 // seconds
	moists      bool    // that differ
}

func (y *yieldReader) add(r *rowReader, i int, p orb.Point, cell func(int) string) {
	point := readout.Point{Place: p, Record: i, Value: math.NaN(), Area: math.NaN()}
	if !y.m.fromFlow() {
		point.Value = r.signed(i, y.at.yield, cell)
	}
	moist := r.number(i, y.at.moisture, cell)
	if moist >= 100 {
		r.blame(i, y.at.moisture, cell(y.at.moisture), "is no moisture in percent")
	}
	if y.m.YieldIs == "wet" && !y.m.fromFlow() {
		point.Value = y.m.dried(point.Value, moist)
	}
	point.Width = y.m.width * r.number(i, y.at.width, cell)
	if y.out.Weigh {
		wide := point.Width
		if math.IsNaN(wide) {
			wide = y.m.HeaderOf().Meters
		}
		if wide == 0 {
			wide = 1 // the same for all points
		}
		point.Area = max(y.m.distance*r.signed(i, y.at.distance, cell), 0) * wide
	}
	if r.at.time >= 0 {
		if at := r.time(i, cell); !math.IsNaN(at) {
			y.first, y.last = min(y.first, at), max(y.last, at)
		}
	}
	flow, seconds := r.number(i, y.at.flow, cell), r.number(i, y.at.seconds, cell)
	if y.at.seconds < 0 {
		seconds = 1
	}
	if y.m.fromFlow() {
		if point.Area > 0 {
			point.Value = y.m.flowed(flow, seconds, moist, point.Area)
		}
	} else {
		y.weighFlow(point, moist, flow, seconds)
	}
	y.out.Points = append(y.out.Points, point)
}

// weighFlow collects what the mass flow says of a yield.
func (y *yieldReader) weighFlow(p readout.Point, moist, flow, seconds float64) {
	if !(p.Value > 0 && p.Area > 0 && flow > 0 && seconds > 0 && moist < 100) {
		return
	}
	y.moists = y.moists || y.wet.n > 0 && moist != y.lastMoist
	y.lastMoist = moist
	ratio := samebits.Log(p.Value * p.Area / (flow * seconds))
	y.wet.add(ratio)
	y.dry.add(ratio - samebits.Log(100-moist))
}

// looksWet reports whether yields follow the flow of wet grain much closer than that of dry.
func (y *yieldReader) looksWet() bool {
	const enough, closer = 30, 0.25
	return y.moists && y.wet.n >= enough && y.wet.variance() < closer*y.dry.variance()
}

// spread sums up values for their variance, by Welford's method.
type spread struct {
	n             int
	mean, squares float64
}

func (s *spread) add(v float64) {
	s.n++
	d := v - s.mean
	s.mean += d / float64(s.n)
	s.squares += float64(d * (v - s.mean))
}

func (s *spread) variance() float64 { return s.squares / float64(s.n-1) }

// Index reads the points of a vegetation index. They may be negative.
func Index(path string, m *YieldMap, opt FileOptions) (*yieldFile, error) {
	if m.Index.Value == "" {
		return nil, &Error{File: filepath.Base(path), What: "the map names no column for the index", Hint: "give index: {value: NAME}, and lon and lat where the file is CSV"}
	}
	out, value := &yieldFile{}, -1
	log := &LogMap{CRS: m.CRS, Columns: logColumns{Lon: m.Index.Lon, Lat: m.Index.Lat}}
	source, err := eachPoint(path, log, opt, func(r *rowReader) (err error) {
		value, err = r.column("index: value", m.Index.Value)
		return err
	}, func(r *rowReader, i int, p orb.Point, cell func(int) string) {
		out.Points = append(out.Points, readout.Point{Place: p, Record: i, Value: r.signed(i, value, cell), Area: math.NaN(), Width: math.NaN()})
	}, &out.NoPlace)
	out.Source = source
	return out, err
}

// eachPoint reads the points of a file: begin finds columns, add takes a record that has a
// place. Every bad record is told in one error.
func eachPoint(path string, m *LogMap, opt FileOptions, begin func(*rowReader) error, add func(r *rowReader, i int, p orb.Point, cell func(int) string), noPlace *int) (source rx.Source, err error) {
	if !isCSV(path) {
		m.Columns.Lon, m.Columns.Lat = "", "" // a layer has its own places
	}
	var r *rowReader
	n := 0
	source, err = eachRecord(path, m, opt, func(name string, names []string) (_ *rowReader, err error) {
		m.amount = track.Mass
		if r, err = newRowReader(name, names, m); err == nil {
			err = begin(r)
		}
		return r, err
	}, func(_ *geo.Shapes, i int, p orb.Point, cell func(int) string) {
		if !(math.Abs(p[0]) <= 180 && math.Abs(p[1]) <= 90) || p == (orb.Point{}) {
			*noPlace++
			return
		}
		n++
		add(r, i, p, cell)
	})
	if err != nil {
		return source, err
	}
	source.Records = n
	if n == 0 && len(r.bad) == 0 {
		return source, &Error{File: source.Name, What: "has no record with a place", Hint: "give points: a shapefile, GeoJSON or CSV"}
	}
	return source, r.wrong()
}

// market is the moisture, in percent, that yields are brought to where the map says no other:
// that of corn as it is traded. Common practice, no source.
const market = 15.5

// fromFlow reports whether yields are worked out from the flow of wet grain.
func (m *YieldMap) fromFlow() bool { return m.Columns.Yield == "" && m.Columns.Flow != "" }

// dried brings a yield at a moisture, in percent, to that of the market.
func (m *YieldMap) dried(wet, moist float64) float64 {
	return wet * ((100 - moist) / (100 - float64(m.Market.Or(market))))
}

// flowed is the yield of wet grain that flowed for some seconds from ground, in square meters.
func (m *YieldMap) flowed(flow, seconds, moist, area float64) float64 {
	return m.dried(flow*seconds*m.flow, moist) / (area / m.ground)
}

// flows reads what yields from the flow need: flow is how many of the yield's amount one of the
// flow's mass is, ground how many square meters are one of its ground.
func (m *YieldMap) flows(doc *strictyaml.Document) {
	if !m.fromFlow() {
		return
	}
	for _, want := range []struct {
		missing   bool
		key, what string
	}{
		{m.FlowUnit == "", "columns.flow", "its unit is not said: give flow-unit, such as lb/s"},
		{m.Columns.Moisture == "", "columns.flow", "is of wet grain, which can't be compared without columns: moisture"},
		{m.Columns.Distance == "", "columns.flow", "gives no yield without the ground: give columns: distance"},
		{m.Columns.Width == "" && m.HeaderOf().Meters == 0, "columns.flow", "gives no yield without the ground: give header, or columns: width"},
		{m.YieldUnit == "", "yield-unit", "is not said: give what yields are to be worked out in, such as bu/ac or t/ha"},
		{strings.HasPrefix(m.YieldUnit, "bu/") && m.Bushel == "", "bushel", "nothing says what one weighs: give it, such as 56 lb for corn"},
	} {
		if want.missing {
			doc.Fail(want.key, want.what)
			return
		}
	}
	mass, per, _ := strings.Cut(m.FlowUnit, "/")
	if per != "s" {
		doc.Fail("flow-unit", "want a weight for each second, such as lb/s or kg/s")
	}
	amount, ground, _ := strings.Cut(m.YieldUnit, "/")
	weight := one[unit.Mass](doc, "flow-unit", mass, "lb/s", 1)
	if amount == "bu" {
		m.flow = weight / weightOf(doc, m.Bushel)
	} else {
		m.flow = weight / one[unit.Mass](doc, "yield-unit", amount, "t/ha", 1)
	}
	m.ground = one[unit.Area](doc, "yield-unit", ground, "bu/ac", 1) / float64(unit.SquareMeter)
}

// weightOf reads what a bushel weighs.
func weightOf(doc *strictyaml.Document, text string) float64 {
	w, err := unit.Parse[unit.Mass](text)
	if err != nil || !(w > 0) {
		doc.Fail("bushel", "want a weight, such as 56 lb")
		return math.NaN()
	}
	return float64(w)
}
