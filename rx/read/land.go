package read

import (
	_ "embed"
	"math"
	"strconv"
	"strings"

	"github.com/paulmach/orb"
)

// landTXT says by degrees where land is; gen/land.py tells how it is written.
//
//go:embed land.txt
var landTXT string

// onLand reports whether a place in lon/lat may be on land: a coast is in its degree, or in
// one beside it.
func onLand(p orb.Point) bool {
	row, column := int(90-p[1]), int(math.Mod(p[0]+540, 360))
	for line := range strings.Lines(landTXT) {
		if line[0] == '#' {
			continue
		}
		if row > 0 {
			row--
			continue
		}
		land := true
		for run := range strings.FieldsSeq(line) {
			n, _ := strconv.Atoi(run) // the table is a part of the program
			land = !land
			if column -= n; column < 0 {
				return land
			}
		}
	}
	return true
}
