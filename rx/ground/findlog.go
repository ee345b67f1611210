package ground

import (
	"maps"
	"math"
	"slices"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo/track"
	"rxsplit/internal/samebits"
	"rxsplit/label/unit"
	"rxsplit/rx"
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
	logWidth   = rule[widths]("log-width")
	logShift   = rule[shifted]("log-shift")
	logNothing = rule[oddRows]("log-nothing")
	logDelay   = rule[delayed]("log-delay")
	logClock   = rule[oddRows]("log-clock")
	logYear    = rule[oddRows]("log-year")
	logMixed   = rule[oddRows]("log-mixed")
	logZero    = rule[oddRows]("log-zero")
	logOf      = rule[taken]("log-of")
	logRates   = rule[otherRates]("log-rates")
	logDays    = rule[daysApart]("log-days")
	logOverlap = rule[oddRows]("log-overlap")
)

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
	Log      string
	Gaps     int
	Bridged  int
	Unfilled int
	Asked    bool // to fill them
	Amount   amount
	Spot     spot
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
	Slip  bool // so far off that it can't be the meter
}

type delayed struct {
	Layer   string
	Late    bool
	By      unit.Time
	Way     unit.Length
	Changes int
	Fit     unit.Ratio
}

// taken is a rate that is near that of the mix where the map says product, or the other way round.
type taken struct {
	Log       string
	Mix       bool            // the map says so
	Rate, Has unit.LiquidRate // of the product in the plan, and as logged
}

// otherRates are rates that are far from what the plan has.
type otherRates struct {
	Log          string
	Has, Planned rate // on the mean, and what is nearest of the plan
}

type daysApart struct {
	Layer string
	Apart int // days
}

func (r *Result) findLog(d *Drive) {
	odd, name := d.laid.Odd, d.Log.Name
	if odd.Mixed {
		r.add(logMixed.Find(rx.Error, oddRows{name, len(d.Log.Rows)}), 0, nil)
	}
	r.findUnit(d)
	r.findWidth(d)
	r.findShift(d)
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
		{logNoRate, rx.Warning, odd.NoRate, odd.NoRateOn}, {logClock, rx.Warning, d.Log.SetBack, 0}, {logYear, rx.Warning, oddYears(d.Log), 0}, {logZero, rx.Note, odd.Zero, 0},
		{logOverlap, rx.Warning, d.overlap.swaths, d.overlap.area},
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
	if d.laid.Step > 0 && d.laid.Step < 4*d.laid.Noise && !odd.Mixed {
		r.add(logCreep.Find(rx.Note, creeping{name, unit.Length(d.laid.Step) * unit.Meter, unit.Length(d.laid.Noise) * unit.Meter}), 0, nil)
	}
	r.findWays(d)
}

// findUnit tells of a log whose mean rate is that of the mix where it is taken for the product's,
// or the other way round, or so far from the plan's that it counts in another unit, it seems.
func (r *Result) findUnit(d *Drive) {
	l := &r.Field.Plan.Layers[d.Layer]
	if d.laid.Driven == 0 {
		return
	}
	mean := d.laid.Ledger.Pieces / d.laid.Driven
	if l.Mix >= 2*l.Rate && l.Rate > 0 {
		wrong := l.Mix
		if d.Mix {
			wrong = unit.LiquidRate(float64(l.Rate) * float64(l.Rate/l.Mix))
		}
		if math.Abs(mean/float64(wrong)-1) < 0.25 {
			r.add(logOf.Find(rx.Error, taken{d.Log.Name, d.Mix, l.Rate, unit.LiquidRate(mean)}), 0, nil)
			return
		}
	}
	least, most := float64(l.Rate), float64(l.Rate)
	if l.Product == rx.Dry {
		least, most = float64(l.Dry.Min), float64(l.Dry.Max)
	}
	if near := min(max(mean, least), most); near > 0 && (mean > otherRate*near || mean < near/otherRate) {
		r.add(logRates.Find(rx.Warning, otherRates{d.Log.Name, rateOf(l, mean), rateOf(l, near)}), 0, nil)
	}
}

// daysOf returns the longest time between the days of a layer's logs, in days.
func daysOf(drives []*Drive, layer int) (apart int) {
	seen := map[int]bool{}
	for _, d := range drives {
		if d.Log == nil || d.Layer != layer {
			continue
		}
		for i := range d.Log.Rows {
			if r := &d.Log.Rows[i]; r.On() && !math.IsNaN(r.Time) {
				seen[int(math.Floor(r.Time/86400))] = true
			}
		}
	}
	days := slices.Sorted(maps.Keys(seen))
	for i := 1; i < len(days); i++ {
		apart = max(apart, days[i]-days[i-1])
	}
	return apart
}

// oddYears counts the rows of a year in which no receiver logged yet, or none does. What is
// within a year of 1970 may count from another moment, such as midnight.
func oddYears(l *track.Log) (rows int) {
	first, last := time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC).Unix(), time.Date(2100, 1, 1, 0, 0, 0, 0, time.UTC).Unix()
	for i := range l.Rows {
		if t := l.Rows[i].Time; t < 0 || t >= 366*86400 && t < float64(first) || t >= float64(last) {
			rows++
		}
	}
	return rows
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
		g, area := gaps{Log: name, Gaps: len(list), Asked: d.Bridge, Amount: amountOf(layer, d.laid.Ledger.Gaps/squareMeters)}, 0.0
		for _, gap := range list {
			if gap.Bridged {
				g.Bridged++
			} else if gap.Amount > 0 {
				area += float64(gap.Length() * gap.Width)
			}
		}
		place := f.lonLat(list[0].From)
		g.Spot = spot(place)
		severity := rx.Warning
		if g.Unfilled = g.Gaps - g.Bridged; g.Unfilled == 0 {
			severity = rx.Note
		}
		r.add(logGaps.Find(severity, g), unit.Area(area)*unit.SquareMeter, &place)
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
	if far := f.farGround(d); far+float64(d.away) > 0 {
		severity := rx.Warning
		if len(d.Log.Rows) == 0 {
			severity = rx.Error // all of it is far away
		}
		r.add(logFar.Find(severity, oddRows{name, d.away}), unit.Area(far)*unit.SquareMeter, nil)
	}
}

// farGround adds up what lies more than a swath outside the box around the field, of another
// field, it seems: a piece may be one section, or a slice of a turn.
func (f *Field) farGround(d *Drive) (area float64) {
	near := f.bound.Pad(float64(1.5 * d.laid.Widest))
	for i := range d.laid.Pieces {
		ring := &d.laid.Pieces[i].Ring
		width := samebits.Hypot(ring[0][0]-ring[1][0], ring[0][1]-ring[1][1])
		way := samebits.Hypot(ring[0][0]+ring[1][0]-ring[2][0]-ring[3][0], ring[0][1]+ring[1][1]-ring[2][1]-ring[3][1]) / 2
		middle := orb.Point{(ring[0][0] + ring[2][0]) / 2, (ring[0][1] + ring[2][1]) / 2}
		if !near.Contains(middle) {
			area += float64(width * way)
		}
	}
	for i := range d.patches {
		if shape := d.shapes.Shape(i); !near.Contains(shape.Bound().Center()) {
			area += math.Abs(areaOf(shape))
		}
	}
	return area
}
