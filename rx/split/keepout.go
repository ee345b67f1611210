package split

import (
	"fmt"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// What keep-outs mean for the blend as it is, and for a liquid layer.
var (
	keepOutOfBlend  = rx.NewRule[keptOut]("keep-out/of the blend", rx.AboutPlan, rx.NoPlan)
	keepOutOfLiquid = rx.NewRule[rx.Nothing]("keep-out/of the liquid layer", rx.AboutPlan, rx.EveryPlan)
)

// keptOut is ground that is kept out, and why it can't be held against the zones; empty if it can.
type keptOut struct{ Where, Fault string }

// KeepOut returns the ground inside keep-outs that gets dry, in lon/lat, and tells
// what the keep-outs mean for a prescription that is impregnated as it is: dry that
// would land in them, or that they touch no ground that gets dry. It tells nothing, nil,
// if there are none.
func (t *Task) KeepOut() (orb.MultiPolygon, *rx.Finding) {
	if len(t.keepOut) == 0 || t.nothingToTreat() != "" {
		return nil, nil
	}
	lands := t.reachesKeepOut() != ""
	d := keptOut{Where: t.terms.WhereKept()}
	if t.kept.err != nil {
		d.Fault = t.kept.err.Error()
	}
	f := keepOutOfBlend.Find(rx.Warning, d)
	if !lands || d.Fault != "" {
		return nil, &f
	}
	f.Area = t.kept.area
	return t.kept.ground, &f
}

// treatedOutline dissolves the zones that get dry.
func treatedOutline(p *rx.Prescription) (*geo.Outline, error) {
	kept := make([]bool, p.Drawn.Len())
	for _, z := range p.Zones {
		kept[z.Record] = z.HasRate() && z.Dry > 0
	}
	return p.Mesh.Outline(func(record int) bool { return kept[record] })
}

// inKeepOut is the ground inside keep-outs that gets dry.
type inKeepOut struct {
	ground orb.MultiPolygon
	area   unit.Area
	err    error
}

// reachesKeepOut says why no impregnated dry may be spread: some of it would land
// in a keep-out. It is empty where none would.
func (t *Task) reachesKeepOut() string {
	if len(t.keepOut) == 0 {
		return ""
	}
	if t.kept == nil {
		t.kept = t.insideKeepOut()
	}
	switch {
	case t.kept.err != nil:
		return "the keep-outs can't be held against the zones: " + t.kept.err.Error()
	case t.kept.area > 1e-6:
		ground := tell.Ground(t.kept.area, t.terms.Units)
		if keepOuts, _ := t.terms.KeptBy(); !keepOuts {
			return fmt.Sprintf("on %s the season has no room for treated dry (only a liquid layer can leave such ground out)", ground)
		}
		return fmt.Sprintf("treated dry would land on %s %s (only a liquid layer can leave such ground out)", ground, t.terms.WhereKept())
	}
	return ""
}

func (t *Task) insideKeepOut() *inKeepOut {
	outline, err := t.outline()
	if err != nil {
		return &inKeepOut{err: err}
	}
	common, err := geo.Intersect(outline.Polygons, t.keepOut)
	if err != nil {
		return &inKeepOut{err: err}
	}
	area, err := geo.AreaOf(common)
	return &inKeepOut{common, area, err}
}
