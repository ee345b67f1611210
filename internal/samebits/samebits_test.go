package samebits

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"
)

// functions lists those of one argument beside those of the standard library.
var functions = []struct {
	name      string
	got, want func(float64) float64
	from, to  float64
}{
	{"Sin", Sin, math.Sin, -400, 400}, {"Cos", Cos, math.Cos, -400, 400}, {"Tan", Tan, math.Tan, -10, 10},
	{"Atan", Atan, math.Atan, -20, 20}, {"Asin", Asin, math.Asin, -1, 1}, {"Atanh", Atanh, math.Atanh, -1, 1},
	{"Exp", Exp, math.Exp, -40, 40}, {"Log", Log, math.Log, 0, 1000}, {"Log1p", Log1p, math.Log1p, -1, 1000}, {"Log10", Log10, math.Log10, 0, 1e6},
}

// On amd64 without fused arithmetic the standard library's bits are ours. Where it fuses,
// they are within two units in the last place.
func TestAsMath(t *testing.T) {
	random := rand.New(rand.NewPCG(1, 2))
	for _, f := range functions {
		for i := range 200_000 {
			x := f.from + (f.to-f.from)*random.Float64()
			if i%2 == 0 {
				x *= math.Pow(10, -12*random.Float64())
			}
			check(t, f.name, x, f.got(x), f.want(x))
		}
	}
	for range 200_000 {
		x, y := random.NormFloat64(), random.NormFloat64()
		check(t, "Atan2", x, Atan2(y, x), math.Atan2(y, x))
		check(t, "Hypot", x, Hypot(y, x), math.Hypot(y, x))
		sin, cos := Sincos(40 * x)
		wantSin, wantCos := math.Sincos(40 * x)
		check(t, "Sincos", x, sin, wantSin)
		check(t, "Sincos", x, cos, wantCos)
	}
}

func check(t *testing.T, name string, x, got, want float64) {
	t.Helper()
	most := 0.0
	if fuses || runtime.GOARCH != "amd64" {
		most = 2 * math.Abs(math.Nextafter(want, math.Inf(1))-want)
	}
	if math.Abs(got-want) > most {
		t.Fatalf("%s(%v) is %v, math has %v", name, x, got, want)
	}
}

// fuses is whether this build rounds a product and a sum once.
var fuses = less1(1+0x1p-30, 1-0x1p-30) != 0 // the product is 1 - 2^-60, which rounds to 1

//go:noinline
func less1(x, y float64) float64 { return x*y - 1 }

var sink float64

func BenchmarkSin(b *testing.B) {
	for i := range b.N {
		sink += Sin(float64(i) * 1e-7)
	}
}

func BenchmarkSinOfMath(b *testing.B) {
	for i := range b.N {
		sink += math.Sin(float64(i) * 1e-7)
	}
}

// What is no usual number is as the standard library has it.
func TestEnds(t *testing.T) {
	ends := []float64{0, math.Copysign(0, -1), 1, -1, 2, -2, 1e-300, 1e300, -1e300, math.Inf(1), math.Inf(-1), math.NaN(), math.Pi / 4, math.Pi / 2, math.Pi, 1 << 29, -1 << 30, 0.5, 0x1p-20, 0x1p-55, 699.9, 745, 3, 1 << 54}
	for _, f := range functions {
		for _, x := range ends {
			if got, want := f.got(x), f.want(x); !same(got, want) && math.Abs(got-want) > 4e-16*math.Abs(want) {
				t.Errorf("%s(%v) is %v, math has %v", f.name, x, got, want)
			}
		}
	}
	for _, x := range ends {
		for _, y := range ends {
			if got, want := Atan2(y, x), math.Atan2(y, x); !same(got, want) && math.Abs(got-want) > 4e-16 {
				t.Errorf("Atan2(%v, %v) is %v, math has %v", y, x, got, want)
			}
			if got, want := Hypot(y, x), math.Hypot(y, x); !same(got, want) && math.Abs(got-want) > 4e-16*want {
				t.Errorf("Hypot(%v, %v) is %v, math has %v", y, x, got, want)
			}
		}
	}
}

func same(a, b float64) bool {
	return a == b && math.Signbit(a) == math.Signbit(b) || math.IsNaN(a) && math.IsNaN(b)
}
