package yamltest

import (
	"math"
	"testing"
)

type oven struct {
	heat  float64
	racks []*rack
}

type rack struct{ spans [2]float64 }

func TestNotFinite(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(-1)
	for _, c := range []struct {
		value any
		want  string
	}{
		{oven{heat: 1, racks: []*rack{{}, nil}}, ""},
		{&oven{heat: nan}, ".heat is NaN"},
		{&oven{racks: []*rack{{}, {spans: [2]float64{0, inf}}}}, ".racks[1].spans[1] is -Inf"},
		{(*oven)(nil), ""},
		{nil, ""},
	} {
		if got := NotFinite(c.value); got != c.want {
			t.Errorf("%+v: got %q, want %q", c.value, got, c.want)
		}
	}
}
