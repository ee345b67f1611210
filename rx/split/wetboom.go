package split

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// wetBoom sprays the stabilizer in water through a boom at one constant rate over
// every acre that gets dry; the dry layer stays untreated and keeps its rates.
func wetBoom(t *task) (solution, string) {
	rate := t.terms.Intended
	if pass, why := t.terms.PassRange(); why != "" {
		return solution{}, why
	} else if pass.Over(rate) {
		return solution{}, fmt.Sprintf("%s and the %s already applied pass the season maximum; %s would not (--stabilizer-rate)",
			rate.Brief(t.terms.Units), t.terms.AlreadyApplied.Brief(t.terms.Units), pass.Max.Brief(t.terms.Units))
	}
	area, err := t.sprayed()
	if err != nil {
		return solution{}, "the liquid layer can't be drawn: " + err.Error()
	}
	if area < leastSprayed {
		return solution{}, "all ground that gets dry lies inside the keep-outs: there is nothing to spray"
	}
	return solution{
		Way: rx.Way{
			Passes: 1, Sprayed: area, Stabilizer: unit.VolumeOver(rate, area), Rate: rx.Range[unit.LiquidRate]{Min: rate, Max: rate},
			Why: fmt.Sprintf("%s everywhere%s, whatever the dry rate", rate.Brief(t.terms.Units), t.butKeepOuts()),
		},
		layers: []part{{name: "dry"}},
		more:   t.drawLiquid,
	}, ""
}

// leastSprayed is how much ground, in acres, the keep-outs must leave, 40 cm²: less is
// the rounding of areas that are the same.
const leastSprayed = 1e-6

// butKeepOuts limits a sentence about the ground that gets dry to what is sprayed of it.
func (t *task) butKeepOuts() string {
	if t.reachesKeepOut() == "" {
		return ""
	}
	return " but in the keep-outs"
}

// sprayed returns the area of the liquid layer. Without keep-outs it is that of
// the zones that get dry, and needs no outline.
func (t *task) sprayed() (unit.Area, error) {
	if len(t.keepOut) > 0 {
		pieces, err := t.liquidPieces()
		if err != nil {
			return 0, err
		}
		return geo.AreaOf(pieces)
	}
	return t.dryArea(), nil
}

func (t *task) liquidPieces() (orb.MultiPolygon, error) {
	outline, err := t.treatedOutline()
	if err != nil {
		return nil, err
	}
	if len(t.keepOut) == 0 {
		return outline.Polygons, nil
	}
	return geo.Subtract(outline.Polygons, t.keepOut)
}

// drawLiquid adds the liquid layer to a plan.
func (t *task) drawLiquid(plan *rx.Plan) error {
	pieces, err := t.liquidPieces()
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
	liquid.Zones = len(liquid.PieceArea)
	liquid.Volume = unit.VolumeOver(liquid.Rate, liquid.Area)
	plan.Layers = append(plan.Layers, liquid)
	if plan.KeptOut, err = t.keptOutOfZones(); err != nil {
		return &Refusal{Way: plan.Way.Name, Why: "the keep-outs can't be held against the zones: " + err.Error(), Hint: "repair the polygons where the prescription or the keep-outs were made"}
	}
	for i, z := range t.p.Zones {
		if z.Dry > 0 && (plan.KeptOut == nil || plan.KeptOut[i] < z.Area*(1-wholly)) {
			plan.Stabilizer[i] = liquid.Rate
		}
	}
	plan.Findings = append(plan.Findings, t.outlineNote(), t.mixNote(liquid.Mix))
	if finding, cut := t.keepOutNote(liquid.Area); cut {
		plan.Findings = append(plan.Findings, finding)
	}
	return nil
}

// wholly is how near to all of a zone counts as all of it: areas round.
const wholly = 1e-9

// keptOutOfZones returns how much of each zone lies in the keep-outs; nil without any.
func (t *task) keptOutOfZones() ([]unit.Area, error) {
	if len(t.keepOut) == 0 {
		return nil, nil
	}
	records, err := geo.AreasWithin(t.p.LonLat, t.keepOut)
	if err != nil {
		return nil, err
	}
	zones := make([]unit.Area, len(t.p.Zones))
	for i, z := range t.p.Zones {
		zones[i] = min(records[z.Record], z.Area)
	}
	return zones, nil
}

// outlineNote tells how the outline was made and how far its acres may stand from
// those of the zones.
func (t *task) outlineNote() rx.Finding {
	o := t.outline
	text := "the liquid layer is the joined outline of the zones that get dry"
	kept := t.reachesKeepOut() != ""
	if kept {
		text += ", less the keep-outs"
	}
	switch {
	case o.Moved > 0 || o.Splits > 0:
		text += fmt.Sprintf("; the outline's area can stand up to %.2g ac from the sum of the zones as drawn: %d vertices moved by up to %.2g mm to meet a neighbor's, %d edges split where a neighbor's vertex touches them",
			float64(o.Bound), o.Moved, unit.Meters(o.MaxMove)*1000, o.Splits)
	case !kept:
		text += ", and covers the same ground"
	}
	return rx.Finding{Rule: "outline", Severity: rx.Note, About: rx.AboutPlan, Area: o.Bound, Got: o.Method, Text: text}
}

func (t *task) keepOutNote(left unit.Area) (rx.Finding, bool) {
	if len(t.keepOut) == 0 {
		return rx.Finding{}, false
	}
	cut := t.dryArea() - left
	if cut < 1e-6 {
		return rx.Finding{
			Rule: "keep-out", Severity: rx.Warning, About: rx.AboutPlan,
			Text: "the keep-outs touch no ground that gets dry: nothing is cut out of the liquid layer", Hint: "check that it is the right file for this field",
		}, true
	}
	return rx.Finding{
		Rule: "keep-out", Severity: rx.Note, About: rx.AboutPlan, Area: cut,
		Text: rx.GroundText(cut, t.terms.Units) + " inside keep-outs get dry but no stabilizer",
	}, true
}

// mixRate is what the boom puts down in all, water and stabilizer: the job's
// volume or, where none is given, the least that the label allows.
func (t *task) mixRate() unit.LiquidRate {
	if t.terms.Job != nil && t.terms.Job.Boom != nil && t.terms.Job.Boom.Volume > 0 {
		return t.terms.Job.Boom.Volume
	}
	if v, ok := t.terms.Label.SprayVolume.Get(); ok {
		return v.Min
	}
	return 0
}

func (t *task) mixNote(mix unit.LiquidRate) rx.Finding {
	f := rx.Finding{Rule: "mix-rate", Severity: rx.Note, About: rx.AboutPlan}
	one, symbol := unit.SprayVolumeUnit(t.terms.Units)
	volume := fmt.Sprintf("%.4g %s", float64(mix/one), symbol)
	switch {
	case mix == 0:
		f.Text = "no spray volume is known: MIX_RATE is left empty in the liquid layer"
		f.Hint = "give the boom's volume in the job file"
	case t.terms.Job != nil && t.terms.Job.Boom != nil && t.terms.Job.Boom.Volume > 0:
		f.Text = "the boom puts down " + volume + " of water and stabilizer together"
	default:
		f.Text = "no boom is given: MIX_RATE is " + volume + ", the least spray volume of the label"
		f.Hint = "give the boom's volume in the job file"
	}
	return f
}
