package svg

import (
	"fmt"
	"math"
)

// The palettes of the page are computed in OKLCh, whose lightness is what the eye
// takes for lightness: a ramp whose lightness falls in even steps keeps its order
// on a gray printer and for every kind of color vision. Verdicts lie on the
// blue–orange axis, which red–green blindness leaves apart, and differ in lightness
// and pattern as well.
//
// Source: W3C, CSS Color Module Level 4, "Oklab and Oklch" and its sample code,
// after B. Ottosson, "A perceptual color space for image processing", 2020.

// oklch returns the sRGB color of an OKLCh one, as "#rrggbb": lightness from 0 to
// 1, hue in degrees. Chroma that a screen can't show is lowered.
func oklch(lightness, chroma, hue float64) string {
	for ; chroma > 0; chroma -= 0.005 {
		if rgb, ok := oklchRGB(lightness, chroma, hue); ok {
			return hexColor(rgb)
		}
	}
	rgb, _ := oklchRGB(lightness, 0, 0)
	return hexColor(rgb)
}

// oklchRGB returns linear red, green and blue and whether a screen can show them.
func oklchRGB(lightness, chroma, hue float64) (rgb [3]float64, ok bool) {
	sin, cos := math.Sincos(hue * math.Pi / 180)
	a, b := chroma*cos, chroma*sin
	l := cube(lightness + 0.3963377774*a + 0.2158037573*b)
	m := cube(lightness - 0.1055613458*a - 0.0638541728*b)
	s := cube(lightness - 0.0894841775*a - 1.2914855480*b)
	rgb = [3]float64{
		4.0767416621*l - 3.3077115913*m + 0.2309699292*s,
		-1.2684380046*l + 2.6097574011*m - 0.3413193965*s,
		-0.0041960863*l - 0.7034186147*m + 1.7076147010*s,
	}
	for _, v := range rgb {
		if v < -1e-4 || v > 1+1e-4 {
			return rgb, false
		}
	}
	return rgb, true
}

func cube(v float64) float64 { return v * v * v }

// hexColor encodes linear light by the sRGB curve, IEC 61966-2-1.
func hexColor(rgb [3]float64) string {
	var byteOf [3]int
	for i, v := range rgb {
		v = min(max(v, 0), 1)
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		byteOf[i] = int(math.Round(v * 255))
	}
	return fmt.Sprintf("#%02x%02x%02x", byteOf[0], byteOf[1], byteOf[2])
}

// DryColors returns n colors for dry rates, the lowest first: sand to plum.
func DryColors(n int) []string { return ramp(n, 0.93, 0.36, 0.055, 0.115, 88, -48) }

// LiquidColors returns n colors for stabilizer rates, the lowest first: pale to
// deep teal.
func LiquidColors(n int) []string { return ramp(n, 0.9, 0.42, 0.04, 0.085, 175, 225) }

// ramp returns n colors at even steps of lightness; one color alone stands in the
// middle.
func ramp(n int, light, dark, chroma0, chroma1, hue0, hue1 float64) []string {
	colors := make([]string, n)
	for i := range colors {
		t := 0.5
		if n > 1 {
			t = float64(i) / float64(n-1)
		}
		colors[i] = oklch(light+t*(dark-light), chroma0+t*(chroma1-chroma0), hue0+t*(hue1-hue0))
	}
	return colors
}
