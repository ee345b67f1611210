package equip

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label"
)

// Conflict says why materials should not be together. With neither Block nor Stop
// it is a warning.
type Conflict struct {
	Block     bool // never to be done
	Stop      bool // not before a test is confirmed, as [Job].BlendTested says
	Materials []string
	Text      string
	Hint      string
	Source    string // published source, or that there is none
}

const (
	humidityData   = "IFDC data: Clayton, Humidity Factors Affecting Storage and Handling of Fertilizers, 1984, as reproduced in public tables"
	blendGuidance  = "Fertilizers Europe, Guidance for Compatibility of Fertilizer Blending Materials, 2006/2014"
	commonPractice = "common practice, no source"
)

// dryRule is what is known of two materials in one blend, by [label.CarrierName].
type dryRule struct {
	a, b        string
	block, stop bool
	text, hint  string
	source      string
}

// dryRules gives the critical relative humidities at 30 °C: the air's humidity at
// which a material begins to draw water.
func dryRules() []dryRule {
	const never = "take one of the two out of the blend"
	const prompt = "blend on the day of spreading, keep it covered and use it promptly"
	const test = "let the supplier confirm a test of these very materials before you blend them"
	return []dryRule{
		{"urea", "ammonium nitrate", true, false, "urea and ammonium nitrate turn to slush: together they draw water above 18.1 % relative humidity (urea alone 72.5, ammonium nitrate 59.4).", never, humidityData},
		{"urea", "calcium ammonium nitrate", true, false, "urea and calcium ammonium nitrate turn to slush: the ammonium nitrate in it draws water with urea above 18.1 % relative humidity.", never, humidityData},
		{"urea", "single superphosphate", false, true, "urea and superphosphate can release water and cake.", test, blendGuidance},
		{"urea", "triple superphosphate", false, true, "urea and triple superphosphate can release water and cake.", test, blendGuidance},
		{"urea", "ammonium sulfate", false, false, "urea and ammonium sulfate draw water above 56.4 % relative humidity (alone 72.5 and 79.2).", prompt, humidityData},
		{"urea", "potash", false, false, "urea and potash draw water above 60.3 % relative humidity (alone 72.5 and 84.0).", prompt, humidityData},
	}
}

// Compatibility lists what speaks against blending the materials with each other,
// worst first.
func Compatibility(materials []Material) []Conflict {
	kinds := each.Of(materials, Material.kind)
	var found []Conflict
	for _, r := range dryRules() {
		i, j := slices.Index(kinds, r.a), slices.Index(kinds, r.b)
		if i < 0 || j < 0 {
			continue
		}
		found = append(found, Conflict{
			Block: r.block, Stop: r.stop, Materials: []string{materials[i].Name, materials[j].Name},
			Text: r.text, Hint: r.hint, Source: r.source,
		})
	}
	return found
}

// Impregnability lists what speaks against spraying an organic liquid, such as a
// stabilizer, on the materials; base is what the liquid is made with. Nitrates that are
// oxidizers take none; those that other salts dilute take none that is made with a
// solvent, which brings the fuel along. Where nobody says what the liquid is made with,
// that is a warning.
func Impregnability(materials []Material, base label.Base) []Conflict {
	const never = "never impregnate it; a wet boom keeps the liquid off the dry"
	oxidizers := []string{"ammonium nitrate", "potassium nitrate", "sodium nitrate"}
	var found []Conflict
	for _, m := range materials {
		c := Conflict{Materials: []string{m.Name}, Source: commonPractice}
		switch kind := m.kind(); {
		case slices.Contains(oxidizers, kind):
			c.Block, c.Hint = true, never
			c.Text = fmt.Sprintf("%s is a nitrate oxidizer: an organic liquid on it is a fire and explosion hazard.", m.Name)
		case !strings.Contains(kind, "nitrate") || base == label.Water:
			continue
		case base == label.Solvent:
			c.Block, c.Hint = true, never
			c.Text = fmt.Sprintf("%s holds nitrate: a solvent-based liquid on it is a fire and explosion hazard.", m.Name)
		default:
			c.Hint = "look up what the liquid is made with (label profile, base) before you impregnate it; with a solvent, never"
			c.Text = fmt.Sprintf("%s holds nitrate, and nobody says whether the liquid is made with a solvent, which on nitrate is a fire and explosion hazard.", m.Name)
		}
		found = append(found, c)
	}
	return found
}

// kind returns the material's name as [label.CarrierName] knows it, or, for a name
// that it does not know, what the grade tells without doubt.
func (m Material) kind() string {
	name := label.CarrierName(m.Name)
	if label.IsCarrierName(name) {
		return name
	}
	g, ok := m.Grade.Get()
	if !ok {
		return name
	}
	for kind, grade := range typicalGrades() {
		if near(float64(g.N), float64(grade.N)) && near(float64(g.P2O5), float64(grade.P2O5)) && near(float64(g.K2O), float64(grade.K2O)) {
			return kind
		}
	}
	return name
}

func near(a, b float64) bool { return math.Abs(a-b) < 0.0051 }

// typicalGrades are the standard grades of straight materials, quoted from memory.
func typicalGrades() map[string]Grade {
	return map[string]Grade{
		"urea":                     {N: 0.46},
		"ammonium sulfate":         {N: 0.21, S: 0.24},
		"ammonium nitrate":         {N: 0.34},
		"calcium ammonium nitrate": {N: 0.27},
		"map":                      {N: 0.11, P2O5: 0.52},
		"dap":                      {N: 0.18, P2O5: 0.46},
		"potash":                   {K2O: 0.60},
		"potassium nitrate":        {N: 0.13, K2O: 0.44},
		"triple superphosphate":    {P2O5: 0.46},
	}
}
