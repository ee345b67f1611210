// Package equip holds the equipment of a job with its arithmetic: the dry blend,
// the blender, the spreader and the wet boom, what they cost, and the job file
// that people describe them in.
//
// Each formula is a small function with its source beside it. Where a figure is
// common practice without a published source, or was quoted from memory, its
// comment says so. The label and the makers' manuals in hand come first.
package equip

import (
	_ "embed" // for the template
	"strings"

	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// Job is a job file: what the flags of the command line say, and the equipment.
// What the file leaves out is empty, nil or unknown. Names of files are as they
// stand; they are meant to be relative to the job file.
type Job struct {
	Label          string                       `yaml:"label"`
	Layer          string                       `yaml:"layer"`
	CRS            string                       `yaml:"crs"`
	RateFields     []string                     `yaml:"rate-field"`
	Carrier        string                       `yaml:"carrier"`
	RateUnit       rateUnit                     `yaml:"rate-unit"`
	RateOf         RateOf                       `yaml:"rate-of"`
	Analysis       []Grade                      `yaml:"analysis"` // in the order of RateFields
	StabilizerRate label.Known[unit.LiquidRate] `yaml:"stabilizer-rate" above:"0"`
	Loading        label.Known[unit.Loading]    `yaml:"loading" above:"0"`
	RateError      label.Known[unit.Ratio]      `yaml:"rate-error"`
	AlreadyApplied label.Known[unit.LiquidRate] `yaml:"already-applied"`
	Units          label.Known[unit.System]     `yaml:"units"`
	MostN          label.Known[unit.DryRate]    `yaml:"most-n" above:"0"` // of N itself, that no zone gets more of
	Overlap        Overlap                      `yaml:"overlap"`
	KeepOut        string                       `yaml:"keep-out"`
	Way            WayName                      `yaml:"way"`
	LeaveOff       bool                         `yaml:"leave-off"`
	Blend          Blend                        `yaml:"blend"`
	BlendTested    bool                         `yaml:"blend-tested"`    // a test of these materials together was confirmed: lifts [Conflict].Stop
	FurtherLiquids []Liquid                     `yaml:"further-liquids"` // a second liquid is the first of them
	SecondLiquid   *secondLiquid                `yaml:"second-liquid"`   // one further liquid, the short form
	Blender        *Blender                     `yaml:"blender"`
	Spreader       *Spreader                    `yaml:"spreader"`
	Boom           *Boom                        `yaml:"boom"`
	Prices         Prices                       `yaml:"prices"`
	Field          string                       `yaml:"field"`
	Place          string                       `yaml:"place"` // legal location of the field
	Crop           string                       `yaml:"crop"`
	Customer       string                       `yaml:"customer"`
	Address        string                       `yaml:"address"` // the customer's
	Operator       string                       `yaml:"operator"`
	Date           label.Date                   `yaml:"date"`
	Run            string                       `yaml:"-"`            // of a plant's day, that the field's blend is made in with others; [NoRun] where it gets left-over blend alone
	Registration   string                       `yaml:"registration"` // the stabilizer's EPA Reg. No., if the label profile has none
}

// NoRun is the run of a field that gets left-over blend alone: nothing is blended for it.
const NoRun = "none"

// Liquid is a further liquid beside the stabilizer. One from a job file has either a rate
// or a loading.
type Liquid struct {
	Name           string                        `yaml:"name,required"`
	Label          string                        `yaml:"label"`             // the file of its label profile; empty if none is given
	Rate           label.Known[unit.LiquidRate]  `yaml:"rate" above:"0"`    // that is wanted on the ground
	Loading        label.Known[unit.Loading]     `yaml:"loading" above:"0"` // that the plant has fixed
	On             Carriage                      `yaml:"on"`
	Density        label.Known[unit.Density]     `yaml:"density" above:"0"`
	AlreadyApplied label.Known[unit.LiquidRate]  `yaml:"already-applied"` // this season
	Price          label.Known[unit.VolumePrice] `yaml:"price"`
}

// secondLiquid is the short form of one further liquid that the plant impregnates at a
// fixed loading.
type secondLiquid struct {
	Name    string                    `yaml:"name,required"`
	Loading unit.Loading              `yaml:"loading,required" above:"0"`
	Density label.Known[unit.Density] `yaml:"density" above:"0"`
}

// Carriage says what a further liquid goes on with. Empty is the blend.
type Carriage string

// What a further liquid goes on with.
const (
	OnBlend Carriage = "blend" // impregnated on the dry
	OnBoom  Carriage = "boom"  // in the tank of the wet boom
)

// Choices lists the words that can be entered.
func (Carriage) Choices() []string { return []string{string(OnBlend), string(OnBoom)} }

// ParseJob reads a job file in YAML. The name of the file is for messages only.
// The error is a [strictyaml.Errors] with each mistake's line, column and key: what
// can't be read, and what contradicts itself.
func ParseJob(name string, data []byte) (*Job, error) {
	j, _, err := CheckJob(name, data)
	return j, err
}

// CheckJob reads a job file as [ParseJob] does, and returns what else is odd in it
// with the place of each.
func CheckJob(name string, data []byte) (*Job, []label.Problem, error) {
	return checkJob(name, data, func(j *Job) unit.System { return j.Units.Or(unit.US) })
}

// CheckJobIn does the same with texts that count in a system of units, whatever the
// job's own.
func CheckJobIn(s unit.System, name string, data []byte) (*Job, []label.Problem, error) {
	return checkJob(name, data, func(*Job) unit.System { return s })
}

func checkJob(name string, data []byte, shown func(*Job) unit.System) (*Job, []label.Problem, error) {
	j := new(Job)
	doc := strictyaml.Decode(name, data, j)
	if err := doc.Err(); err != nil {
		return nil, nil, err
	}
	j.complete()
	odd, err := label.Sort(doc, j.problemsIn(shown(j), doc.Zeros))
	if err != nil {
		return nil, nil, err
	}
	j.Blend.normalize()
	return j, odd, nil
}

// complete fills in what goes without saying.
func (j *Job) complete() {
	if len(j.Blend) == 1 && j.Blend[0].Share == 0 {
		j.Blend[0].Share = 1
	}
	if j.Spreader != nil && j.Spreader.Bins == 0 {
		j.Spreader.Bins = 1
	}
	if j.SecondLiquid != nil {
		s := j.SecondLiquid
		second := Liquid{Name: s.Name, Loading: label.Know(s.Loading), Density: s.Density, Price: j.Prices.SecondLiquid}
		j.FurtherLiquids = append([]Liquid{second}, j.FurtherLiquids...)
	}
}

// normalize makes the shares add up to 1 after their rounding in the file.
func (b Blend) normalize() {
	var sum unit.Ratio
	for _, m := range b {
		sum += m.Share
	}
	for i := range b {
		b[i].Share /= sum
	}
}

// SpreadError returns the rate error of the job, or else that of its spreader.
func (j *Job) SpreadError() (unit.Ratio, bool) {
	if e, ok := j.RateError.Get(); ok {
		return e, true
	}
	if j.Spreader != nil {
		return j.Spreader.RateError.Get()
	}
	return 0, false
}

// Prices are what the job's products and work cost; all may be unknown.
type Prices struct {
	Stabilizer   label.Known[unit.VolumePrice] `yaml:"stabilizer"`
	SecondLiquid label.Known[unit.VolumePrice] `yaml:"second-liquid"`
	DryingAgent  label.Known[unit.MassPrice]   `yaml:"drying-agent"`
	Blending     label.Known[unit.MassPrice]   `yaml:"blending"`      // impregnating a mass of dry
	DrySpreading label.Known[unit.AreaPrice]   `yaml:"dry-spreading"` // one pass
	WetBoom      label.Known[unit.AreaPrice]   `yaml:"wet-boom"`      // on top of the dry pass
	ExtraPass    label.Known[unit.AreaPrice]   `yaml:"extra-pass"`    // a further pass of the spreader
	Nitrogen     label.Known[unit.MassPrice]   `yaml:"nitrogen"`      // of N, not of product
	Crop         label.Known[cropPrice]        `yaml:"crop"`
}

// cropPrice is the price of the crop by the bushel or by weight, as it was given: what a
// bushel weighs depends on the crop, so that neither is made of the other.
type cropPrice struct {
	bushel unit.GrainPrice // 0 where it is by weight
	weight unit.MassPrice
}

// UnmarshalText reads a price such as "4.25 $/bu" or "180 $/t".
func (p *cropPrice) UnmarshalText(b []byte) (err error) {
	var wrong error
	if p.bushel, wrong = unit.Parse[unit.GrainPrice](string(b)); wrong == nil {
		return nil
	}
	if p.weight, err = unit.Parse[unit.MassPrice](string(b)); err == nil {
		return nil
	}
	return wrong // of grain by the bushel, which most prices are
}

// Text prints the price in a system of units.
func (p cropPrice) Text(s unit.System) string {
	if p.weight > 0 {
		return p.weight.Brief(s)
	}
	return p.bushel.Text(s)
}

// BreakEven returns how much of the crop pays for a cost, which is cost ÷ price, in
// bushels or, of a price by weight, in tons or metric tons; symbol is "bu", "ton" or "t".
// It promises no yield. It is not known without the crop's price above 0.
func (p Prices) BreakEven(cost unit.Money, s unit.System) (amount float64, symbol string, known bool) {
	price, _ := p.Crop.Get()
	switch {
	case price.bushel > 0:
		return float64(cost) / float64(price.bushel/unit.DollarPerBushel), "bu", true
	case price.weight > 0:
		symbol = strings.TrimPrefix(unit.Symbol[unit.MassPrice](s), "$/")
		return float64(cost) / price.weight.In(s), symbol, true
	}
	return 0, "", false
}

//go:embed template.yaml
var template string

// JobTemplate returns a job file to fill in, with a comment on every key: those that are
// options of the command line as well stand in options, each after an empty line.
func JobTemplate(options string) string {
	return strings.Replace(template, "{{options}}\n", options, 1)
}

// Questions lists what a form asks of a job, in the order of the file.
func Questions() []strictyaml.Form { return strictyaml.Forms(new(Job)) }

// Written returns what a job file says of each key, as it is written, whatever is wrong with
// the rest of it.
func Written(text []byte) *strictyaml.Document { return strictyaml.Decode("", text, new(Job)) }

// Overlap says which zone owns ground that two cover; empty if nothing was chosen.
type Overlap string

// Choices lists the words that can be entered.
func (Overlap) Choices() []string { return []string{"error", "first", "last", "max"} }

// RateOf says what the rates of a prescription count; empty if nothing was chosen.
type RateOf string

// Choices lists the words that can be entered.
func (RateOf) Choices() []string { return []string{"product", "N"} }

// rateUnit is the unit that the rates of a prescription count in, such as "lb/ac";
// empty if none was given.
type rateUnit string

// UnmarshalText takes the units of a dry rate.
func (u *rateUnit) UnmarshalText(b []byte) error {
	if _, err := unit.ParseDryRateUnit(string(b)); err != nil {
		return err
	}
	*u = rateUnit(b)
	return nil
}
