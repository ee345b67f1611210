package equip

import (
	"fmt"
	"strconv"
	"strings"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// PanTest is what pans in a line across the machine's way have caught: equally far
// apart, in their order from the left, the middle of the line under the middle of
// the machine. One from a job file has [FewestPans] to [MostPans] pans, one of which
// has caught something, and a spacing above 0.
type PanTest struct {
	Rate    label.Known[unit.DryRate] `yaml:"rate"` // that was set
	Passes  PanPasses                 `yaml:"passes,required"`
	Spacing unit.Length               `yaml:"spacing,required"` // from the middle of a pan to that of the next
	Caught  []Catch                   `yaml:"caught,required"`
}

// How many pans a test may have.
const (
	FewestPans = 3
	MostPans   = 201
)

// PanPasses says which passes are in the catches of a test.
type PanPasses string

// The passes of a test.
const (
	SinglePass PanPasses = "single"     // one pass over the middle of the line: swaths are worked out from it
	Overlapped PanPasses = "overlapped" // those a swath to the left and to the right as well
)

// UnmarshalText takes the choices alone.
func (p *PanPasses) UnmarshalText(b []byte) (err error) {
	*p, err = choose[PanPasses](b, string(SinglePass), string(Overlapped))
	return err
}

// Catch is what one pan has caught, by weight, volume or the height in a tube: a
// pattern compares catches, and all of a test are in one unit.
type Catch float64

// UnmarshalText takes a number of 0 or more, without a unit.
func (c *Catch) UnmarshalText(b []byte) error {
	const most = 1e9
	v, err := strconv.ParseFloat(strings.TrimSpace(string(b)), 64)
	if err != nil || !(v >= 0 && v <= most) {
		return fmt.Errorf("%q is not what a pan can have caught: want a number without a unit, such as 12.5", b)
	}
	*c = Catch(v)
	return nil
}

// Place returns how far pan i, from 0, stands from the middle of the machine, to the
// left below 0.
func (t PanTest) Place(i int) unit.Length {
	return unit.Length(float64(i)-float64(len(t.Caught)-1)/2) * t.Spacing
}

// Throw returns the width from the first to the last pan that has caught anything,
// each counted with half the way to its neighbors.
func (t PanTest) Throw() unit.Length {
	first, last := -1, -1
	for i, c := range t.Caught {
		if c > 0 {
			last = i
			if first < 0 {
				first = i
			}
		}
	}
	if first < 0 {
		return 0
	}
	return unit.Length(last-first+1) * t.Spacing
}

// cutOff is what the outermost pans of a single pass may have caught of the highest
// catch, before product is likely to have fallen beyond them; common practice, no
// source.
const cutOff = 10 * unit.Percent

// CutOff reports whether a single pass was thrown farther than the pans stand.
func (t PanTest) CutOff() bool {
	if t.Passes != SinglePass || len(t.Caught) == 0 {
		return false
	}
	var most Catch
	for _, c := range t.Caught {
		most = max(most, c)
	}
	ends := max(t.Caught[0], t.Caught[len(t.Caught)-1])
	return ends > most*Catch(cutOff)
}
