package page

import (
	"fmt"
	"strings"
	"unicode"
)

// headStyle is the part of the style that heads printed pages: every one says which sheet
// it is of, which field, load and loading. A sheet is printed on pages of its own name.
func (v *pageView) headStyle() string {
	var b strings.Builder
	head := func(name, left, right, foot string) {
		fmt.Fprintf(&b, "@page %s{@top-left{content:%s}@top-right{content:%s}@bottom-left{content:%s}}\n", name, cssString(left), cssString(right), cssString(foot))
	}
	foot := v.File
	if v.Origin.Digest != "" {
		foot += " · " + v.Origin.Digest + "…"
	}
	if v.Origin.Way != "" {
		foot += " · way " + v.Origin.Way
	}
	if v.Origin.Version != "" {
		foot += " · rxsplit " + v.Origin.Version
	}
	head("", "Report", v.Field+" · all loads", foot)
	for _, list := range [][]pageSheet{v.Cards, v.Sheets} {
		for _, s := range list {
			right := s.Heads.Field
			for _, part := range []string{s.Heads.Load, s.Heads.Loading} {
				if part != "" {
					right += " · " + part
				}
			}
			below := foot
			if s.Layer != "" {
				below = "layer " + s.Layer + " · " + foot
			}
			head("p-"+s.ID, s.Title, right, below)
			fmt.Fprintf(&b, "@media print{#%s{page:p-%s}}\n", s.ID, s.ID)
		}
	}
	return b.String()
}

// mostHead is how many letters the head of a page has room for.
const mostHead = 70

// cssString quotes a text for a style sheet: what could end it or the element goes in by
// its number. [W3C, CSS Syntax Level 3, "Escaping"]
func cssString(text string) string {
	letters := []rune(text)
	if len(letters) > mostHead {
		letters = append(letters[:mostHead-1], '…')
	}
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range letters {
		switch {
		case unicode.IsControl(r):
		case unicode.IsLetter(r), unicode.IsDigit(r), strings.ContainsRune(" .,-/()%", r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, "\\%x ", r)
		}
	}
	b.WriteByte('"')
	return b.String()
}
