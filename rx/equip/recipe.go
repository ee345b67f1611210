package equip

import (
	"fmt"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// Source is a straight material that a recipe draws on.
type Source struct {
	Name  string
	Grade Grade
}

// recipeLeeway is how far below 0 a share may come out by rounding.
const recipeLeeway = 1e-12

// Recipe returns the blend of three sources and filler that has the N, P2O5 and K2O
// of a grade: three balances in three unknown shares, solved by Cramer's rule, and
// filler up to the ton. It is an error if the sources can't meet the grade, or if
// a share, the filler's included, would be below 0.
func Recipe(target Grade, sources [3]Source, filler string) (Blend, error) {
	var columns [3][3]float64
	for i, s := range sources {
		columns[i] = nutrients(s.Grade)
	}
	wanted := nutrients(target)
	whole := determinant(columns)
	if whole == 0 {
		return nil, fmt.Errorf("%s, %s and %s can't meet every grade: each of N, P2O5 and K2O needs a source of its own",
			sources[0].Name, sources[1].Name, sources[2].Name)
	}
	rest := 1.0
	var blend Blend
	for i, s := range sources {
		replaced := columns
		replaced[i] = wanted
		share := determinant(replaced) / whole
		rest -= share
		blend = append(blend, Material{Name: s.Name, Grade: label.Know(s.Grade), Share: unit.Ratio(share)})
	}
	blend = append(blend, Material{Name: filler, Grade: label.Know(Grade{}), Share: unit.Ratio(rest)})
	for i, m := range blend {
		if m.Share < -recipeLeeway {
			return nil, fmt.Errorf("%v can't be blended: it would take %.1f lb of %s a ton", target, float64(m.Share)*float64(unit.Ton), m.Name)
		}
		blend[i].Share = max(m.Share, 0)
	}
	return blend, nil
}

func nutrients(g Grade) [3]float64 { return [3]float64{float64(g.N), float64(g.P2O5), float64(g.K2O)} }

// determinant of a matrix given by its columns.
func determinant(m [3][3]float64) float64 {
	return m[0][0]*(m[1][1]*m[2][2]-m[2][1]*m[1][2]) -
		m[1][0]*(m[0][1]*m[2][2]-m[2][1]*m[0][2]) +
		m[2][0]*(m[0][1]*m[1][2]-m[1][1]*m[0][2])
}
