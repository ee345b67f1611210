package check

import (
	"math"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// What is found of the boom, which a plan uses where it has a liquid layer.
var (
	sprayVolume = rx.NewRule[offVolume]("spray-volume", rx.AboutEquipment, rx.LiquidPlans)
	boomSwath   = rx.NewRule[twoWidths]("boom-swath", rx.AboutEquipment, rx.LiquidPlans)
)

// offVolume is a boom's volume outside those of the label.
type offVolume struct {
	Volume unit.LiquidRate
	Range  rx.Range[unit.LiquidRate]
}

var (
	sprayVolumeLimits = stated(func(l *label.Profile) label.Known[label.Range[unit.LiquidRate]] { return l.SprayVolume }, "the label profile gives no spray volume")
	boomGiven         = given(boomOf, "no boom is given (--job, boom)")
	boomAndSpreader   = given(func(t rx.Terms) (*equip.Boom, bool) {
		boom, ok := boomOf(t)
		return boom, ok && t.Job.Spreader != nil
	}, "boom and spreader are not both given (--job)")
)

func boomOf(t rx.Terms) (*equip.Boom, bool) {
	if t.Job == nil {
		return nil, false
	}
	return t.Job.Boom, t.Job.Boom != nil
}

// findSprayVolume holds the boom's volume against the label's.
func findSprayVolume(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	v, _ := a.Terms.Label.SprayVolume.Get()
	r := rx.Range[unit.LiquidRate](v)
	if r.Contains(a.Terms.Job.Boom.Volume) {
		return nil
	}
	return []rx.Finding{sprayVolume.Find(rx.Warning, offVolume{a.Terms.Job.Boom.Volume, r})}
}

// twoWidths are those of boom and spreader, where they differ.
type twoWidths struct{ Boom, Swath unit.Length }

// findBoomSwath compares a wet boom with the spreader that carries it: on one machine
// strips between them get dry and no stabilizer, or the other way round.
func findBoomSwath(_ *rx.Prescription, a *rx.Assessment) []rx.Finding {
	boom, swath := a.Terms.Job.Boom.Width, a.Terms.Job.Spreader.Swath
	if math.Abs(float64(boom-swath)) <= 0.01*float64(swath) {
		return nil
	}
	return []rx.Finding{boomSwath.Find(rx.Warning, twoWidths{boom, swath})}
}
