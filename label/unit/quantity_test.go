package unit

import (
	"encoding"
	"math"
	"os"
	"slices"
	"strings"
	"testing"
)

// methods are those that every quantity has.
type methods interface {
	~float64
	In(System) float64
	Text(System) string
	Brief(System) string
	String() string
	table() *table
}

// TestEveryQuantity: the functions and methods of a type agree with each other, and
// with the example that its errors give.
func TestEveryQuantity(t *testing.T) {
	every[Area](t, "40 ac", "16.18742569 ha")
	every[DryRate](t, "200 lb/ac", "224.1702312 kg/ha")
	every[LiquidRate](t, "30 fl oz/ac", "2192.333491 mL/ha")
	every[Loading](t, "320 fl oz/ton", "10431.75557 mL/t")
	every[Mass](t, "3 ton", "2721.55422 kg")
	every[Volume](t, "120 gal", "454249.4141 mL")
	every[Density](t, "9 lb/gal", "1.078437846 kg/L")
	every[Length](t, "70 ft", "21.336 m")
	every[Speed](t, "15 mph", "24.14016 km/h")
	every[Pressure](t, "40 psi", "2.757902917 bar")
	every[Flow](t, "0.4 gal/min", "1.514164714 L/min")
	every[Capacity](t, "180 ft3", "5.097032387 m3")
	every[Time](t, "5 min", "5 min")
	every[Ratio](t, "5 %", "5 %")
	every[MassFlow](t, "424 lb/min", "192.3231649 kg/min")
	every[BulkFlow](t, "9 ft3/min", "0.2548516193 m3/min")
	every[Money](t, "1200 $", "$1200.00")
	every[VolumePrice](t, "38.50 $/gal", "$10.17062402/L")
	every[MassPrice](t, "520 $/ton", "$573.2018817/t")
	every[AreaPrice](t, "7.50 $/ac", "$18.53290361/ha")
	every[GrainPrice](t, "4.25 $/bu", "$4.25/bu")
}

// TestEveryTableIsListed: a table that tables leaves out would read its own unit and
// call it unknown elsewhere. That of bulk density has the units of density.
func TestEveryTableIsListed(t *testing.T) {
	defined := 0
	for _, file := range []string{"ground.go", "product.go"} {
		source, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		defined += strings.Count(string(source), "= define(")
	}
	if want := len(tables()) + 1; defined != want {
		t.Errorf("%d tables are defined and %d expected", defined, want)
	}
}

func every[Q methods](t *testing.T, example, metric string) {
	t.Helper()
	q, err := Parse[Q](example)
	if err != nil {
		t.Error(err)
		return
	}
	if got := q.Text(Metric); got != metric {
		t.Errorf("%s: got %q in metric units, want %q", example, got, metric)
	}
	if q.String() != q.Text(US) {
		t.Errorf("%s: String gives %q, Text %q", example, q.String(), q.Text(US))
	}
	for _, s := range []System{US, Metric} {
		if !strings.HasSuffix(q.Text(s), strings.TrimPrefix(Symbol[Q](s), "$")) || !strings.HasSuffix(q.Brief(s), strings.TrimPrefix(Symbol[Q](s), "$")) {
			t.Errorf("%s: %q and %q don't end in %q", example, q.Text(s), q.Brief(s), Symbol[Q](s))
		}
		digits, _ := split(q.Text(s))
		if n := parseFloat(t, digits); math.Abs(n-q.In(s)) > 1e-9*n {
			t.Errorf("%s: Text gives %v, In %v", example, n, q.In(s))
		}
	}
	var again Q
	if err := any(&again).(encoding.TextUnmarshaler).UnmarshalText([]byte(example)); err != nil || again != q {
		t.Errorf("%s: unmarshaled as %v, %v", example, again, err)
	}
	if !slices.Contains(tables(), q.table()) {
		t.Errorf("%s: its table is not among those that errors tell apart", example)
	}
	if _, err := Parse[Q]("5 furlong"); err == nil || !strings.Contains(err.Error(), example) {
		t.Errorf("the error %v does not give the example %q", err, example)
	}
}
