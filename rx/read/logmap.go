package read

import (
	"fmt"
	"math"

	"rxsplit/geo/track"
	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// LogMap says what the columns of a machine's log hold. Nothing of it is ever guessed
// between two columns.
type LogMap struct {
	Layer     string                   `yaml:"layer"` // of the plan that the log is of
	Columns   logColumns               `yaml:"columns,required"`
	TimeForm  timeForm                 `yaml:"time-form"`
	RateUnit  string                   `yaml:"rate-unit,required"`
	Of        logOf                    `yaml:"of"`
	Width     label.Known[unit.Length] `yaml:"width"`
	WidthUnit string                   `yaml:"width-unit"`
	Sections  []unit.Length            `yaml:"sections"` // from the left
	Back      label.Known[unit.Length] `yaml:"back"`     // from the antenna back to the boom
	Front     label.Known[unit.Length] `yaml:"front"`    // from the antenna forward to it
	Delay     label.Known[unit.Time]   `yaml:"delay"`
	Record    logRecord                `yaml:"record"`
	FlowUnit  string                   `yaml:"flow-unit"`
	TotalUnit string                   `yaml:"total-unit"`
	Bridge    bool                     `yaml:"bridge"`
	CRS       string                   `yaml:"crs"` // of a CSV whose lon and lat hold east and north
	Weighed   string                   `yaml:"weighed"`
	Holds     []logHolds               `yaml:"holds"` // for a log as already applied; of a plan, the plan says it
	amount    track.Amount
	rate      float64 // grams or milliliters on a square meter, of one in the file
	width     float64 // meters, of one in the file
	flow      float64 // grams or milliliters a second
	total     float64
	weighed   float64
}

// logColumns are the names of columns; empty where there is none.
type logColumns struct {
	Lon     string `yaml:"lon"`
	Lat     string `yaml:"lat"`
	Date    string `yaml:"date"`
	Time    string `yaml:"time"`
	Rate    string `yaml:"rate,required"`
	Width   string `yaml:"width"`
	On      string `yaml:"on"`
	Target  string `yaml:"target"`
	Heading string `yaml:"heading"`
	Machine string `yaml:"machine"`
	Flow    string `yaml:"flow"`
	Total   string `yaml:"total"`
}

// timeForm says how a log writes its times.
type timeForm string

// Choices lists the words that can be entered.
func (timeForm) Choices() []string { return []string{"epoch-s", "epoch-ms", "iso", "clock"} }

// logOf says what the rates of a log are of; empty for the product.
type logOf string

// Choices lists the words that can be entered.
func (logOf) Choices() []string { return []string{"product", "mix", "dry"} }

// logRecord says which ground a record is of; empty for that before it.
type logRecord string

// Choices lists the words that can be entered.
func (logRecord) Choices() []string { return []string{"trailing", "leading"} }

// IsMix reports whether the log counts water and product together.
func (m *LogMap) IsMix() bool { return m.Of == "mix" }

// IsDry reports whether the log counts dry product.
func (m *LogMap) IsDry() bool { return m.amount == track.Mass }

// WeighedAmount returns what loads weighed or tanks took, in grams or milliliters of what the
// log counts; ok is false where nobody says it.
func (m *LogMap) WeighedAmount() (amount float64, ok bool) { return m.weighed, m.Weighed != "" }

// mostDelay is longer than any rate takes to arrive at the ground.
const mostDelay = 10 * unit.Minute

// ParseLogMap reads the YAML that says what a log's columns hold. The name of the file is
// for messages; the error is a [strictyaml.Errors].
func ParseLogMap(name string, data []byte) (*LogMap, error) {
	m := &LogMap{width: 1}
	doc := strictyaml.Decode(name, data, m)
	if err := doc.Err(); err != nil {
		return nil, err
	}
	m.measure(doc)
	c := m.Columns
	if c.Width == "" && len(m.Sections) == 0 {
		if _, said := m.Width.Get(); !said {
			doc.Fail("columns", "no width is known: give columns: width, or width, such as 70 ft")
		}
	}
	if c.Width != "" && m.WidthUnit == "" {
		doc.Fail("columns.width", "its unit is not said: give width-unit, such as m or ft")
	}
	if c.Time != "" && m.TimeForm == "" {
		doc.Fail("columns.time", "its form is not said: give time-form: epoch-s, epoch-ms, iso or clock")
	}
	if (c.Lon == "") != (c.Lat == "") {
		doc.Fail("columns", "lon and lat go together")
	}
	if m.Delay.Or(0) > mostDelay {
		doc.Fail("delay", "is more than "+mostDelay.String()+", and no machine is so late: compare its unit")
	}
	for _, w := range m.Sections {
		if !(w > 0) {
			doc.Fail("sections", "a section has no width")
		}
	}
	if len(m.Sections) > track.MaxSections {
		doc.Fail("sections", fmt.Sprintf("has more than %d: join neighbors", track.MaxSections))
	}
	m.hold(doc)
	return m, doc.Err()
}

// measure works out what one of each unit is in the units of a log.
func (m *LogMap) measure(doc *strictyaml.Document) {
	const squareMeters = float64(unit.Acre / unit.SquareMeter)
	if r, err := unit.Parse[unit.DryRate]("1 " + m.RateUnit); err == nil {
		m.amount, m.rate = track.Mass, float64(r)*grams/squareMeters
	} else if r, err := unit.Parse[unit.LiquidRate]("1 " + m.RateUnit); err == nil {
		m.amount, m.rate = track.Volume, float64(r)*milliliters/squareMeters
	} else {
		doc.Fail("rate-unit", fmt.Sprintf("%q is no rate: want one such as lb/ac, kg/ha, fl oz/ac, gal/ac or L/ha", m.RateUnit))
	}
	if m.amount == track.Mass && m.Of == "mix" || m.amount == track.Volume && m.Of == "dry" {
		doc.Fail("of", "does not go with the unit of the rates, "+m.RateUnit)
	}
	m.width = one[unit.Length](doc, "width-unit", m.WidthUnit, "m", float64(unit.Meter))
	if m.amount == track.Mass {
		m.flow = grams / 60 * one[unit.MassFlow](doc, "flow-unit", m.FlowUnit, "lb/min", 1)
		m.total = grams * one[unit.Mass](doc, "total-unit", m.TotalUnit, "lb", 1)
		m.weighed = grams * amount[unit.Mass](doc, m.Weighed)
	} else {
		m.flow = gallon / 60 * one[unit.Flow](doc, "flow-unit", m.FlowUnit, "gal/min", 1)
		m.total = milliliters * one[unit.Volume](doc, "total-unit", m.TotalUnit, "gal", 1)
		m.weighed = milliliters * amount[unit.Volume](doc, m.Weighed)
	}
	if m.Columns.Flow != "" && m.FlowUnit == "" || m.Columns.Total != "" && m.TotalUnit == "" {
		doc.Fail("columns", "the units of flow and total are not said: give flow-unit and total-unit")
	}
}

const (
	grams       = float64(unit.Pound/unit.Kilogram) * 1000
	milliliters = float64(unit.FluidOunce / unit.Milliliter)
	gallon      = milliliters * 128
)

// one returns one of a unit, by the unit that per counts in.
func one[Q interface {
	~float64
	quantity
}](doc *strictyaml.Document, key, name, example string, per float64) float64 {
	if name == "" {
		return math.NaN()
	}
	var q Q
	if err := any(&q).(interface{ UnmarshalText([]byte) error }).UnmarshalText([]byte("1 " + name)); err != nil {
		doc.Fail(key, fmt.Sprintf("%q is no unit that is known here: want one such as %s", name, example))
	}
	return float64(q) / per
}

// quantity is what package unit reads.
type quantity interface{ String() string }

// amount reads what was weighed.
func amount[Q interface {
	~float64
	quantity
}](doc *strictyaml.Document, text string) float64 {
	var q Q
	if text == "" {
		return 0
	}
	if err := any(&q).(interface{ UnmarshalText([]byte) error }).UnmarshalText([]byte(text)); err != nil {
		doc.Fail("weighed", err.Error())
	}
	return float64(q)
}
