// Package sheet makes the work sheets of a plan: what the blend plant, the sprayer,
// the spreader and the field's office need on paper to do what the plan says.
//
// A sheet says what is not known, and leaves a blank to fill in; it guesses nothing
// in silence. Figures that people weigh or meter are rounded as a scale or a meter
// reads them, and totals are the sums of what is printed.
//
// What the sheets say stands in the text files of the folder words; a Go file a sheet
// works out the figures that go in, and the tables.
package sheet

import (
	"cmp"
	"maps"
	"math"
	"reflect"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// For returns the sheets of a plan, in the units of the assessment's terms; before them
// comes the card of [Release]. First are the cards that people work from: of the blender one for each treated layer, of the boom, of
// the spreader one for each dry layer. Their appendix follows: a blender sheet for each
// treated layer, a boom sheet for the liquid layer, a spreader sheet and a field sheet.
func For(p *rx.Prescription, a *rx.Assessment, plan *rx.Plan) []rx.Sheet {
	in := newInputs(p, a, plan)
	return append(in.cards(), in.appendix()...)
}

// appendix lists the sheets behind the cards.
func (in *inputs) appendix() []rx.Sheet {
	var sheets []rx.Sheet
	for i := range in.treated {
		sheets = append(sheets, in.blender(i))
	}
	sheets = append(in.saidOnce(sheets), in.spreader())
	for _, l := range in.layers(rx.Liquid) {
		sheets = append(sheets, in.boom(l))
	}
	return append(sheets, in.field())
}

// saidOnce leaves out of sheets of one kind what the first of them says word for word, and
// names where that stands. What comes before the work is on every sheet.
func (in *inputs) saidOnce(sheets []rx.Sheet) []rx.Sheet {
	const everywhere = 2 // sections
	for i := 1; i < len(sheets); i++ {
		first, s := sheets[0], &sheets[i]
		var left []string
		s.Sections = slices.DeleteFunc(s.Sections, func(part rx.Section) bool {
			same := !strings.HasPrefix(part.Title, "Not known") && slices.ContainsFunc(first.Sections[everywhere:], func(o rx.Section) bool { return reflect.DeepEqual(o, part) })
			if same {
				left = append(left, part.Title)
			}
			return same
		})
		if len(left) > 0 {
			d := &document{inputs: in, sheet: *s}
			d.write("As on the other sheet", values{"other sheet": first.Title, "sections on it": strings.Join(left, "; ")})
			*s = d.sheet
		}
	}
	return sheets
}

// inputs is what the sheets are made from.
type inputs struct {
	show
	p       *rx.Prescription
	a       *rx.Assessment
	plan    *rx.Plan
	label   *label.Profile
	job     equip.Job // empty if none is given
	treated []treated // the treated layers, in the plan's order
}

func newInputs(p *rx.Prescription, a *rx.Assessment, plan *rx.Plan) *inputs {
	in := &inputs{show: show{a.Terms.Units}, p: p, a: a, plan: plan, label: a.Terms.Label}
	if a.Terms.Job != nil {
		in.job = *a.Terms.Job
	}
	for i := range plan.Layers {
		if plan.Layers[i].Treated {
			in.treated = append(in.treated, in.treat(&plan.Layers[i]))
		}
	}
	return in
}

// document is a sheet that is being written.
type document struct {
	*inputs
	sheet   rx.Sheet
	always  values   // known in every section
	unknown []values // questions that the sections leave open
}

// begin starts a sheet for work with some liquids.
func (in *inputs) begin(kind rx.SheetKind, title, layer string, liquids []rx.JobLiquid) *document {
	d := &document{inputs: in, sheet: rx.Sheet{Kind: kind, Title: title, Layer: layer, Heads: in.heads(layer)}}
	d.always = in.everywhere()
	maps.Copy(d.always, in.handled(liquids))
	d.write("(job)", values{
		"customer": orBlank(d.job.Customer), "field": orBlank(d.job.Field), "date": orBlank(string(d.job.Date)), "operator": orBlank(d.job.Operator),
		"prescription": d.p.Source.Name, "digest": digest(d.p.Source.SHA256()), "way": d.plan.Way.Name.Words(), "decision": in.decisionOfWork(),
		"layer": layer, "of one layer": layer != "",
	})
	d.write("Before the work begins", values{"product is handled": kind != rx.FieldSheet})
	return d
}

// decisionOfWork is the decision without its cost. Cards and sheets go into the plant and the
// truck, where nobody decides by it; who orders the work reads it on the release card.
func (in *inputs) decisionOfWork() string {
	way := in.plan.Way
	way.Cost = nil
	return tell.Text(rx.DecisionOf(in.p, way), in.s)
}

// everywhere is what all sections may use: units, what is known of the product, and each key of
// its label profile as {label's timing}, with [if label's timing known].
func (in *inputs) everywhere() values {
	_, dense := in.label.Density.Get()
	hold, held := in.label.Hold.Get()
	left := each.Of(in.a.Terms.LeftOver, in.loading)
	v := values{
		"ac": in.areaUnit(), "lb": in.massUnit(), "ton": in.bulkUnit(), "lb/ac": in.dryUnit(),
		"fl oz": in.dropUnit(), "gal": in.canUnit(), "fl oz/ac": in.rateUnit(), "gal/ac": in.sprayUnit(),
		"psi": unit.Symbol[unit.Pressure](in.s), "ft": unit.Symbol[unit.Length](in.s), "lb/ft3": in.bulkDensityUnit(),
		"lb/min": unit.Symbol[unit.MassFlow](in.s), "ft3/min": unit.Symbol[unit.BulkFlow](in.s),

		"metric":              in.s == unit.Metric,
		"made in a day's run": in.job.Run != "", "run of the day": in.job.Run, "left-over blend alone": in.job.Run == equip.NoRun,
		"gets left-over blend": len(in.a.Terms.LeftOver) > 0, "loadings left over": strings.Join(left, " and "),

		"stabilizer":               in.label.Name,
		"label range":              between(in.rate(in.a.Range.Min), in.rate(in.a.Range.Max)),
		"stabilizer density known": dense,

		"holding time known": held, "label's holding time": in.days(hold),

		"satisfactory": percent(equip.SatisfactoryCV), "poor": percent(equip.PoorCV), "source of CV": equip.SourceCV,
		"treated": len(in.treated) > 0,
	}
	for key, text := range in.label.Said(in.s) {
		v["label's "+key], v["label's "+key+" known"] = text, text != ""
	}
	return v
}

// end returns the sheet; what is not known stands behind the cautions, so that it is
// asked for before the work begins.
func (d *document) end() rx.Sheet {
	if len(d.unknown) > 0 {
		d.write("Not known: find out and write it in", values{"question": d.unknown})
		last := len(d.sheet.Sections) - 1
		const behindCautions = 2
		d.sheet.Sections = slices.Insert(d.sheet.Sections[:last], behindCautions, d.sheet.Sections[last])
	}
	return d.sheet
}

// only returns a table where it is known, and none where it is not.
func only(known bool, table rx.Table) []rx.Table {
	if !known {
		return nil
	}
	return []rx.Table{table}
}

func orBlank(s string) string { return cmp.Or(s, blank) }

func digest(sum string) string {
	const shown = 12
	if len(sum) < shown {
		return ""
	}
	return "SHA-256 " + sum[:shown] + "..."
}

// sentence begins a text with a capital and ends it with a full stop.
func sentence(s string) string {
	if s == "" {
		return ""
	}
	return tell.Capital(strings.TrimSuffix(s, ".")) + "."
}

// rounded ends what a batch or a tank takes: how its volume was rounded to what a meter
// reads, and why. whyNot says what another volume would do against the label, as what
// follows "would".
func (d *document) rounded(takes string, exact, dosed unit.Volume, whyNot func(unit.Volume) string) string {
	step := equip.MeterStep(d.s)
	near := unit.Volume(unit.Volume(math.Round(float64(exact/step))) * step)
	off := math.Abs(float64((dosed - near) / step))
	why := ""
	if math.Abs(off-1) < 1e-9 {
		why = whyNot(near)
	}
	return d.phrase("rounded", values{
		"what it takes": takes, "dosed": d.drop(dosed), "rounded down": dosed < exact,
		"exact":   off < 1e-9 && math.Abs(float64(dosed-exact)) <= 1e-9*float64(exact),
		"nearest": off < 1e-9, "nearest dose": d.dropN(near),
		"nearest is off the label": why != "", "break the label": why,
	})
}

// conflicts says what speaks against a blend.
func (d *document) conflicts(list []equip.Conflict) []values {
	var all []values
	for _, c := range list {
		all = append(all, values{
			"never": c.Block, "tested": c.Stop && d.job.BlendTested, "stopped": c.Stop,
			"what happens": c.Text, "advice": sentence(c.Hint), "source": c.Source,
		})
	}
	return all
}
