package equip

import (
	"fmt"
	"strconv"
	"strings"

	"rxsplit/label/unit"
)

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
	return Grade{g.N * f, g.P2O5 * f, g.K2O * f, g.S * f}
}

// Plus returns the sum of two grades, share by share.
func (g Grade) Plus(h Grade) Grade {
	return Grade{g.N + h.N, g.P2O5 + h.P2O5, g.K2O + h.K2O, g.S + h.S}
}

// Nitrogen returns the N in a mass of product.
func (g Grade) Nitrogen(m unit.Mass) unit.Mass { return m * unit.Mass(g.N) }
