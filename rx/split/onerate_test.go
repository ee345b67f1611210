package split_test

import (
	"strings"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// A label with one rate alone, 30 fl oz/ac: the wet boom puts it everywhere, a constant
// base carries it, loads take a dry rate each, a refit brings all to one dry rate, and
// one load serves where the dry rate is constant. With or without a rate error, which no
// plan on such a label can make room for.
func TestOneRateAlone(t *testing.T) {
	l, err := label.Parse("l", []byte("name: x\nrate: {min: 30 fl oz/ac, max: 30 fl oz/ac}\n"))
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name     string
		grounds  []rxtest.Ground
		e        unit.Ratio
		possible map[rx.WayName]bool
		loads    int // of the way loads
	}{
		{"two dry rates", pairs(10, 160, 20, 240), 0, map[rx.WayName]bool{rx.WetBoom: true, rx.Base: true, rx.Loads: true, rx.Refit: true}, 2},
		{"two dry rates, rate error", pairs(10, 160, 20, 240), 5 * unit.Percent, map[rx.WayName]bool{rx.WetBoom: true, rx.Base: true, rx.Loads: true, rx.Refit: true}, 2},
		{"one dry rate", pairs(10, 185, 20, 185), 0, map[rx.WayName]bool{rx.WetBoom: true, rx.OneLoad: true, rx.Base: true, rx.Loads: true, rx.Refit: true}, 1},
	} {
		p := rxtest.Read(t, rxtest.Strip(c.grounds...))
		terms := rxtest.Terms(l)
		terms.RateError = c.e
		a := rxtest.Grade(t, p, terms)
		for _, w := range split.For(p, a, nil).Ways() {
			if w.Possible() != c.possible[w.Name] {
				t.Errorf("%s: way %s: possible %v, %s", c.name, w.Name, w.Possible(), w.Why)
			}
			if !w.Possible() {
				if want := "one rate alone, 30 fl oz/ac"; !strings.Contains(w.Why, want) {
					t.Errorf("%s: way %s: %q lacks %q", c.name, w.Name, w.Why, want)
				}
				continue
			}
			if w.Name == rx.Loads && len(w.Loads) != c.loads {
				t.Errorf("%s: %d loads, want %d", c.name, len(w.Loads), c.loads)
			}
			onLabel(t, p, a, plan(t, p, a, w.Name))
		}
	}
}
