package split

import (
	"github.com/paulmach/orb"

	"rxsplit/rx"
)

// KeepOut returns the ground inside keep-outs that gets dry, in lon/lat, and tells
// what the keep-outs mean for a prescription that is impregnated as it is: dry that
// would land in them, or that they touch no ground that gets dry.
func KeepOut(p *rx.Prescription, a *rx.Assessment, keepOut orb.MultiPolygon) (orb.MultiPolygon, []rx.Finding) {
	if len(keepOut) == 0 {
		return nil, nil
	}
	t := newTask(p, a, keepOut)
	if t.nothingToTreat() != "" {
		return nil, nil
	}
	f := rx.Finding{Rule: "keep-out", Severity: rx.Warning, About: rx.AboutPlan}
	why := t.reachesKeepOut()
	if t.kept.err != nil {
		f.Text, f.Hint = why+".", "repair the polygons of the keep-outs"
		return nil, []rx.Finding{f}
	}
	if why != "" {
		f.Area = t.kept.area
		f.Text = rx.GroundText(f.Area, t.terms.Units) + " inside the keep-outs would get treated dry: keep-outs can be cut out of a liquid layer alone."
		f.Hint = "take the wet boom, whose liquid layer leaves them out"
		return t.kept.ground, []rx.Finding{f}
	}
	f.Text = "the keep-outs touch no ground that gets dry."
	f.Hint = "check that it is the right file for this field"
	return nil, []rx.Finding{f}
}
