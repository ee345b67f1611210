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
		name    string
		grounds []rxtest.Ground
		e       unit.Ratio
		oneLoad bool // is possible, as the others that are known here are
		loads   int  // of the way loads
	}{
		{"two dry rates", pairs(10, 160, 20, 240), 0, false, 2},
		{"two dry rates, rate error", pairs(10, 160, 20, 240), 5 * unit.Percent, false, 2},
		{"one dry rate", pairs(10, 185, 20, 185), 0, true, 1},
	} {
		p := rxtest.Read(t, rxtest.Strip(c.grounds...))
		terms := rxtest.Terms(l)
		terms.RateError = c.e
		a := rxtest.Grade(t, p, terms)
		ways := split.For(p, a, nil).Ways()
		for _, name := range []rx.WayName{rx.WetBoom, rx.OneLoad, rx.Base, rx.Loads, rx.Refit} {
			w := wayOf(ways, name)
			if want := c.oneLoad || name != rx.OneLoad; w.Possible() != want {
				t.Errorf("%s: way %s: possible %v, %s", c.name, name, w.Possible(), w.Why)
			}
			if want := "one rate alone, 30 fl oz/ac"; !w.Possible() && !strings.Contains(w.Why, want) {
				t.Errorf("%s: way %s: %q lacks %q", c.name, name, w.Why, want)
			}
		}
		for _, w := range ways {
			if !w.Possible() {
				continue
			}
			if w.Name == rx.Loads && len(w.Loads) != c.loads {
				t.Errorf("%s: %d loads, want %d", c.name, len(w.Loads), c.loads)
			}
			onLabel(t, p, a, plan(t, p, a, w.Name))
		}
	}
}
