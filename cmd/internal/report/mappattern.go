package report

import (
	"fmt"
	"strings"

	"rxsplit/rx"
)

// All drawings of the page count tenths of a CSS pixel, so that paths are whole
// numbers.
const px = 10

// verdictInk is how a verdict is drawn: a ground and marks on it that tell it
// apart without color.
type verdictInk struct {
	ground string // color
	marks  string // SVG elements on a tile
	tile   int    // its side, in tenths of a pixel
}

func inkOf(v rx.Verdict) verdictInk {
	switch v {
	case rx.Below:
		dark := oklch(0.34, 0.1, 255)
		return verdictInk{oklch(0.79, 0.1, 240), fmt.Sprintf(`<g fill="%s"><circle cx="22" cy="22" r="13"/><circle cx="67" cy="67" r="13"/></g>`, dark), 90}
	case rx.Above:
		dark := oklch(0.26, 0.08, 40)
		return verdictInk{oklch(0.7, 0.15, 52), fmt.Sprintf(`<path d="M-10 10L10-10M0 70L70 0M60 80L80 60" stroke="%s" stroke-width="20"/>`, dark), 70}
	case rx.NoDry:
		return verdictInk{bareGround(), fmt.Sprintf(`<path d="M50 30v40M30 50h40" stroke="%s" stroke-width="8"/>`, oklch(0.55, 0, 0)), 100}
	case rx.NoRate:
		return verdictInk{bareGround(), fmt.Sprintf(`<path d="M20 0v90M65 0v90" stroke="%s" stroke-width="10" stroke-dasharray="30 15"/>`, oklch(0.4, 0, 0)), 90}
	}
	return verdictInk{oklch(0.92, 0.035, 150), "", 0}
}

// bareGround is a little darker than the paper, so that the field has an edge.
func bareGround() string { return oklch(0.955, 0, 0) }

// seasonInk is how ground is drawn that the season maximum alone puts off label.
func seasonInk() verdictInk {
	dark := oklch(0.3, 0.07, 95)
	return verdictInk{oklch(0.86, 0.13, 95), fmt.Sprintf(`<path d="M0 35h70M35 0v70" stroke="%s" stroke-width="14"/>`, dark), 70}
}

func seasonFill() string { return seasonInk().fill(seasonWord) }

// fill returns what a drawing names to be filled as the verdict.
func (v verdictInk) fill(name string) string {
	if v.marks == "" {
		return v.ground
	}
	return "url(#ink-" + name + ")"
}

func verdictFill(v rx.Verdict) string { return inkOf(v).fill(v.String()) }

// patterns returns the definitions that verdictFill names, once for the page.
func patterns() string {
	var s strings.Builder
	s.WriteString(`<svg width="0" height="0" style="position:absolute" aria-hidden="true" focusable="false"><defs>`)
	for _, v := range rx.Verdicts() {
		if ink := inkOf(v); ink.marks != "" {
			s.WriteString(ink.pattern(v.String()))
		}
	}
	s.WriteString(seasonInk().pattern(seasonWord))
	s.WriteString(keepOutInk().pattern(keepOutName))
	s.WriteString(`</defs></svg>`)
	return s.String()
}

func (v verdictInk) pattern(name string) string {
	return fmt.Sprintf(`<pattern id="ink-%s" patternUnits="userSpaceOnUse" width="%d" height="%d"><rect width="%d" height="%d" fill="%s"/>%s</pattern>`,
		name, v.tile, v.tile, v.tile, v.tile, v.ground, v.marks)
}
