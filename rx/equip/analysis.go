package equip

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
)

// analysisLeeway is how far the N of an analysis may stand from that of the materials:
// grades are printed in whole percents. Common practice, no source.
const analysisLeeway = 0.5 * unit.Percent

// Disagreement is an analysis that names another share of N than the materials of the
// blend have.
type Disagreement struct {
	Product  int // of the analyses, from 0
	Analysis Grade
	Blend    Grade
	Name     string // of the one material that is meant; empty for the whole blend
}

// Text says what disagrees.
func (d Disagreement) Text() string {
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
func (b Blend) Disagreements(analyses []Grade) []Disagreement {
	if len(analyses) == 1 {
		g, ok := b.Grade()
		if !ok || sameN(analyses[0], g) {
			return nil
		}
		return []Disagreement{{0, analyses[0], g, ""}}
	}
	if len(analyses) != len(b) {
		return nil
	}
	var list []Disagreement
	for i, m := range b {
		if g, ok := m.Grade.Get(); ok && !sameN(analyses[i], g) {
			list = append(list, Disagreement{i, analyses[i], g, m.Name})
		}
	}
	return list
}

func sameN(a, b Grade) bool { return math.Abs(float64(a.N-b.N)) <= float64(analysisLeeway)+1e-12 }
