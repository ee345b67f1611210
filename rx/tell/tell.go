// Package tell puts findings into words, in the user's units. What they say stands in
// findings.txt, which needs no knowledge of Go and tells at its top how to read it; this
// package reads it and fills in what the findings carry.
package tell

import (
	_ "embed"
	"fmt"
	"strings"
	"sync"
	"unicode/utf8"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/words"
)

//go:embed findings.txt
var catalogue string

// entries are those of findings.txt that were asked for, by their titles: a run tells a few
// of hundreds.
var entries sync.Map

// entry reads an entry of findings.txt; nil if it has none of that title. The file is part
// of the program: a mistake in it is one of the program, and tests read it whole.
func entry(title string) words.Entry {
	if e, ok := entries.Load(title); ok {
		return e.(words.Entry)
	}
	head := "\n## " + title + "\n"
	_, text, _ := strings.Cut(catalogue, head)
	text, _, _ = strings.Cut(text, "\n## ")
	book, err := words.Parse(head + text)
	if err != nil {
		panic("findings.txt: " + title + ": " + err.Error())
	}
	e := book[title]
	if text == "" {
		e = nil
	}
	entries.Store(title, e)
	return e
}

// Words are what is told of a finding. Text stands alone. Hint says what to do next, Got
// and Want what was found and what it should be; they are empty where there is nothing to
// say.
type Words struct{ Text, Hint, Got, Want string }

// Finding puts a finding into words.
func Finding(f rx.Finding, s unit.System) Words {
	e := entry(f.Key())
	if e == nil {
		return Words{Text: "{" + f.Key() + "}"} // which a test looks for
	}
	p := printer{system: s, entry: e, f: &f}
	return Words{e.Joined("text", p), e.Joined("hint", p), e.Joined("got", p), e.Joined("want", p)}
}

// Brief returns what is said of a finding where there is a line for it: the phrase "brief"
// of its entry, or else its text. It is empty for what a [rx.Decision] tells, unless there
// is such a phrase.
func Brief(f rx.Finding, s unit.System) string {
	e := entry(f.Key())
	if e == nil || e["brief"] == nil && !f.Decided() {
		return Text(f, s)
	}
	return e.Joined("brief", printer{system: s, entry: e, f: &f})
}

// Text returns [Words.Text] alone.
func Text(f rx.Finding, s unit.System) string { return Finding(f, s).Text }

// TextOf returns the text of a finding about polygons that are no zones: what says what one of
// them is, such as "strip".
func TextOf(what string, f rx.Finding, s unit.System) string {
	return entry(f.Key()).Joined("text", printer{system: s, entry: entry(f.Key()), f: &f, called: what})
}

// Ground prints an area with two decimals, and one that these would hide with two digits, down
// to what coordinates can show.
func Ground(a unit.Area, s unit.System) string {
	const least = 0.0001
	switch v := a.In(s); {
	case v > 0 && v < least:
		return fmt.Sprintf("under %g %s", least, symbol(a, s))
	case v > 0 && v < 0.01:
		return fmt.Sprintf("%.2g %s", v, symbol(a, s))
	}
	return unit.Thousands(fmt.Sprintf("%.2f", a.In(s))) + " " + symbol(a, s)
}

// Zones names zones by their numbers, as people do: "zone 3", "zones 3 and 5", and of many
// the first few.
func Zones(zones []int) string { return numbered("zone", zones) }

// numbered names by their numbers what is called so.
func numbered(called string, zones []int) string {
	const most = 6
	var last string
	switch n := len(zones); {
	case n == 0:
		return "no " + called
	case n == 1:
		return fmt.Sprintf("%s %d", called, zones[0])
	case n > most:
		zones, last = zones[:most], fmt.Sprintf("%d more", n-most)
	default:
		zones, last = zones[:n-1], fmt.Sprint(zones[n-1])
	}
	return called + "s " + strings.Join(each.Of(zones, func(z int) string { return fmt.Sprint(z) }), ", ") + " and " + last
}

// Listed joins names, of many the first so many with the number of the others.
func Listed(names []string, most int) string {
	list := strings.Join(names[:min(len(names), most)], ", ")
	if more := len(names) - most; more > 0 {
		list += fmt.Sprintf(" and %d more", more)
	}
	return list
}

// Capital begins a text with a capital letter.
func Capital(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	return strings.ToUpper(s[:n]) + s[n:]
}
