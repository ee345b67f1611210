package equip

import (
	"fmt"
	"strings"

	"rxsplit/label/unit"
)

// Nozzle is a nozzle's size as it is stamped, such as "03".
type Nozzle string

// RatedPressure is that at which the sizes of [Nozzle] are named, 40 psi. ISO 10625
// colors name them at 3 bar, 43.5 psi, by 0.4 L/min per 01, quoted from memory; the
// two scales differ by 1.3 %.
const RatedPressure = 40 * unit.PSI

type nozzleSize struct {
	name Nozzle
	flow unit.Flow // of water at RatedPressure
}

// nozzleSizes lists the sizes of the trade, smallest first; quoted from memory.
func nozzleSizes() []nozzleSize {
	return []nozzleSize{
		{"01", 0.10}, {"015", 0.15}, {"02", 0.20}, {"025", 0.25}, {"03", 0.30}, {"04", 0.40},
		{"05", 0.50}, {"06", 0.60}, {"08", 0.80}, {"10", 1.0}, {"15", 1.5}, {"20", 2.0},
	}
}

// Nozzles returns all sizes, smallest first.
func Nozzles() []Nozzle {
	sizes := nozzleSizes()
	names := make([]Nozzle, len(sizes))
	for i, s := range sizes {
		names[i] = s.name
	}
	return names
}

// Flow returns the flow of water at [RatedPressure]; 0 for a size that is not one.
func (n Nozzle) Flow() unit.Flow {
	for _, s := range nozzleSizes() {
		if s.name == n {
			return s.flow
		}
	}
	return 0
}

// UnmarshalText takes the sizes of [Nozzles] alone.
func (n *Nozzle) UnmarshalText(b []byte) error {
	size := Nozzle(strings.TrimSpace(string(b)))
	if size.Flow() == 0 {
		names := make([]string, 0, 12)
		for _, s := range nozzleSizes() {
			names = append(names, string(s.name))
		}
		return fmt.Errorf("%q is not a nozzle size: want one of %s", b, strings.Join(names, ", "))
	}
	*n = size
	return nil
}
