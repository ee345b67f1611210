package svg

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"rxsplit/internal/samebits"
)

// Ink names how ground of a kind is drawn: a color, and marks on it that tell it
// apart without color.
type Ink string

// The inks of verdicts have the verdicts' names.
const (
	Below   Ink = "below"
	Within  Ink = "within"
	Above   Ink = "above"
	NoDry   Ink = "no-dry"
	NoRate  Ink = "no-rate"
	Season  Ink = "season"   // off label by the season maximum alone
	Added   Ink = "added"    // more dry than prescribed
	Taken   Ink = "taken"    // less of it
	KeepOut Ink = "keep-out" // a lattice, so that it is taken for no verdict, on paper neither
)

// inks are all of them, in the order in which a page defines them.
var inks = [...]Ink{Below, Within, Above, NoDry, NoRate, Season, Added, Taken, KeepOut}

// look is how an ink is drawn.
type look struct {
	ground string // color
	marks  string // SVG elements on a tile; may be empty
	tile   int    // its side, in tenths of a pixel
}

func (i Ink) look() look {
	switch i {
	case Below:
		dark := oklch(0.34, 0.1, 255)
		return look{oklch(0.79, 0.1, 240), fmt.Sprintf(`<g fill="%s"><circle cx="22" cy="22" r="13"/><circle cx="67" cy="67" r="13"/></g>`, dark), 90}
	case Above:
		dark := oklch(0.26, 0.08, 40)
		return look{oklch(0.7, 0.15, 52), fmt.Sprintf(`<path d="M-10 10L10-10M0 70L70 0M60 80L80 60" stroke="%s" stroke-width="20"/>`, dark), 70}
	case NoDry:
		return look{bareGround(), fmt.Sprintf(`<path d="M50 30v40M30 50h40" stroke="%s" stroke-width="8"/>`, oklch(0.55, 0, 0)), 100}
	case NoRate:
		return look{bareGround(), fmt.Sprintf(`<path d="M20 0v90M65 0v90" stroke="%s" stroke-width="10" stroke-dasharray="30 15"/>`, oklch(0.4, 0, 0)), 90}
	case Season:
		dark := oklch(0.3, 0.07, 95)
		return look{oklch(0.86, 0.13, 95), fmt.Sprintf(`<path d="M0 35h70M35 0v70" stroke="%s" stroke-width="14"/>`, dark), 70}
	case Added:
		return look{oklch(0.6, 0.11, 165), fmt.Sprintf(`<path d="M45 20v50M20 45h50" stroke="%s" stroke-width="14"/>`, oklch(0.25, 0.05, 165)), 90}
	case Taken:
		return look{oklch(0.85, 0.09, 330), fmt.Sprintf(`<path d="M20 45h50" stroke="%s" stroke-width="14"/>`, oklch(0.32, 0.13, 330)), 90}
	case KeepOut:
		return look{oklch(0.95, 0.03, 350), fmt.Sprintf(`<path d="M0 0L100 100M100 0L0 100" stroke="%s" stroke-width="%d"/>`, keepOutColor(), keepOutLine), 100}
	}
	return look{oklch(0.92, 0.035, 150), "", 0}
}

// bareGround is a little darker than the paper, so that the field has an edge.
func bareGround() string { return oklch(0.955, 0, 0) }

func keepOutColor() string { return oklch(0.36, 0.13, 350) }

// keepOutLine is how wide the lines of the lattice are, in tenths of a pixel.
const keepOutLine = 9

// Fill returns what a drawing names to be filled with the ink, where the page has
// [Patterns].
func (i Ink) Fill() string {
	if l := i.look(); l.marks == "" {
		return l.ground
	}
	return "url(#ink-" + string(i) + ")"
}

// Patterns returns the definitions that [Ink.Fill] names, once for the page.
func Patterns() template.HTML {
	var s strings.Builder
	s.WriteString(`<svg width="0" height="0" class="ear" aria-hidden="true" focusable="false"><defs>`)
	for _, ink := range inks {
		if l := ink.look(); l.marks != "" {
			fmt.Fprintf(&s, `<pattern id="ink-%s" patternUnits="userSpaceOnUse" width="%d" height="%d"><rect width="%d" height="%d" fill="%s"/>%s</pattern>`,
				ink, l.tile, l.tile, l.tile, l.tile, l.ground, l.marks)
		}
	}
	s.WriteString(`</defs></svg>`)
	return template.HTML(s.String())
}

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
	sin, cos := samebits.Sincos(hue * math.Pi / 180)
	a, b := chroma*cos, chroma*sin
	l := cube(lightness + float64(0.3963377774*a) + float64(0.2158037573*b))
	m := cube(lightness - float64(0.1055613458*a) - float64(0.0638541728*b))
	s := cube(lightness - float64(0.0894841775*a) - float64(1.2914855480*b))
	rgb = [3]float64{
		float64(4.0767416621*l) - float64(3.3077115913*m) + float64(0.2309699292*s),
		float64(-1.2684380046*l) + float64(2.6097574011*m) - float64(0.3413193965*s),
		float64(-0.0041960863*l) - float64(0.7034186147*m) + float64(1.7076147010*s),
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
			v = float64(1.055*math.Pow(v, 1/2.4)) - 0.055
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
		colors[i] = oklch(light+float64(t*(dark-light)), chroma0+float64(t*(chroma1-chroma0)), hue0+float64(t*(hue1-hue0)))
	}
	return colors
}
