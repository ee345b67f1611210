package split

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// wetBoom sprays the stabilizer in water through a boom at one constant rate over
// every acre that gets dry; the dry layer stays untreated and keeps its rates.
func wetBoom(t *Task) (solution, string) {
	rate := t.terms.Intended
	if pass, why := t.terms.PassRange(); why != "" {
		return solution{}, why
	} else if pass.Over(rate) {
		return solution{}, fmt.Sprintf("the season leaves %s of the %s intended (%s already applied; --stabilizer-rate lowers the rate)",
			pass.Max.Brief(t.terms.Units), rate.Brief(t.terms.Units), t.terms.AlreadyApplied.Brief(t.terms.Units))
	}
	left, why := t.untreated()
	if why != "" {
		return solution{}, why
	}
	area, err := t.sprayed()
	if err != nil {
		return solution{}, "the liquid layer can't be drawn: " + err.Error()
	}
	if area < leastSprayed {
		return solution{}, "all ground that gets dry lies " + t.terms.WhereKept() + ": there is nothing to spray"
	}
	if why := t.tankRefuses(); why != "" {
		return solution{}, why
	}
	s := solution{
		Way: rx.Way{
			Passes: 1, Sprayed: area, Untreated: left.Ground(), Stabilizer: unit.VolumeOver(rate, area), Rate: rx.Range[unit.LiquidRate]{Min: rate, Max: rate},
			Why: fmt.Sprintf("%s everywhere%s, whatever the dry rate", rate.Brief(t.terms.Units), t.butLeftOut()),
		},
		layers: []part{{name: "dry"}},
		more:   t.drawLiquid,
	}
	if t.terms.LeaveOff {
		for _, i := range t.terms.NoRoom {
			z := t.p.Zones[i]
			s.LeftZones, s.LeftOff = append(s.LeftZones, z.Number()), s.LeftOff+z.Area
		}
	}
	for _, l := range t.terms.FurtherOn(equip.OnBoom) {
		s.Why += fmt.Sprintf("; %s of %s in the tank", l.Intended.Brief(t.terms.Units), l.Name)
	}
	if len(t.terms.FurtherOn(equip.OnBlend)) == 0 {
		return s, ""
	}
	return t.carryFurther(s)
}

// tankRefuses says why a further liquid may not go into the tank with the stabilizer;
// empty if all may, as far as is known.
func (t *Task) tankRefuses() string {
	for _, l := range t.terms.FurtherOn(equip.OnBoom) {
		if may, names := t.terms.TankMix(l); may == label.Forbidden {
			return fmt.Sprintf("%s is to go into the tank with the stabilizer, and the label of %s forbids that", l.Name, strings.Join(names, " and of "))
		}
		pass, why := t.terms.Pass(l)
		if why != "" {
			return l.Name + ": " + why
		}
		if !pass.Contains(l.Intended) {
			return fmt.Sprintf("%s: %s is outside the %s to %s that one pass may put on", l.Name, l.Intended.Brief(t.terms.Units), pass.Min.Brief(t.terms.Units), pass.Max.Brief(t.terms.Units))
		}
	}
	return ""
}

// carryFurther has the dry of a wet boom, which gets no stabilizer, carry the further
// liquids that are for the blend, in one load at the prescribed rates.
func (t *Task) carryFurther(s solution) (solution, string) {
	dry := *t
	dry.terms.Sprayed = true
	steps := t.steps()
	if w, why := dry.window(rx.Range[unit.DryRate]{Min: steps[0].rate, Max: steps[len(steps)-1].rate}); w == nil {
		return solution{}, "the dry carries a liquid of its own: " + why
	}
	load := dry.serve(steps)
	for i, l := range t.terms.FurtherOn(equip.OnBlend) {
		s.Why += fmt.Sprintf("; the dry carries %s of %s", t.terms.LoadingText(load.Further[i]), l.Name)
	}
	s.Loads = []rx.Load{load}
	s.gets = grouping(s.Loads).gets
	s.layers = []part{t.carried("dry", nil, load)}
	return s, ""
}

// leastSprayed is how much ground, in acres, the keep-outs must leave, 40 cm², in all and
// in a piece: less is the rounding of areas that are the same, or of lines.
const leastSprayed = 1e-6

// butLeftOut limits a sentence about the ground that gets dry to what is sprayed of it.
func (t *Task) butLeftOut() string {
	var but []string
	if t.reachesKeepOut() != "" {
		but = append(but, t.terms.WhereKept())
	}
	if t.terms.Strips.Count > 0 {
		but = append(but, fmt.Sprintf("in %d untreated strips", t.terms.Strips.Count))
	}
	if but == nil {
		return ""
	}
	return " but " + strings.Join(but, " and ")
}

// leftOut is the ground that the boom leaves out: keep-outs and strips, which share none.
func (t *Task) leftOut() (orb.MultiPolygon, error) {
	left, why := t.untreated()
	if why != "" {
		return nil, errors.New(why)
	}
	return slices.Concat(t.keepOut, left.Grounds()), nil
}

// sprayed returns the area of the liquid layer. Where nothing is left out it is that of
// the zones that get dry, and needs no outline.
func (t *Task) sprayed() (unit.Area, error) {
	if len(t.keepOut) > 0 || t.terms.Strips.Count > 0 {
		pieces, err := t.liquid()
		if err != nil {
			return 0, err
		}
		return geo.AreaOf(pieces)
	}
	return t.p.DryArea(), nil
}

func (t *Task) liquidPieces() (orb.MultiPolygon, error) {
	outline, err := t.outline()
	if err != nil {
		return nil, err
	}
	out, err := t.leftOut()
	if err != nil || len(out) == 0 {
		return outline.Polygons, err
	}
	pieces, err := geo.Subtract(outline.Polygons, out)
	return slices.DeleteFunc(pieces, func(piece orb.Polygon) bool { // between polygons that touch but for rounding
		area, err := geo.AreaOf(orb.MultiPolygon{piece})
		return err == nil && area < leastSprayed
	}), err
}

// drawLiquid adds the liquid layer to a plan.
func (t *Task) drawLiquid(plan *rx.Plan) error {
	pieces, err := t.liquid()
	if err != nil {
		return &Refusal{Way: plan.Way.Name, Why: "the liquid layer can't be drawn: " + err.Error(), Hint: "repair the polygons where the prescription was made"}
	}
	liquid := rx.Layer{
		Name: "liquid", Product: rx.Liquid, Pieces: &geo.Shapes{},
		Rate: t.terms.Intended, Mix: t.mixRate(), Liquid: plan.Way.Rate,
	}
	for _, piece := range pieces {
		area, err := geo.AreaOf(orb.MultiPolygon{piece})
		if err != nil {
			return err
		}
		liquid.Pieces.Append(orb.MultiPolygon{piece})
		liquid.PieceArea = append(liquid.PieceArea, area)
		liquid.Area += area
	}
	for _, l := range t.terms.FurtherOn(equip.OnBoom) {
		liquid.Further = append(liquid.Further, rx.LayerLiquid{Name: l.Name, Rate: l.Intended, Volume: unit.VolumeOver(l.Intended, liquid.Area)})
	}
	liquid.Zones = len(liquid.PieceArea)
	t.drawStrips(plan, &liquid)
	liquid.Volume = unit.VolumeOver(liquid.Rate, liquid.Area)
	plan.Layers = append(plan.Layers, liquid)
	if plan.KeptOut, err = t.leftOutOfZones(); err != nil {
		return &Refusal{Way: plan.Way.Name, Why: "what is left out can't be held against the zones: " + err.Error(), Hint: "repair the polygons where the prescription or the keep-outs were made"}
	}
	for i, z := range t.p.Zones {
		if z.Dry > 0 && (plan.KeptOut == nil || plan.KeptOut[i] < z.Area*(1-Wholly)) {
			plan.Stabilizer[i] = liquid.Rate
			for k, l := range t.terms.Further {
				if l.On == equip.OnBoom {
					plan.Further[k][i] = l.Intended
				}
			}
		}
	}
	plan.Findings = append(plan.Findings, t.outlineNote(), t.mixNote(liquid.Mix))
	if len(t.keepOut) > 0 {
		note := t.keepOutNote(liquid.Area)
		plan.KeepOut = &note
		plan.Findings = append(plan.Findings, note)
	}
	return nil
}

// Wholly is how near to all of a zone counts as all of it: areas round.
const Wholly = 1e-9

// leftOutOfZones returns how much of each zone lies in keep-outs and strips; nil without any.
func (t *Task) leftOutOfZones() ([]unit.Area, error) {
	out, err := t.leftOut()
	if err != nil || len(out) == 0 {
		return nil, err
	}
	records, err := geo.AreasWithin(t.p.LonLat, out)
	if err != nil {
		return nil, err
	}
	zones := make([]unit.Area, len(t.p.Zones))
	for i, z := range t.p.Zones {
		zones[i] = min(records[z.Record], z.Area)
	}
	return zones, nil
}

// What is told of a liquid layer.
var (
	outlined = rx.NewRule[outline]("outline", rx.AboutPlan, rx.EveryPlan)
	mixed    = rx.NewRule[mix]("mix-rate", rx.AboutPlan, rx.EveryPlan)
)

// outline is how the outline was made.
type outline struct {
	Method        string
	Moved, Splits int // vertices, and edges
	Changed       bool
	MaxMove       unit.Length
	Where         string // ground was cut out; empty for none
	Strips        bool   // were left out
}

// noMove is how far a vertex goes at most, a thousandth of a millimeter, that only met the last
// digits of its neighbor's coordinates: the ground is the same then, and so it is where edges are split.
const noMove = 1e-6 * unit.Meter

// outlineNote tells how the outline was made and how far its acres may stand from
// those of the zones.
func (t *Task) outlineNote() rx.Finding {
	o, _ := t.outline() // it is drawn
	d := outline{Method: o.Method, Moved: o.Moved, Splits: o.Splits, Changed: o.MaxMove >= noMove, MaxMove: o.MaxMove, Strips: t.terms.Strips.Count > 0}
	if t.reachesKeepOut() != "" {
		d.Where = t.terms.WhereKept()
	}
	f := outlined.Find(rx.Note, d)
	f.Area = o.Bound
	return f
}

func (t *Task) keepOutNote(left unit.Area) rx.Finding {
	strips, _ := t.untreated()
	cut := t.p.DryArea() - left - strips.Ground()
	if cut < leastSprayed {
		return keepOutOfLiquid.Find(rx.Warning, rx.Nothing{})
	}
	f := keepOutOfLiquid.Find(rx.Note, rx.Nothing{})
	f.Area = cut
	return f
}

// mixRate is what the boom puts down in all, water and stabilizer: the job's
// volume or, where none is given, the least that the label allows.
func (t *Task) mixRate() unit.LiquidRate {
	if t.terms.Job != nil && t.terms.Job.Boom != nil && t.terms.Job.Boom.Volume > 0 {
		return t.terms.Job.Boom.Volume
	}
	if v, ok := t.terms.Label.SprayVolume.Get(); ok {
		return v.Min
	}
	return 0
}

// mix is what the boom puts down; 0 if that is not known.
type mix struct {
	Volume unit.LiquidRate
	Given  bool // by the job; or it is the least of the label
}

func (t *Task) mixNote(volume unit.LiquidRate) rx.Finding {
	return mixed.Find(rx.Note, mix{volume, t.terms.Job != nil && t.terms.Job.Boom != nil && t.terms.Job.Boom.Volume > 0})
}
