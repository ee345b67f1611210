package svg

import (
	"fmt"
	"html/template"
	"strings"
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
	KeepOut Ink = "keep-out" // a lattice, so that it is taken for no verdict, on paper neither
)

// inks are all of them, in the order in which a page defines them.
var inks = [...]Ink{Below, Within, Above, NoDry, NoRate, Season, KeepOut}

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
	s.WriteString(`<svg width="0" height="0" style="position:absolute" aria-hidden="true" focusable="false"><defs>`)
	for _, ink := range inks {
		if l := ink.look(); l.marks != "" {
			fmt.Fprintf(&s, `<pattern id="ink-%s" patternUnits="userSpaceOnUse" width="%d" height="%d"><rect width="%d" height="%d" fill="%s"/>%s</pattern>`,
				ink, l.tile, l.tile, l.tile, l.tile, l.ground, l.marks)
		}
	}
	s.WriteString(`</defs></svg>`)
	return template.HTML(s.String())
}
