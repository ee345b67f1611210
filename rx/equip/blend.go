package equip

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
	"rxsplit/label/unit"
)

// Material is one dry component of a blend.
type Material struct {
	Name    string                    `yaml:"name,required"`
	Grade   label.Known[Grade]        `yaml:"grade"`
	Share   unit.Ratio                `yaml:"share"`             // of the blend's weight
	Density label.Known[unit.Density] `yaml:"density" above:"0"` // loose bulk density
}

// Blend is what the blender mixes before any liquid; the shares of a blend from a
// job file add up to 1.
type Blend []Material

// Share returns the share of a material, by any of its usual names; 0 if the blend
// has none of it.
func (b Blend) Share(name string) unit.Ratio {
	var share unit.Ratio
	for _, m := range b {
		if label.CarrierName(m.Name) == label.CarrierName(name) {
			share += m.Share
		}
	}
	return share
}

// Grade returns the grade of the blend, the sum of its materials' by weight; not
// known if that of one of them is not, or if there is none.
func (b Blend) Grade() (Grade, bool) {
	var sum Grade
	for _, m := range b {
		g, ok := m.Grade.Get()
		if !ok {
			return Grade{}, false
		}
		sum = sum.Plus(g.Scaled(m.Share))
	}
	return sum, len(b) > 0
}

// BulkDensity returns the density of the blend if its materials keep their room,
// 1/Σ(share/density); not known if that of one of them is not. Real blends settle a
// little denser, as fine grains fill the gaps: weigh a known volume.
func (b Blend) BulkDensity() (unit.Density, bool) {
	var room unit.Density // per mass, so 1/density
	for _, m := range b {
		d, ok := m.Density.Get()
		if !ok {
			return 0, false
		}
		room += unit.Density(m.Share) / d
	}
	return 1 / room, room > 0
}

// Split returns the mass of each material in a mass of blend, in their order.
func (b Blend) Split(total unit.Mass) []unit.Mass {
	return each.Of(b, func(m Material) unit.Mass { return total * unit.Mass(m.Share) })
}

// Grade is the guaranteed analysis of a dry product: shares of its weight that
// are N, P2O5, K2O and S.
type Grade struct{ N, P2O5, K2O, S unit.Ratio }

// ParseGrade reads a grade such as "46-0-0" or, with sulfur, "21-0-0-24S".
func ParseGrade(s string) (Grade, error) {
	parts := strings.Split(strings.TrimSpace(s), "-")
	if len(parts) != 3 && len(parts) != 4 {
		return Grade{}, fmt.Errorf("%q is not a grade: want N-P2O5-K2O such as %q", s, "46-0-0")
	}
	if len(parts) == 4 {
		parts[3] = strings.TrimRight(parts[3], "sS")
	}
	var percents [4]float64
	var sum float64
	for i, part := range parts {
		p, err := strconv.ParseFloat(part, 64)
		if err != nil || !(p >= 0 && p <= 100) {
			return Grade{}, fmt.Errorf("%q is not a grade: %q is not a percentage", s, part)
		}
		percents[i] = p
		sum += p
	}
	if sum > 100 {
		return Grade{}, fmt.Errorf("%q is not a grade: it adds up to more than 100 %%", s)
	}
	share := func(i int) unit.Ratio { return unit.Ratio(percents[i] / 100) }
	return Grade{share(0), share(1), share(2), share(3)}, nil
}

// String prints the grade as [ParseGrade] reads it.
func (g Grade) String() string {
	s := percent(g.N) + "-" + percent(g.P2O5) + "-" + percent(g.K2O)
	if g.S > 0 {
		s += "-" + percent(g.S) + "S"
	}
	return s
}

// percent prints a share with at most three significant digits behind a whole.
func percent(r unit.Ratio) string {
	return strings.TrimRight(strings.TrimRight(strconv.FormatFloat(r.In(unit.US), 'f', 3, 64), "0"), ".")
}

// UnmarshalText reads what [ParseGrade] reads.
func (g *Grade) UnmarshalText(b []byte) (err error) {
	*g, err = ParseGrade(string(b))
	return err
}

// Scaled returns the grade with all its shares times f.
func (g Grade) Scaled(f unit.Ratio) Grade {
	return Grade{unit.Ratio(g.N * f), unit.Ratio(g.P2O5 * f), unit.Ratio(g.K2O * f), unit.Ratio(g.S * f)}
}

// Plus returns the sum of two grades, share by share.
func (g Grade) Plus(h Grade) Grade {
	return Grade{g.N + h.N, g.P2O5 + h.P2O5, g.K2O + h.K2O, g.S + h.S}
}

// analysisLeeway is how far the N of an analysis may stand from that of the materials:
// grades are printed in whole percents. Common practice, no source.
const analysisLeeway = 0.5 * unit.Percent

// disagreement is an analysis that names another share of N than the materials of the
// blend have.
type disagreement struct {
	Product  int // of the analyses, from 0
	Analysis Grade
	Blend    Grade
	Name     string // of the one material that is meant; empty for the whole blend
}

// text says what disagrees.
func (d disagreement) text() string {
	what := "the blend's materials make"
	if d.Name != "" {
		what = d.Name + ", the material in its place, has"
	}
	return fmt.Sprintf("%v says %s %% N, %s %s %%", d.Analysis, percent(d.Analysis.N), what, percent(d.Blend.N))
}

// Disagreements holds the analyses of a prescription's products, in the order of its
// rate fields, against the blend: the one of a single product against all of it, those
// of several against its materials in their order. Where grades of the materials are
// missing, or nothing says which material a product is, nothing is compared.
func (b Blend) Disagreements(analyses []Grade) []disagreement {
	if len(analyses) == 1 {
		g, ok := b.Grade()
		if !ok || sameN(analyses[0], g) {
			return nil
		}
		return []disagreement{{0, analyses[0], g, ""}}
	}
	if len(analyses) != len(b) {
		return nil
	}
	var list []disagreement
	for i, m := range b {
		if g, ok := m.Grade.Get(); ok && !sameN(analyses[i], g) {
			list = append(list, disagreement{i, analyses[i], g, m.Name})
		}
	}
	return list
}

func sameN(a, b Grade) bool { return math.Abs(float64(a.N-b.N)) <= float64(analysisLeeway)+1e-12 }

// UsualDryingAgent is where plants start: 1 lb of agent per pint of water-based
// liquid. Common practice, no source.
const UsualDryingAgent = 1 * unit.PoundPerPint

// WeightShare returns the weight of a loading of a liquid, by its density, or of the drying
// agent it calls for, by agent per liquid, as a share of the dry blend's weight.
func WeightShare(l unit.Loading, perVolume unit.Density) unit.Ratio {
	return unit.Ratio(unit.LiquidWeight(unit.Uptake(l, unit.Ton), perVolume) / unit.Ton)
}

// RaisedSetting returns the spreader setting that delivers a dry rate of blend to
// which liquid and drying agent have added a share: R·(1+m/2000).
func RaisedSetting(r unit.DryRate, added unit.Ratio) unit.DryRate { return r * unit.DryRate(1+added) }

// Unraised returns what reaches the ground if nobody raises the setting: A·R/(2000+m),
// the rate of the raised setting over 1+m/2000.
func Unraised(s unit.LiquidRate, added unit.Ratio) unit.LiquidRate {
	return s / unit.LiquidRate(1+added)
}

// Fall of bulk density after impregnation: usually 4 to 5 lb/ft³, up to 8 in humid
// weather. Common practice, no source.
const (
	leastFall = 4 * unit.PoundPerCubicFoot
	usualFall = 5 * unit.PoundPerCubicFoot
	humidFall = 8 * unit.PoundPerCubicFoot
)

// TreatedDensity returns the bulk density to expect after impregnation, usually and
// in humid weather; above 0 for any dry product that is spread.
func TreatedDensity(dry unit.Density) (usual label.Range[unit.Density], humid unit.Density) {
	return label.Range[unit.Density]{Min: dry - usualFall, Max: dry - leastFall}, dry - humidFall
}

// MeterDelivers returns what a volumetric meter that is set for one bulk density
// delivers of product of another: set·ρ₁/ρ₀.
func MeterDelivers(set unit.DryRate, setFor, real unit.Density) unit.DryRate {
	return set * unit.DryRate(real/setFor)
}

// MeterSetting returns the rate to set on a volumetric meter that stays set for one
// bulk density, so that product of another comes out as wanted; the inverse of
// [MeterDelivers].
func MeterSetting(wanted unit.DryRate, setFor, real unit.Density) unit.DryRate {
	return wanted * unit.DryRate(setFor/real)
}
