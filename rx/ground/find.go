package ground

import (
	"fmt"
	"math"
	"slices"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
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
	linesWide   = rule[spaced]("scan-lines")
)

func rule[D any](key string) rx.Rule[D] { return rx.NewRule[D](key, rx.AboutPlan, rx.NoPlan[D]) }

// landed is ground on which a liquid is off label.
type landed struct {
	Name       string // of a further liquid; empty for the stabilizer
	Label      rx.Range[unit.LiquidRate]
	Error      goodTo
	Registered bool
	Forbidden  bool            // by the label, to go below its range
	Season     unit.LiquidRate // the most of a season
	Alone      unit.Area       // of what is above that, the label's range holds for the pass
	Spot       spot            // the largest
}

// missing says which layers were not laid.
type missing struct {
	Name   string
	Layers []string
}

// extentOf is ground of a layer.
type extentOf struct {
	Layer  string
	Error  goodTo
	Joints unit.Area // of it, narrower than a receiver can tell
	Where  string    // it lies, if it is kept out
	Amount amount
	Spot   spot
}

// goodTo is how far a figure may be off: by the lines that the ground is looked at by, unless
// its log is in doubt.
type goodTo struct {
	Area    unit.Area
	Doubted bool
}

// Words prints it as what follows "that figure is".
func (g goodTo) Words(s unit.System) string {
	if g.Doubted {
		return "as good as the log, which is in doubt"
	}
	return "good to " + tell.Ground(g.Area, s)
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

// rate is what a layer lays on its ground, dry or liquid.
type rate struct {
	Dry    unit.DryRate
	Liquid unit.LiquidRate
}

func rateOf(l *rx.Layer, v float64) rate {
	if l.Product == rx.Liquid {
		return rate{Liquid: unit.LiquidRate(v)}
	}
	return rate{Dry: unit.DryRate(v)}
}

// Words prints the rate in a system of units.
func (r rate) Words(s unit.System) string {
	if r.Liquid != 0 {
		return r.Liquid.Brief(s)
	}
	return r.Dry.Brief(s)
}

// spot is a place that somebody is to look at.
type spot orb.Point

// Words prints the place as maps take it.
func (p spot) Words(unit.System) string { return fmt.Sprintf("%.6f, %.6f", p[1], p[0]) }

type spaced struct{ Spacing unit.Length }

// amountOf makes an amount of a layer's own units.
func amountOf(l *rx.Layer, v float64) amount {
	if l.Product == rx.Liquid {
		return amount{Volume: unit.Volume(v)}
	}
	return amount{Mass: unit.Mass(v)}
}

// seen is from how much ground on something is told of, and how finely: a hundredth of an acre.
const seen = 0.01 * unit.Acre

// find gathers what there is to tell.
func (r *Result) find(drives []*Drive, products []int) {
	for _, d := range drives {
		if d.Log != nil {
			r.findLog(d)
		}
	}
	for i := range r.Liquids {
		r.findLiquid(&r.Liquids[i])
	}
	for i, layer := range products {
		r.findProduct(&r.Products[i])
		if days := daysOf(drives, layer); days > 1 {
			severity := rx.Note
			if p := &r.Products[i]; p.Twice.Area > 0.01*p.Covered.Area {
				severity = rx.Warning // ground got both, it seems
			}
			r.add(logDays.Find(severity, daysApart{r.Products[i].Layer.Name, days}), 0, nil)
		}
	}
	if r.tables.Widened {
		r.add(linesWide.Find(rx.Note, spaced{r.Spacing}), 0, nil)
	}
}

// Doubts reports whether a finding puts all acres or amounts of a log in doubt: whoever sums them up
// is to say so.
func Doubts(f rx.Finding) bool {
	switch f.Rule() {
	case "log-mixed", "log-of", "log-rates", "log-width", "log-far", "log-nothing", "log-overlap":
		return true
	}
	return false
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

func (r *Result) goodTo(on Extent) goodTo {
	return goodTo{max(on.Error, seen), slices.ContainsFunc(r.Findings, Doubts)}
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
		if c.class == OverSeason {
			on = l.Season
		}
		if on.Area < seen {
			continue
		}
		place, at := r.largest(c.class.String(), l.Liquid.Name)
		r.add(c.rule.Find(c.severity, landed{
			Name: l.Liquid.Further(), Label: labeled, Error: r.goodTo(on), Registered: l.Liquid.Label.IsRegistered(),
			Forbidden: l.Liquid.Label.ForbidsBelow(), Season: l.Limit, Alone: l.Classes[OverSeason].Area, Spot: at,
		}), on.Area, place)
	}
}

func (r *Result) findProduct(p *Product) {
	name, joints := p.Layer.Name, p.Joints.Area
	if joints < seen {
		joints = 0
	}
	for _, c := range []struct {
		what     string
		rule     rx.Rule[extentOf]
		severity rx.Severity
		on       Extent
		data     extentOf
	}{
		{"skip", landsSkip, rx.Warning, p.Skip, extentOf{}},
		{"twice", landsTwice, rx.Note, p.Twice, extentOf{Joints: joints}},
		{"outside", landsOut, rx.Warning, p.Outside, extentOf{Amount: amountOf(p.Layer, p.OutField)}},
		{"keep-out", landsKept, rx.Error, p.KeepOut, extentOf{Amount: amountOf(p.Layer, p.InKeepOut), Where: r.Field.Assessment.Terms.WhereKept()}},
	} {
		if c.on.Area < seen || c.what == "keep-out" && p.Layer.Product == rx.Dry && !p.Layer.Treated {
			continue // untreated dry may go into a keep-out of the liquid
		}
		c.data.Layer, c.data.Error = name, r.goodTo(c.on)
		place, at := r.largest(c.what, name)
		c.data.Spot = at
		r.add(c.rule.Find(c.severity, c.data), c.on.Area, place)
	}
	if off := math.Abs(p.Weighed - 1); p.Weighed > 0 && off > 0.05 {
		r.add(logWeighed.Find(rx.Warning, weighed{name, unit.Ratio(p.Weighed), unit.Ratio(off), p.Weighed > 1, p.Weighed > otherRate || p.Weighed < 1/otherRate}), 0, nil)
	}
	if d := p.Delay; d != nil {
		late := delayed{name, d.Seconds > 0, unit.Time(math.Abs(d.Seconds)) * unit.Second, d.Way, d.Changes, unit.Ratio(d.Fit)}
		r.add(logDelay.Find(rx.Note, late), 0, nil)
	}
}
