package ground

import (
	"fmt"
	"math"

	"github.com/paulmach/orb"

	"rxsplit/geo/track"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// What is found of ground.
var (
	landsAbove  = rule[landed]("lands-above")
	landsSeason = rule[landed]("lands-over-season")
	landsBelow  = rule[landed]("lands-below")
	landsNot    = rule[missing]("lands-not-graded")
	landsSkip   = rule[extentOf]("lands-skip")
	landsTwice  = rule[extentOf]("lands-twice")
	landsOut    = rule[extentOf]("lands-outside")
	landsKept   = rule[extentOf]("lands-keep-out")
	landsStrip  = rule[sprayedStrips]("lands-strip")
)

// What is odd about a log.
var (
	logOrder   = rule[oddRows]("log-order")
	logTwice   = rule[oddRows]("log-twice")
	logNoTime  = rule[oddRows]("log-no-time")
	logUntimed = rule[oddRows]("log-untimed")
	logSeconds = rule[oddRows]("log-seconds")
	logNoPlace = rule[oddRows]("log-no-place")
	logAlone   = rule[oddRows]("log-alone")
	logJump    = rule[oddRows]("log-jump")
	logTurns   = rule[oddRows]("log-turns")
	logNoWidth = rule[oddRows]("log-no-width")
	logNoRate  = rule[oddRows]("log-no-rate")
	logCreep   = rule[creeping]("log-creep")
	logGaps    = rule[gaps]("log-gaps")
	logStand   = rule[stands]("log-stand")
	logFar     = rule[oddRows]("log-far")
	logWeighed = rule[weighed]("log-weighed")
	logNothing = rule[oddRows]("log-nothing")
	logDelay   = rule[delayed]("log-delay")
	linesWide  = rule[spaced]("scan-lines")
)

func rule[D any](key string) rx.Rule[D] { return rx.NewRule[D](key, rx.AboutPlan, rx.NoPlan[D]) }

// landed is ground on which a liquid is off label.
type landed struct {
	Name       string // of a further liquid; empty for the stabilizer
	Label      rx.Range[unit.LiquidRate]
	Error      unit.Area
	Registered bool
	Forbidden  bool // by the label, to go below its range
	Spot       spot // the largest
}

// missing says which layers were not laid.
type missing struct {
	Name   string
	Layers []string
}

// extentOf is ground of a layer.
type extentOf struct {
	Layer  string
	Error  unit.Area
	Joints unit.Area // of it, narrower than a receiver can tell
	Amount amount
	Spot   spot
}

// amount is what fell somewhere, dry or liquid.
type amount struct {
	Mass   unit.Mass
	Volume unit.Volume
}

// Words prints the amount in a system of units.
func (a amount) Words(s unit.System) string {
	if a.Volume != 0 {
		return a.Volume.Brief(s)
	}
	return a.Mass.Brief(s)
}

// spot is a place that somebody is to look at.
type spot orb.Point

// Words prints the place as maps take it.
func (p spot) Words(unit.System) string { return fmt.Sprintf("%.6f, %.6f", p[1], p[0]) }

// oddRows are rows of a log.
type oddRows struct {
	Log  string
	Rows int
}

type creeping struct {
	Log         string
	Step, Noise unit.Length
}

type gaps struct {
	Log     string
	Gaps    int
	Bridged int
	Amount  amount
	Spot    spot
}

type stands struct {
	Log     string
	Stands  int
	Longest unit.Time
	Amount  amount
	Unknown int // stands of which the log can't show how much came out
	Spot    spot
}

type weighed struct {
	Layer string
	Ratio unit.Ratio // weighed over logged
	Off   unit.Ratio // how far that is from 1
	More  bool
}

type delayed struct {
	Layer   string
	Late    bool
	By      unit.Time
	Way     unit.Length
	Changes int
	Fit     unit.Ratio
}

type spaced struct{ Spacing unit.Length }

// amountOf makes an amount of a layer's own units.
func amountOf(l *rx.Layer, v float64) amount {
	if l.Product == rx.Liquid {
		return amount{Volume: unit.Volume(v)}
	}
	return amount{Mass: unit.Mass(v)}
}

// seen is from how much ground on something is told of: a hundredth of an acre.
const seen = 0.01 * unit.Acre

// find gathers what there is to tell.
func (r *Result) find(drives []*Drive) {
	for i := range r.Liquids {
		r.findLiquid(&r.Liquids[i])
	}
	for i := range r.Products {
		r.findProduct(&r.Products[i])
	}
	for _, d := range drives {
		if d.Log != nil {
			r.findLog(d)
		}
	}
	if r.tables.Widened {
		r.add(linesWide.Find(rx.Note, spaced{r.Spacing}), 0, nil)
	}
}

func (r *Result) add(f rx.Finding, area unit.Area, place *orb.Point) {
	f.Area, f.Place = area, place
	r.Findings = append(r.Findings, f)
}

// largest returns the place of the largest spot of a kind.
func (r *Result) largest(what, of string) (place *orb.Point, at spot) {
	for i := range r.Spots {
		if s := &r.Spots[i]; s.What == what && s.Of == of {
			return &s.Place, spot(s.Place)
		}
	}
	return nil, spot{}
}

func (r *Result) findLiquid(l *Liquid) {
	switch {
	case !l.Graded && len(l.Missing) > 0:
		r.add(landsNot.Find(rx.Warning, missing{l.Liquid.Name, l.Missing}), 0, nil)
		return
	case !l.Graded || l.Liquid.Label == nil:
		return
	}
	labeled, _ := l.Liquid.Range()
	below := rx.Warning
	if l.Liquid.Label.ForbidsBelow() {
		below = rx.Error
	}
	for _, c := range []struct {
		class    Class
		rule     rx.Rule[landed]
		severity rx.Severity
	}{{Above, landsAbove, rx.Error}, {OverSeason, landsSeason, rx.Error}, {Below, landsBelow, below}} {
		on := l.Classes[c.class]
		if on.Area < seen {
			continue
		}
		place, at := r.largest(c.class.String(), l.Liquid.Name)
		r.add(c.rule.Find(c.severity, landed{
			Name: l.Liquid.Further(), Label: labeled, Error: on.Error, Registered: l.Liquid.Label.IsRegistered(),
			Forbidden: l.Liquid.Label.ForbidsBelow(), Spot: at,
		}), on.Area, place)
	}
}

func (r *Result) findProduct(p *Product) {
	name := p.Layer.Name
	for _, c := range []struct {
		what     string
		rule     rx.Rule[extentOf]
		severity rx.Severity
		on       Extent
		data     extentOf
	}{
		{"skip", landsSkip, rx.Warning, p.Skip, extentOf{}},
		{"twice", landsTwice, rx.Note, p.Twice, extentOf{Joints: p.Joints.Area}},
		{"outside", landsOut, rx.Warning, p.Outside, extentOf{Amount: amountOf(p.Layer, p.OutField)}},
		{"keep-out", landsKept, rx.Error, p.KeepOut, extentOf{Amount: amountOf(p.Layer, p.InKeepOut)}},
	} {
		if c.on.Area < seen || c.what == "keep-out" && p.Layer.Product == rx.Dry && !p.Layer.Treated {
			continue // untreated dry may go into a keep-out of the liquid
		}
		c.data.Layer, c.data.Error = name, c.on.Error
		place, at := r.largest(c.what, name)
		c.data.Spot = at
		r.add(c.rule.Find(c.severity, c.data), c.on.Area, place)
	}
	if off := math.Abs(p.Weighed - 1); p.Weighed > 0 && off > 0.05 {
		r.add(logWeighed.Find(rx.Warning, weighed{name, unit.Ratio(p.Weighed), unit.Ratio(off), p.Weighed > 1}), 0, nil)
	}
	if d := p.Delay; d != nil {
		late := delayed{name, d.Seconds > 0, unit.Time(math.Abs(d.Seconds)) * unit.Second, d.Way, d.Changes, unit.Ratio(d.Fit)}
		r.add(logDelay.Find(rx.Note, late), 0, nil)
	}
}

func (r *Result) findLog(d *Drive) {
	odd, name := d.laid.Odd, d.Log.Name
	for _, c := range []struct {
		rule     rx.Rule[oddRows]
		severity rx.Severity
		rows     int
		area     float64
	}{
		{logOrder, rx.Note, odd.Disorder, 0}, {logTwice, rx.Warning, odd.Twice, 0}, {logNoTime, rx.Warning, odd.NoTime, 0},
		{logSeconds, rx.Note, odd.Spread, 0}, {logNoPlace, rx.Warning, dropped(d.Log, "no-place"), 0},
		{logAlone, rx.Warning, odd.Alone, 0}, {logJump, rx.Warning, odd.Jumps, 0}, {logNoWidth, rx.Warning, odd.NoWidth, 0},
		{logTurns, rx.Warning, odd.Rough, 0},
		{logNoRate, rx.Warning, odd.NoRate, odd.NoRateOn},
	} {
		if c.rows > 0 {
			r.add(c.rule.Find(c.severity, oddRows{name, c.rows}), unit.Area(c.area)*unit.SquareMeter, nil)
		}
	}
	if odd.Untimed && d.Swaths == nil && len(d.Log.Rows) > 0 {
		r.add(logUntimed.Find(rx.Note, oddRows{name, len(d.Log.Rows)}), 0, nil)
	}
	if len(d.laid.Pieces)+len(d.patches) == 0 && len(d.Log.Rows) > 0 {
		r.add(logNothing.Find(rx.Error, oddRows{name, len(d.Log.Rows)}), 0, nil)
	}
	if d.laid.Step > 0 && d.laid.Step < 4*d.laid.Noise {
		r.add(logCreep.Find(rx.Note, creeping{name, unit.Length(d.laid.Step) * unit.Meter, unit.Length(d.laid.Noise) * unit.Meter}), 0, nil)
	}
	r.findWays(d)
}

func dropped(l *track.Log, why string) int {
	for _, d := range l.Dropped {
		if d.Why == why {
			return d.Count
		}
	}
	return 0
}

// findWays tells of gaps, stands, and what lies far from the field.
func (r *Result) findWays(d *Drive) {
	f, layer, name := r.Field, &r.Field.Plan.Layers[d.Layer], d.Log.Name
	if list := d.laid.Gaps; len(list) > 0 {
		g, area := gaps{Log: name, Gaps: len(list), Amount: amountOf(layer, d.laid.Ledger.Gaps/squareMeters)}, 0.0
		for _, gap := range list {
			if gap.Bridged {
				g.Bridged++
			} else if gap.Amount > 0 {
				area += float64(gap.Length() * gap.Width)
			}
		}
		place := f.lonLat(list[0].From)
		g.Spot = spot(place)
		r.add(logGaps.Find(rx.Warning, g), unit.Area(area)*unit.SquareMeter, &place)
	}
	if list := d.laid.Stands; len(list) > 0 {
		s, longest := stands{Log: name, Stands: len(list), Amount: amountOf(layer, d.laid.Ledger.Standing/squareMeters)}, 0
		for i, stand := range list {
			if math.IsNaN(stand.Amount) {
				s.Unknown++
			}
			if stand.Seconds > list[longest].Seconds {
				longest = i
			}
		}
		s.Longest = unit.Time(list[longest].Seconds) * unit.Second
		place := f.lonLat(list[longest].At)
		s.Spot = spot(place)
		r.add(logStand.Find(rx.Warning, s), 0, &place)
	}
	if far := f.farRows(d) + d.away; far > 0 {
		severity := rx.Warning
		if len(d.Log.Rows) == 0 {
			severity = rx.Error // all of it is far away
		}
		r.add(logFar.Find(severity, oddRows{name, far}), 0, nil)
	}
}

// farRows counts pieces that lie more than a swath outside the box around the field: of
// another field, it seems.
func (f *Field) farRows(d *Drive) (far int) {
	for i := range d.laid.Pieces {
		ring := &d.laid.Pieces[i].Ring
		width := samebits.Hypot(ring[0][0]-ring[1][0], ring[0][1]-ring[1][1])
		middle := orb.Point{(ring[0][0] + ring[2][0]) / 2, (ring[0][1] + ring[2][1]) / 2}
		if !f.bound.Pad(float64(1.5 * width)).Contains(middle) {
			far++
		}
	}
	return far
}
