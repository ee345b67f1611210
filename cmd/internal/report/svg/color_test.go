package svg

import (
	"math"
	"strconv"
	"testing"
)

// The primaries of sRGB in OKLCh, from the sample values of CSS Color Module Level
// 4 (W3C), quoted from memory.
func TestOKLCh(t *testing.T) {
	for _, test := range []struct {
		l, c, h float64
		want    string
	}{
		{1, 0, 0, "#ffffff"},
		{0, 0, 0, "#000000"},
		{0.627955, 0.257683, 29.2339, "#ff0000"},
		{0.86644, 0.294827, 142.495, "#00ff00"},
		{0.452014, 0.313214, 264.052, "#0000ff"},
		{0.5999, 0, 0, "#808080"}, // a middle gray has lightness 0.5999
	} {
		if got := oklch(test.l, test.c, test.h); got != test.want {
			t.Errorf("oklch(%g %g %g) = %s, want %s", test.l, test.c, test.h, got, test.want)
		}
	}
}

// visions are what people with each kind of dichromacy see of linear light, after
// G. Machado, M. Oliveira, L. Fernandes, "A physiologically-based model for
// simulation of color vision deficiency", 2009, severity 1; quoted from memory.
var visions = map[string][9]float64{
	"full":         {1, 0, 0, 0, 1, 0, 0, 0, 1},
	"protanopia":   {0.152286, 1.052583, -0.204868, 0.114503, 0.786281, 0.099216, -0.003882, -0.048116, 1.051998},
	"deuteranopia": {0.367322, 0.860646, -0.227968, 0.280085, 0.672501, 0.047413, -0.011820, 0.042940, 0.968881},
	"tritanopia":   {1.255528, -0.076749, -0.178779, -0.078411, 0.930809, 0.147602, 0.004733, 0.691367, 0.303900},
	"none":         {0.2126, 0.7152, 0.0722, 0.2126, 0.7152, 0.0722, 0.2126, 0.7152, 0.0722}, // luminance of IEC 61966-2-1
}

// oklabOf returns a color as a kind of vision has it, in OKLab.
func oklabOf(t *testing.T, color string, m [9]float64) [3]float64 {
	t.Helper()
	var linear [3]float64
	for i := range linear {
		v, err := strconv.ParseUint(color[1+2*i:3+2*i], 16, 8)
		if err != nil {
			t.Fatalf("%q is no color", color)
		}
		linear[i] = float64(v) / 255
		if linear[i] > 0.04045 {
			linear[i] = math.Pow((linear[i]+0.055)/1.055, 2.4)
		} else {
			linear[i] /= 12.92
		}
	}
	var c [3]float64
	for i := range c {
		c[i] = max(m[3*i]*linear[0]+m[3*i+1]*linear[1]+m[3*i+2]*linear[2], 0)
	}
	l := math.Cbrt(0.4122214708*c[0] + 0.5363325363*c[1] + 0.0514459929*c[2])
	a := math.Cbrt(0.2119034982*c[0] + 0.6806995451*c[1] + 0.1073969566*c[2])
	s := math.Cbrt(0.0883024619*c[0] + 0.2817188376*c[1] + 0.6299787005*c[2])
	return [3]float64{
		0.2104542553*l + 0.7936177850*a - 0.0040720468*s,
		1.9779984951*l - 2.4285922050*a + 0.4505937099*s,
		0.0259040371*l + 0.7827717662*a - 0.8086757660*s,
	}
}

// TestColorsAreToldApart: a distance of 0.02 in OKLab is about what the eye can just
// tell; side by side in a map it takes more.
func TestColorsAreToldApart(t *testing.T) {
	verdicts := []string{Below.look().ground, Within.look().ground, Above.look().ground, Season.look().ground}
	for name, m := range visions {
		for set, colors := range map[string][]string{"verdicts": verdicts, "dry": DryColors(mostSteps), "liquid": LiquidColors(mostSteps)} {
			for i := range colors {
				for k := range i {
					p, q := oklabOf(t, colors[i], m), oklabOf(t, colors[k], m)
					if d := math.Hypot(math.Hypot(p[0]-q[0], p[1]-q[1]), p[2]-q[2]); d < 0.05 {
						t.Errorf("%s, vision %s: %s and %s are %.3f apart", set, name, colors[i], colors[k], d)
					}
				}
			}
		}
	}
}

func TestRampsDarken(t *testing.T) {
	for _, colors := range [][]string{DryColors(7), LiquidColors(7), DryColors(2)} {
		for i := 1; i < len(colors); i++ {
			if p, q := oklabOf(t, colors[i-1], visions["full"]), oklabOf(t, colors[i], visions["full"]); q[0] > p[0]-0.05 {
				t.Errorf("%s after %s is not darker", colors[i], colors[i-1])
			}
		}
	}
}

// TestBareGroundHasAnEdge: ground that gets nothing is told from the paper.
func TestBareGroundHasAnEdge(t *testing.T) {
	for _, ink := range []Ink{NoDry, NoRate} {
		if c := oklabOf(t, ink.look().ground, visions["none"])[0]; c > 0.97 || c < 0.93 {
			t.Errorf("%s lies on gray %.2f", ink, c)
		}
	}
}

// TestKeepOutIsToldFromLiquid: without color, on a gray printer, the mean of the
// lattice is lighter than any liquid of one rate; its ground and its lines are far
// apart.
func TestKeepOutIsToldFromLiquid(t *testing.T) {
	gray := func(color string) float64 { return oklabOf(t, color, visions["none"])[0] }
	ink := KeepOut.look()
	lines := float64(2*keepOutLine) * math.Sqrt2 / float64(ink.tile)
	mean := gray(ink.ground)*(1-lines) + gray(keepOutColor())*lines
	if liquid := gray(LiquidColors(1)[0]); mean < liquid+0.1 {
		t.Errorf("the keep-out's gray %.2f is hardly lighter than the liquid's %.2f", mean, liquid)
	}
	if gray(ink.ground)-gray(keepOutColor()) < 0.4 {
		t.Error("the lattice does not stand out from its ground")
	}
}
