package read

import (
	"fmt"
	"strings"

	"rxsplit/geo/track"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// logHolds says how much of a liquid is in what a log counts.
type logHolds struct {
	Liquid string `yaml:"liquid,required"` // "stabilizer", or a further liquid of the job
	Part   string `yaml:"part,required"`   // of dry a loading; else a share, or its rate in that of the whole
	each   float64
}

// Each returns the fluid ounces of the liquid in a fluid ounce or a pound of what the log counts.
func (h logHolds) Each() float64 { return h.each }

// hold reads what a log holds; nothing else than the product is the stabilizer where nobody says it.
func (m *LogMap) hold(doc *strictyaml.Document) {
	seen := map[string]bool{}
	for i := range m.Holds {
		h := &m.Holds[i]
		var err error
		if m.amount == track.Mass {
			var l unit.Loading
			l, err = unit.Parse[unit.Loading](h.Part)
			h.each = float64(unit.StabilizerRate(l, 1))
		} else {
			h.each, err = partOf(h.Part)
		}
		switch {
		case err != nil:
			doc.Fail("holds", err.Error())
		case !(h.each > 0):
			doc.Fail("holds", fmt.Sprintf("%s: %q is not above 0", h.Liquid, h.Part))
		case m.amount == track.Volume && h.each > 1:
			doc.Fail("holds", fmt.Sprintf("%s: %q is more than all of it", h.Liquid, h.Part))
		case seen[h.Liquid]:
			doc.Fail("holds", h.Liquid+" stands twice")
		}
		seen[h.Liquid] = true
	}
	if len(m.Holds) == 0 && m.amount == track.Volume && !m.IsMix() {
		m.Holds = []logHolds{{Liquid: "stabilizer", each: 1}}
	}
}

// partOf reads a share, such as 2.3 %, or a rate in another, such as 30 fl oz/ac in 10 gal/ac.
func partOf(text string) (float64, error) {
	part, whole, rates := strings.Cut(text, " in ")
	if !rates {
		r, err := unit.Parse[unit.Ratio](text)
		if err != nil {
			return 0, fmt.Errorf("%q is neither a share, such as 2.3 %%, nor a rate in another, such as 30 fl oz/ac in 10 gal/ac", text)
		}
		return float64(r), nil
	}
	a, err := unit.Parse[unit.LiquidRate](strings.TrimSpace(part))
	if err != nil {
		return 0, err
	}
	b, err := unit.Parse[unit.LiquidRate](strings.TrimSpace(whole))
	if err != nil || b == 0 {
		return 0, fmt.Errorf("%q: want the rate of the whole behind in, such as 10 gal/ac", text)
	}
	return float64(a / b), nil
}
