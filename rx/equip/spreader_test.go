package equip

import (
	"math"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
)

func TestDelivered(t *testing.T) {
	s := Spreader{Rates: label.Know(label.Range[unit.DryRate]{Min: 80, Max: 400})}
	for rate, want := range map[unit.DryRate]unit.DryRate{0: 0, 40: 80, 79.9: 80, 79.93: 79.93, 80: 80, 200: 200, 400: 400, 400.3: 400.3, 400.5: 400, 500: 400} {
		if got := s.Delivered(rate); got != want {
			t.Errorf("%v: got %v, want %v", rate, got, want)
		}
	}
	if got := (Spreader{}).Delivered(5); got != 5 {
		t.Errorf("without known limits: got %v", got)
	}
}

func TestChangeDistance(t *testing.T) {
	s := Spreader{Speed: Speeds{Usual: 15}}
	if got := s.ChangeDistance(); math.Abs(float64(got)-110) > 1e-9 {
		t.Errorf("an unknown time: got %v, want the 110 ft of 5 s", got)
	}
	s.RateChange = label.Know(3 * unit.Second)
	if got := s.ChangeDistance(); math.Abs(float64(got)-66) > 1e-9 {
		t.Errorf("got %v, want 66 ft", got)
	}
}

func TestTruckLoads(t *testing.T) {
	count, each, known := (Spreader{Truck: label.Know(8 * unit.Ton)}).Loads(20 * unit.Ton)
	if !known || count != 3 || math.Abs(float64(each/unit.Ton)-20.0/3) > 1e-12 {
		t.Errorf("got %d of %v, %v", count, each, known)
	}
	if _, _, known := (Spreader{}).Loads(1); known {
		t.Error("loads are known without a truck")
	}
}

// TestPatternCV: catches 8, 10, 12 have mean 10 and, with n−1, s = 2: 20 %, by hand.
// With n they would give 16.3 %.
func TestPatternCV(t *testing.T) {
	if cv, err := patternCV([]unit.Mass{8, 10, 12}); err != nil || math.Abs(float64(cv)-0.2) > 1e-15 {
		t.Errorf("got %v, %v, want 20 %%", cv, err)
	}
	if cv, err := patternCV([]unit.Mass{3, 3, 3, 3}); err != nil || cv != 0 {
		t.Errorf("got %v, %v, want 0", cv, err)
	}
	for _, pans := range [][]unit.Mass{nil, {5}, {0, 0}, {unit.Mass(math.NaN()), 1}, {unit.Mass(math.Inf(1)), 1}} {
		if cv, err := patternCV(pans); err == nil {
			t.Errorf("%v: got %v", pans, cv)
		}
	}
}

// TestInverses: each formula and its inverse undo each other.
func TestInverses(t *testing.T) {
	const width, volume, speed = unit.Length(1.7), unit.LiquidRate(1900), unit.Speed(7.3)
	flow := flowOver(width, volume, speed)
	for _, c := range []struct{ got, want float64 }{
		{float64(speedFor(flow, width, volume)), float64(speed)},
		{float64(volumeFor(flow, width, speed)), float64(volume)},
		{float64(flowAt(pressureFor(flow, 0.4, 40), 0.4, 40)), float64(flow)},
		{float64(MeterDelivers(MeterSetting(200, 6, 5.5), 6, 5.5)), 200},
	} {
		if math.Abs(c.got-c.want) > 1e-12*c.want {
			t.Errorf("got %v, want %v", c.got, c.want)
		}
	}
}

// By hand: 1500 / 4 = 375 bu; 1500 / 200 = 7.5 t, which are 7.5/0.90718474 = 8.267335 ton.
func TestBreakEven(t *testing.T) {
	for _, c := range []struct {
		price  string
		s      unit.System
		amount float64
		symbol string
	}{
		{"4 $/bu", unit.US, 375, "bu"},
		{"4 $/bu", unit.Metric, 375, "bu"},
		{"200 $/t", unit.Metric, 7.5, "t"},
		{"200 $/t", unit.US, 8.267335, "ton"},
	} {
		var price cropPrice
		if err := price.UnmarshalText([]byte(c.price)); err != nil {
			t.Fatal(err)
		}
		got, symbol, known := (Prices{Crop: label.Know(price)}).BreakEven(1500, c.s)
		if !known || math.Abs(got-c.amount) > 1e-6 || symbol != c.symbol {
			t.Errorf("%s: got %v %s, %v, want %v %s", c.price, got, symbol, known, c.amount, c.symbol)
		}
	}
	if _, _, known := (Prices{}).BreakEven(1500, unit.US); known {
		t.Error("known without a price")
	}
	for _, text := range []string{"", "4", "4 $/ac", "-4 $/bu"} {
		if err := new(cropPrice).UnmarshalText([]byte(text)); err == nil {
			t.Errorf("%q was read", text)
		}
	}
}
