package read

import (
	_ "embed" // for the map to fill in
	"fmt"
	"math"
	"strconv"
	"strings"

	"rxsplit/label"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
	"rxsplit/rx/readout"
)

// YieldMap says what the columns of a yield monitor's points hold, and of the other files
// that strips are read from.
type YieldMap struct {
	Columns      yieldColumns             `yaml:"columns"`
	YieldUnit    string                   `yaml:"yield-unit"`
	YieldIs      yieldForm                `yaml:"yield-is"`
	Market       label.Known[decimal]     `yaml:"market-moisture"` // percent
	FlowUnit     string                   `yaml:"flow-unit"`
	Bushel       string                   `yaml:"bushel"` // what one weighs
	DistanceUnit string                   `yaml:"distance-unit"`
	WidthUnit    string                   `yaml:"width-unit"`
	Header       label.Known[unit.Length] `yaml:"header"`
	Clean        cleanMap                 `yaml:"clean"`
	Inside       inside                   `yaml:"inside"`
	TimeForm     timeForm                 `yaml:"time-form"`
	Price        string                   `yaml:"price"`
	Cost         string                   `yaml:"cost"`
	Level        label.Known[decimal]     `yaml:"level"`
	CRS          string                   `yaml:"crs"`
	Index        indexColumns             `yaml:"index"`
	Stalks       stalkMap                 `yaml:"stalks"`
	money        *Money
	distance     float64 // meters, of one in the file
	width        float64 // meters, of one in the file
	flow, ground float64 // of yields from the flow, see flows
}

// yieldColumns are the names of a yield monitor's columns; empty where there is none.
type yieldColumns struct {
	Lon      string `yaml:"lon"`
	Lat      string `yaml:"lat"`
	Yield    string `yaml:"yield"`
	Distance string `yaml:"distance"`
	Width    string `yaml:"width"`
	Moisture string `yaml:"moisture"`
	Flow     string `yaml:"flow"`
	Seconds  string `yaml:"seconds"`
	Date     string `yaml:"date"`
	Time     string `yaml:"time"`
}

// indexColumns are the names of the columns of a vegetation index.
type indexColumns struct {
	Lon   string `yaml:"lon"`
	Lat   string `yaml:"lat"`
	Value string `yaml:"value"`
}

// CleanMap bounds yields, as times the median.
type cleanMap struct {
	Low  label.Known[decimal] `yaml:"low"`
	High label.Known[decimal] `yaml:"high"`
}

// stalkMap says what the columns of stalk samples hold.
type stalkMap struct {
	Rep      string               `yaml:"rep"`
	Treated  string               `yaml:"treated"`
	Value    string               `yaml:"value"`
	Reported nitrateForm          `yaml:"reported-as"`
	Limit    label.Known[decimal] `yaml:"detection-limit"`
	Marginal label.Known[decimal] `yaml:"marginal-from"`
	Optimal  label.Known[decimal] `yaml:"optimal-from"`
	Excess   label.Known[decimal] `yaml:"excess-over"`
}

// Money is what yield is worth and treating costs.
type Money struct {
	Price, Cost float64
	PerYield    string // what the price is in, such as "$/bu"
	Per         string // what the cost is in, such as "$/ac"
}

// decimal is a number that is not negative; a percent sign after it is left out.
type decimal float64

// UnmarshalText reads a number.
func (d *decimal) UnmarshalText(b []byte) error {
	text := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(string(b)), "%"))
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.Signbit(v) || !(v <= mostLogged) {
		return fmt.Errorf("%q is no number from 0 on", b)
	}
	*d = decimal(v)
	return nil
}

// yieldForm says at which moisture yields stand.
type yieldForm string

// Choices lists the words that can be entered.
func (yieldForm) Choices() []string { return []string{"dry", "wet"} }

// inside says what of a record must lie in its strip; empty for the header.
type inside string

// Choices lists the words that can be entered.
func (inside) Choices() []string { return []string{"header", "point"} }

// nitrateForm says what a laboratory reports.
type nitrateForm string

// Choices lists the words that can be entered.
func (nitrateForm) Choices() []string { return []string{"nitrate-N", "nitrate"} }

// ParseYieldMap reads the YAML that says what columns hold. The name of the file is for
// messages; the error is a [strictyaml.Errors].
func ParseYieldMap(name string, data []byte) (*YieldMap, error) {
	m := &YieldMap{}
	doc := strictyaml.Decode(name, data, m)
	if err := doc.Err(); err != nil {
		return nil, err
	}
	m.distance = one[unit.Length](doc, "distance-unit", m.DistanceUnit, "in", 1) * unit.Meters(1)
	m.width = one[unit.Length](doc, "width-unit", m.WidthUnit, "in", 1) * unit.Meters(1)
	for _, c := range []struct {
		missing   bool
		key, what string
	}{
		{m.Columns.Distance != "" && m.DistanceUnit == "", "columns.distance", "its unit is not said: give distance-unit, such as in, ft or m"},
		{m.Columns.Width != "" && m.WidthUnit == "", "columns.width", "its unit is not said: give width-unit, such as in, ft or m"},
		{m.Columns.Moisture != "" && m.YieldIs == "" && !m.fromFlow(), "columns.moisture", "nothing says whether yields are dry: give yield-is: dry (all at one moisture) or wet (as cut)"},
		{m.YieldIs == "wet" && m.Columns.Moisture == "", "yield-is", "wet yields can't be compared without columns: moisture"},
		{m.Columns.Time != "" && m.TimeForm == "", "columns.time", "its form is not said: give time-form: epoch-s, epoch-ms or iso"},
		{m.TimeForm == "clock", "time-form", "a clock tells no year: want epoch-s, epoch-ms or iso"},
		{m.Stalks.Value != "" && m.Stalks.Reported == "", "stalks.value", "nothing says what the laboratory reports: give reported-as: nitrate-N, or nitrate (divided by 4.4268)"},
		{m.Columns.Yield != "" && m.YieldUnit == "", "columns.yield", "its unit is not said: give yield-unit, such as bu/ac or t/ha"},
		{m.LevelOr() < 0.5 || m.LevelOr() >= 1, "level", "want a percentage from 50 to under 100"},
		{!(m.Cleaning().Low < m.Cleaning().High), "clean", "low must be under high"},
	} {
		if c.missing {
			doc.Fail(c.key, c.what)
		}
	}
	m.flows(doc)
	m.earn(doc)
	return m, doc.Err()
}

// LevelOr is the level of intervals, 0.95 where nobody says it.
func (m *YieldMap) LevelOr() float64 { return float64(m.Level.Or(95)) / 100 }

// Cleaning is how yields are cleaned.
func (m *YieldMap) Cleaning() readout.Clean {
	return readout.Clean{
		Low: float64(m.Clean.Low.Or(decimal(readout.DefaultClean.Low))), High: float64(m.Clean.High.Or(decimal(readout.DefaultClean.High))),
	}
}

// HeaderOf is what must lie in a strip.
func (m *YieldMap) HeaderOf() readout.Header {
	return readout.Header{Meters: unit.Meters(m.Header.Or(0)), Whole: m.Inside != "point"}
}

// Limits are the classes of stalk samples.
func (m *YieldMap) Limits() readout.StalkLimits {
	d, s := readout.DefaultStalkLimits, &m.Stalks
	return readout.StalkLimits{
		Marginal: float64(s.Marginal.Or(decimal(d.Marginal))), Optimal: float64(s.Optimal.Or(decimal(d.Optimal))), Excess: float64(s.Excess.Or(decimal(d.Excess))),
	}
}

// Earns returns what yield is worth and treating costs; nil where nobody says it.
func (m *YieldMap) Earns() *Money { return m.money }

// earn reads price and cost, which must be in the units of the yield: $/bu and $/ac for bu/ac.
func (m *YieldMap) earn(doc *strictyaml.Document) {
	if m.Price == "" && m.Cost == "" {
		return
	}
	if m.Price == "" || m.Cost == "" {
		doc.Fail("price", "price and cost go together")
		return
	}
	of, ground, _ := strings.Cut(m.YieldUnit, "/")
	price, a := amountPer(doc, "price", m.Price, of)
	cost, b := amountPer(doc, "cost", m.Cost, ground)
	if a != b {
		doc.Fail("cost", "is not in the money of the price")
	}
	if price == 0 {
		doc.Fail("price", "is 0: nothing could pay")
	}
	m.money = &Money{Price: price, Cost: cost, PerYield: a + "/" + of, Per: b + "/" + ground}
}

// amountPer reads money for one of a unit, such as "4.25 $/bu".
func amountPer(doc *strictyaml.Document, key, text, per string) (v float64, money string) {
	number, rest, _ := strings.Cut(strings.TrimSpace(text), " ")
	money, of, found := strings.Cut(strings.TrimSpace(rest), "/")
	v, err := strconv.ParseFloat(number, 64)
	switch {
	case err != nil || !found || math.Signbit(v) || !(v <= mostLogged):
		doc.Fail(key, fmt.Sprintf("%q is no amount of money for one %s: want one such as 4.25 $/%s", text, per, per))
	case strings.TrimSpace(of) != strings.TrimSpace(per):
		doc.Fail(key, fmt.Sprintf("is for one %s, and the yield-unit wants it for one %s", strings.TrimSpace(of), per))
	}
	return v, strings.TrimSpace(money)
}

// NewYieldMap is a map with comments, to be filled in.
//
//go:embed yieldmap.yaml
var NewYieldMap string
