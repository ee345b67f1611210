// Package record puts together what is known of an application: from the plan, its label and
// job, its approval, the logs, and what somebody says of the day; and names what is missing.
//
// It is a check of completeness and no claim of compliance: which records must be kept, and
// for how long, is for the law of the place and the licensed applicator to say.
package record

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/tell"
)

// said is what only those who were there can say.
type said struct {
	Date         label.Date `yaml:"date"`
	Begin        string     `yaml:"begin"`
	End          string     `yaml:"end"`
	Applicator   string     `yaml:"applicator"`
	License      string     `yaml:"license"`
	AppliedBy    string     `yaml:"applied-by"`
	Lots         []string   `yaml:"lots"`
	Wind         string     `yaml:"wind"`
	Air          string     `yaml:"air"`
	Sky          string     `yaml:"sky"`
	Soil         string     `yaml:"soil"`
	JarTest      string     `yaml:"jar-test"`
	MixingOrder  string     `yaml:"mixing-order"`
	Rinsed       string     `yaml:"rinsed"`
	Incorporated string     `yaml:"incorporated"`
	Treated      string     `yaml:"treated"`
	Total        string     `yaml:"total"`
}

// ParseSaid reads what was said of the day in YAML; the error is a [strictyaml.Errors].
func ParseSaid(name string, data []byte) (*said, error) {
	s := new(said)
	err := strictyaml.Decode(name, data, s).Err()
	return s, err
}

// Template is a file of what is to be said, to be filled in.
const Template = `# What only those who were there can say. Take the mark off what is known, and say it.
# date:                    # of the application, such as 2026-05-04
# begin:                   # time of day
# end:
# applicator:              # the certified applicator
# license:                 # number of the certification
# applied-by:              # who drove, if somebody else
lots: []                 # lot numbers of the products
# wind:                    # speed and direction
# air:                     # temperature
# sky:
# soil:                    # temperature and moisture
# jar-test:                # of tank mixes: by whom, and what it showed
# mixing-order:
# rinsed:                  # tank, boom or blender, between jobs
# incorporated:            # how and when
# treated:                 # ground, where no logs say it
# total:                   # stabilizer, where no logs say it
`

// Row is one thing that a record has.
type Row struct {
	What  string
	Value string   // empty where it is missing
	From  string   // who says it: "plan", "label", "job", "approval", "logs" or "said"
	Asked []string // the rules of federal law that ask for it
	Where string   // what to fill in, where it is missing
}

// Record is all of them, in order.
type Record struct{ Rows []Row }

// Missing lists what is not known.
func (r Record) Missing() (list []Row) {
	for _, row := range r.Rows {
		if row.Value == "" {
			list = append(list, row)
		}
	}
	return list
}

// The rules that ask: of private and commercial applicators of restricted use products, and
// of commercial applicators in state plans. Which rule asks for which row is from memory: read
// the rule.
const (
	rup   = "7 CFR 110.3"
	state = "40 CFR 171.303(b)(7)"
)

// Known is what a record is made from.
type Known struct {
	Prescription *rx.Prescription
	Terms        rx.Terms
	Plan         *rx.Plan
	Approval     *rx.Approval // nil for none
	Said         *said        // nil for nothing
	Logged       *Logged      // nil without logs
}

// Logged is what logs say of the stabilizer.
type Logged struct {
	Treated unit.Area
	Total   unit.Volume
	Weighed unit.Volume // or filled; 0 where nobody says it
	Outside unit.Volume // of the total, beyond every zone: ground that Treated leaves out
	Within  unit.Area   // inside the label's range
	Off     unit.Area   // below, above, or over the season maximum
	Doubts  []string    // what puts acres and amounts of the logs in doubt
}

// Of puts a record together.
func Of(k Known) Record {
	if k.Said == nil {
		k.Said = &said{}
	}
	b := &builder{Known: k, units: k.Terms.Units}
	b.who()
	b.product()
	b.ground()
	b.day()
	b.care()
	return b.Record
}

type builder struct {
	Known
	Record
	units unit.System
}

// add adds a row; of several values the first that says something counts.
func (b *builder) add(what, where string, asked []string, said ...[2]string) {
	row := Row{What: what, Where: where, Asked: asked}
	for _, s := range said {
		if row.Value == "" && s[1] != "" {
			row.From, row.Value = s[0], s[1]
		}
	}
	b.Rows = append(b.Rows, row)
}

func (b *builder) who() {
	var customer, address string
	if j := b.Terms.Job; j != nil {
		customer, address = j.Customer, j.Address
	}
	var by, license string
	if a := b.Approval; a != nil {
		by, license = a.By+", "+a.At.Format("2006-01-02 15:04 MST"), a.License
	}
	said := b.Said
	b.add("Applied for", "job file, customer", []string{state}, [2]string{"job", customer})
	b.add("Address", "job file, address", []string{state}, [2]string{"job", address})
	b.add("Certified applicator", "said file, applicator", []string{rup, state}, [2]string{"said", said.Applicator})
	b.add("Certification number", "said file, license", []string{rup, state}, [2]string{"said", said.License}, [2]string{"approval", license})
	b.add("Applied by", "said file, applied-by", nil, [2]string{"said", said.AppliedBy}, [2]string{"said", said.Applicator})
	b.add("Plan approved by", "rxsplit approve", nil, [2]string{"approval", by})
}

func (b *builder) product() {
	l := b.Terms.Label
	registration := l.Registration
	if j := b.Terms.Job; j != nil && registration == "" {
		registration = j.Registration
	}
	restricted := ""
	if l.Restricted != label.Unknown {
		restricted = l.Restricted.String()
	}
	b.add("Product", "label profile, name", []string{rup, state}, [2]string{"label", l.Name})
	b.add("EPA Reg. No.", "label profile, registration", []string{rup, state}, [2]string{"label", registration})
	b.add("Active ingredient", "label profile, active", nil, [2]string{"label", l.Active})
	b.add("Restricted use pesticide", "label profile, restricted-use", nil, [2]string{"label", restricted})
	b.add("Lot numbers", "said file, lots", nil, [2]string{"said", strings.Join(b.Said.Lots, ", ")})
	for _, f := range b.Terms.Further {
		number := ""
		if f.Label != nil {
			number = f.Label.Registration
		}
		b.add("EPA Reg. No. of "+f.Name, "its label profile, registration", []string{rup, state}, [2]string{"label", number})
	}
	logged := ""
	if b.Logged != nil {
		logged = b.Logged.Total.Brief(b.units)
		if w := b.Logged.Weighed; w > 0 {
			logged = w.Brief(b.units) + " weighed or filled, " + logged + " as logged"
		}
		if b.Said.Total != "" {
			logged += "; as said: " + b.Said.Total
		}
	}
	b.add("Stabilizer in all", "said file, total; or the logs, with --applied", []string{rup, state}, [2]string{"logs", logged}, [2]string{"said", b.Said.Total})
	var planned rx.Range[unit.LiquidRate]
	for _, s := range b.Plan.Stabilizer {
		if s > 0 {
			planned.Widen(s, planned.Max == 0)
		}
	}
	rates := planned.Min.Brief(b.units)
	if planned.Max > planned.Min {
		rates += " to " + planned.Max.Brief(b.units)
	}
	b.add("Rate, as planned", "the plan", nil, [2]string{"plan", rates})
}

func (b *builder) ground() {
	var field, place, crop string
	if j := b.Terms.Job; j != nil {
		field, place, crop = j.Field, j.Place, j.Crop
	}
	treated := ""
	if b.Logged != nil {
		treated = tell.Ground(b.Logged.Treated, b.units)
		if b.Said.Treated != "" {
			treated += "; as said: " + b.Said.Treated
		}
	}
	b.add("Field", "job file, field", nil, [2]string{"job", field})
	b.add("Legal location", "job file, place", []string{rup, state}, [2]string{"job", place})
	b.add("Crop or site", "job file, crop", []string{rup, state}, [2]string{"job", crop})
	b.add("Ground to be treated, as planned", "the plan", nil, [2]string{"plan", tell.Ground(b.Plan.StabilizerGround(b.Prescription.Zones), b.units)})
	b.add("Ground treated", "said file, treated; or the logs, with --applied", []string{rup, state}, [2]string{"logs", treated}, [2]string{"said", b.Said.Treated})
	if b.Logged != nil {
		b.add("Inside the label's range, as logged", "", nil, [2]string{"logs", tell.Ground(b.Logged.Within, b.units)})
		b.add("Off the label's range, as logged", "", nil, [2]string{"logs", tell.Ground(b.Logged.Off, b.units)})
	}
	if b.Logged != nil && len(b.Logged.Doubts) > 0 {
		b.add("In doubt, of the logs", "", nil, [2]string{"logs", strings.Join(b.Logged.Doubts, " ")})
	}
	if b.Logged != nil && b.Logged.Outside > 0 {
		b.add("Stabilizer outside every zone, as logged", "", nil, [2]string{"logs", b.Logged.Outside.Brief(b.units)})
	}
}

func (b *builder) day() {
	s := b.Said
	b.add("Date", "said file, date", []string{rup, state}, [2]string{"said", string(s.Date)})
	b.add("Begin", "said file, begin", []string{state}, [2]string{"said", s.Begin})
	b.add("End", "said file, end", nil, [2]string{"said", s.End})
	b.add("Wind", "said file, wind", nil, [2]string{"said", s.Wind})
	b.add("Air", "said file, air", nil, [2]string{"said", s.Air})
	b.add("Sky", "said file, sky", nil, [2]string{"said", s.Sky})
	b.add("Soil", "said file, soil", nil, [2]string{"said", s.Soil})
}

func (b *builder) care() {
	l, s := b.Terms.Label, b.Said
	known := func(k label.Known[unit.Time], text func(unit.Time, unit.System) string) string {
		if t, ok := k.Get(); ok {
			return text(t, b.units)
		}
		return ""
	}
	b.add("Restricted-entry interval", "label profile, re-entry", nil, [2]string{"label", known(l.ReEntry, unit.Time.Brief)})
	b.add("Crops of the label", "label profile, crops", nil, [2]string{"label", strings.Join(l.Crops, ", ")})
	b.add("Timing of the label", "label profile, timing", nil, [2]string{"label", l.Timing})
	b.add("Incorporate within", "label profile, incorporate-within", nil, [2]string{"label", known(l.Incorporate, unit.Days)})
	b.add("Incorporated", "said file, incorporated", nil, [2]string{"said", s.Incorporated})
	treated := slices.ContainsFunc(b.Plan.Layers, func(l rx.Layer) bool { return l.Treated })
	if treated {
		b.add("Treated blend may be held", "label profile, hold", nil, [2]string{"label", known(l.Hold, unit.Days)})
	}
	b.add("Jar test", "said file, jar-test", nil, [2]string{"said", s.JarTest})
	b.add("Mixing order", "said file, mixing-order", nil, [2]string{"said", s.MixingOrder})
	b.add("Rinsed", "said file, rinsed", nil, [2]string{"said", s.Rinsed})
}

// Complete says how complete the record is, in one sentence.
func (r Record) Complete() string {
	missing, asked := r.Missing(), 0
	for _, row := range missing {
		if len(row.Asked) > 0 {
			asked++
		}
	}
	if len(missing) == 0 {
		return "Nothing that is looked for here is missing."
	}
	of := "none"
	if asked > 0 {
		of = fmt.Sprint(asked)
	}
	return fmt.Sprintf("%d of %d entries are missing, %s of them asked for by %s or %s.", len(missing), len(r.Rows), of, rup, state)
}
