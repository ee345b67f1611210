package split

import (
	"slices"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// inspect looks at a plan before anybody writes it: what it leaves off, and
// whether the season maximum and the label range hold where it lands.
func (t *Task) inspect(plan *rx.Plan) {
	add := func(list ...rx.Finding) { plan.Findings = append(plan.Findings, list...) }
	maybe := func(f rx.Finding, some bool) {
		if some {
			add(f)
		}
	}
	if len(plan.Way.LeftZones) > 0 {
		f := leftOff.Find(rx.Warning, rx.Nothing{})
		f.Zones, f.Area = plan.Way.LeftZones, plan.Way.LeftOff
		add(f)
	}
	maybe(t.zonesWhere(offLabel.Find(rx.Error, rx.Nothing{}), func(i int) bool {
		return plan.Stabilizer[i] > 0 && !t.a.Range.Contains(plan.Stabilizer[i])
	}))
	maybe(t.ofProduct())
	maybe(t.shortened())
	add(t.otherLoadings(plan.Way)...)
	maybe(t.liquidPerTon(plan))
	add(t.inspectFurther(plan)...)
	add(t.onEdge(plan.Way)...)
	add(t.betweenGraduations(plan.Way)...)
	for _, l := range plan.Layers {
		maybe(t.beyondSpreader(l))
	}
	if most, ok := t.terms.Label.SeasonMax.Get(); ok {
		maybe(t.inspectSeason(plan, most))
	}
	maybe(t.leftBehind())
}

// What is found in a plan whatever the way.
var (
	leftOff        = rx.NewRule[rx.Nothing]("left-off", rx.AboutPlan, rx.EveryPlan)
	offLabel       = rx.NewRule[rx.Nothing]("plan-off-label", rx.AboutPlan, rx.EveryPlan)
	planSeason     = rx.NewRule[seasonPassed]("plan-season-max", rx.AboutPlan, rx.EveryPlan)
	shortName      = rx.NewRule[shortNames]("short-name", rx.AboutPlan, rx.EveryPlan)
	layerOfProduct = rx.NewRule[ofProduct]("layer-of-product", rx.AboutPlan, rx.EveryPlan)
	notCarried     = rx.NewRule[otherFields]("not-carried", rx.AboutPlan, rx.EveryPlan)
	layerLimits    = rx.NewRule[beyondSpreader]("layer-spreader-limits", rx.AboutEquipment, rx.EveryPlan)
)

// zonesWhere adds the zones for which keep is true to a finding; some is false without any.
func (t *Task) zonesWhere(f rx.Finding, keep func(i int) bool) (_ rx.Finding, some bool) {
	some = f.Where(t.p, keep)
	return f, some
}

// seasonPassed is what a zone reaches in the season, and how much it may.
type seasonPassed struct{ Sum, Limit, AlreadyApplied unit.LiquidRate }

func (t *Task) inspectSeason(plan *rx.Plan, most unit.LiquidRate) (rx.Finding, bool) {
	season := rx.Range[unit.LiquidRate]{Max: most}
	d := seasonPassed{Limit: most, AlreadyApplied: t.terms.AlreadyApplied}
	already := t.terms.Stabilizer().AlreadyOn
	passes := func(i int) bool { return plan.Stabilizer[i] > 0 && season.Over(plan.Stabilizer[i]+already(i)) }
	for i := range t.p.Zones {
		if passes(i) {
			d.Sum = max(d.Sum, plan.Stabilizer[i]+already(i))
		}
	}
	return t.zonesWhere(planSeason.Find(rx.Error, d), passes)
}

// shortNames are rate fields whose names a shapefile can't hold.
type shortNames struct{ Names []shortened }

type shortened struct{ Name, Short string }

func (t *Task) shortened() (rx.Finding, bool) {
	var d shortNames
	for _, c := range t.p.DryColumns() {
		if c.Short != c.Name {
			d.Names = append(d.Names, shortened{c.Name, c.Short})
		}
	}
	return shortName.Find(rx.Note, d), len(d.Names) > 0
}

// otherFields are fields of the source that the layers don't carry: all but its rate fields.
type otherFields struct{ Fields []string }

func (t *Task) leftBehind() (f rx.Finding, some bool) {
	if t.p.Cells == nil {
		return f, false
	}
	var d otherFields
	for i, field := range t.p.Cells.Fields() {
		if !slices.ContainsFunc(t.p.Fields, func(f rx.RateField) bool { return f.Index == i }) {
			d.Fields = append(d.Fields, field.Name)
		}
	}
	return notCarried.Find(rx.Note, d), len(d.Fields) > 0
}

// ofProduct is what the layers hold where the source counts N.
type ofProduct struct {
	Columns      []string // of the layers
	Unit, Counts string
	Load         []string // of the columns, those to load
}

func (t *Task) ofProduct() (rx.Finding, bool) {
	field := t.p.Fields[0]
	d := ofProduct{Unit: field.Symbol, Counts: field.Counts()}
	for _, c := range t.p.DryColumns() {
		d.Columns = append(d.Columns, c.Name)
		if c.Load {
			d.Load = append(d.Load, c.Name)
		}
	}
	f := layerOfProduct.Find(rx.Warning, d)
	f.Field = field.Name
	return f, field.Nutrient
}

// beyondSpreader is what a layer asks for, where that is outside what the spreader can.
type beyondSpreader struct {
	Layer     string
	Asks, Can rx.Range[unit.DryRate]
}

// beyondSpreader finds ground where a dry layer asks for a rate that the spreader
// can't meter at its usual speed.
func (t *Task) beyondSpreader(l rx.Layer) (f rx.Finding, some bool) {
	if l.Product != rx.Dry || t.terms.Job == nil || t.terms.Job.Spreader == nil {
		return f, false
	}
	limits, ok := t.terms.Job.Spreader.Rates.Get()
	if !ok {
		return f, false
	}
	d := beyondSpreader{l.Name, l.Dry, rx.Range[unit.DryRate](limits)}
	if !t.p.Blend() {
		d.Asks = rx.Range[unit.DryRate]{}
		for _, c := range l.Columns {
			if c.Spread.Zones > 0 {
				d.Asks.Widen(c.Spread.Dry.Min, d.Asks.Max == 0)
				d.Asks.Widen(c.Spread.Dry.Max, false)
			}
		}
	}
	return t.zonesWhere(layerLimits.Find(rx.Warning, d), func(i int) bool {
		for r := range l.Metered(t.p, i) {
			if r > 0 && t.terms.Job.Spreader.Delivered(r) != r {
				return true
			}
		}
		return false
	})
}
