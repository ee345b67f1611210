package unit

import (
	"encoding"
	"math"
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
	MarshalText() ([]byte, error)
}

// TestEveryQuantity: the functions and methods of a type agree with each other, and
// with the example that its errors give.
func TestEveryQuantity(t *testing.T) {
	every(t, "40 ac", "16.18742569 ha", ParseArea, AreaSymbol)
	every(t, "200 lb/ac", "224.1702312 kg/ha", ParseDryRate, DryRateSymbol)
	every(t, "30 fl oz/ac", "2192.333491 mL/ha", ParseLiquidRate, LiquidRateSymbol)
	every(t, "320 fl oz/ton", "10431.75557 mL/t", ParseLoading, LoadingSymbol)
	every(t, "3 ton", "2721.55422 kg", ParseMass, MassSymbol)
	every(t, "120 gal", "454249.4141 mL", ParseVolume, VolumeSymbol)
	every(t, "9 lb/gal", "1.078437846 kg/L", ParseDensity, DensitySymbol)
	every(t, "70 ft", "21.336 m", ParseLength, LengthSymbol)
	every(t, "15 mph", "24.14016 km/h", ParseSpeed, SpeedSymbol)
	every(t, "40 psi", "2.757902917 bar", ParsePressure, PressureSymbol)
	every(t, "0.4 gal/min", "1.514164714 L/min", ParseFlow, FlowSymbol)
	every(t, "180 ft3", "5.097032387 m3", ParseCapacity, CapacitySymbol)
	every(t, "5 min", "5 min", ParseTime, TimeSymbol)
	every(t, "5 %", "5 %", ParseRatio, RatioSymbol)
	every(t, "424 lb/min", "192.3231649 kg/min", ParseMassFlow, MassFlowSymbol)
	every(t, "9 ft3/min", "0.2548516193 m3/min", ParseBulkFlow, BulkFlowSymbol)
	every(t, "1200 $", "$1200.00", ParseMoney, MoneySymbol)
	every(t, "38.50 $/gal", "$10.17062402/L", ParseVolumePrice, VolumePriceSymbol)
	every(t, "520 $/ton", "$573.2018817/t", ParseMassPrice, MassPriceSymbol)
	every(t, "7.50 $/ac", "$18.53290361/ha", ParseAreaPrice, AreaPriceSymbol)
	every(t, "4.25 $/bu", "$4.25/bu", ParseGrainPrice, GrainPriceSymbol)
}

func every[Q methods](t *testing.T, example, metric string, parse func(string) (Q, error), symbol func(System) string) {
	t.Helper()
	q, err := parse(example)
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
		if !strings.HasSuffix(q.Text(s), strings.TrimPrefix(symbol(s), "$")) || !strings.HasSuffix(q.Brief(s), strings.TrimPrefix(symbol(s), "$")) {
			t.Errorf("%s: %q and %q don't end in %q", example, q.Text(s), q.Brief(s), symbol(s))
		}
		digits, _ := split(q.Text(s))
		if n := parseFloat(t, digits); math.Abs(n-q.In(s)) > 1e-9*n {
			t.Errorf("%s: Text gives %v, In %v", example, n, q.In(s))
		}
	}
	text, err := q.MarshalText()
	if err != nil {
		t.Error(err)
	}
	var again Q
	if err := any(&again).(encoding.TextUnmarshaler).UnmarshalText(text); err != nil || again != q {
		t.Errorf("%s: marshaled as %q reads back as %v, %v", example, text, again, err)
	}
	if _, err := parse("5 furlong"); err == nil || !strings.Contains(err.Error(), example) {
		t.Errorf("the error %v does not give the example %q", err, example)
	}
}
