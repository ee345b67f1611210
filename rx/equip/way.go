package equip

import (
	"fmt"
	"slices"
	"strings"

	"rxsplit/internal/each"
)

// WayName names a way to release a prescription; empty if none was chosen.
type WayName string

// Words is the name as people say it: the dash is for what is typed.
func (n WayName) Words() string { return strings.ReplaceAll(string(n), "-", " ") }

// Way is how a way is called and told. How it is worked out stands in rx/split.
type Way struct {
	Name  WayName // in commands, files and tables
	Title string  // in a headline
	Many  string  // the title of several loads; where it is given, the number of loads, if known, goes before either
	Help  string  // what it does
	Whole bool    // it answers whether the blend can be impregnated as one: that of one way alone
}

// Ways lists the ways in the order in which they are shown; the first is the one that
// is taken where none is chosen.
func Ways() []Way {
	return []Way{
		{Name: "wet-boom", Title: "wet boom", Help: "a constant liquid layer over untreated dry"},
		{Name: "one-load", Title: "one load", Help: "the whole blend at another loading", Whole: true},
		{Name: "base", Title: "a treated base with untreated top-up", Help: "a treated constant base and an untreated top-up"},
		{Name: "loads", Title: "impregnated load", Many: "impregnated loads", Help: "as few impregnated loads as the label needs"},
		{Name: "refit", Title: "refitted dry rates", Help: "the smallest change of dry rates"},
	}
}

// WayOf returns the way of a name. The error lists those that there are.
func WayOf(name WayName) (Way, error) {
	ways := Ways()
	at := slices.IndexFunc(ways, func(w Way) bool { return w.Name == name })
	if at < 0 {
		return Way{}, fmt.Errorf("%q is none of %s", name, strings.Join(wayNames(), ", "))
	}
	return ways[at], nil
}

// TitleOf is what a headline calls a way of so many loads; 0 where it is not known how many.
func TitleOf(name WayName, loads int) string {
	w, err := WayOf(name)
	switch {
	case err != nil:
		return string(name)
	case w.Many == "":
		return w.Title
	case loads == 0:
		return w.Many
	case loads == 1:
		return "1 " + w.Title
	}
	return fmt.Sprintf("%d %s", loads, w.Many)
}

// WayChoice names all ways in a sentence: "this, that or another".
func WayChoice() string {
	names := wayNames()
	last := len(names) - 1
	return strings.Join(names[:last], ", ") + " or " + names[last]
}

// WaysHelp tells what each way does, a line each.
func WaysHelp() string {
	return strings.Join(each.Of(Ways(), func(w Way) string { return fmt.Sprintf("  %-9s %s", w.Name, w.Help) }), "\n")
}

func wayNames() []string {
	return each.Of(Ways(), func(w Way) string { return string(w.Name) })
}

// Choices lists the words that can be entered.
func (WayName) Choices() []string { return wayNames() }
