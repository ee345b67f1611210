package equip_test

import (
	"strings"
	"testing"

	"rxsplit/rx/equip"
)

// The decision asks one way whether the blend can be impregnated as one.
func TestOneWayIsTheWholeBlend(t *testing.T) {
	var names []equip.WayName
	for _, w := range equip.Ways() {
		if w.Whole {
			names = append(names, w.Name)
		}
	}
	if len(names) != 1 {
		t.Errorf("%v are: a second way that loads the whole blend leaves Whole unset", names)
	}
}

// A way that is not possible has no loads to count: its title has no figure.
func TestNoTitleCountsWhatIsNotKnown(t *testing.T) {
	for _, w := range equip.Ways() {
		if title := equip.TitleOf(w.Name, 0); title == "" || strings.ContainsAny(title, "0123456789") {
			t.Errorf("%s: %q", w.Name, title)
		}
	}
	if one, two := equip.TitleOf("loads", 1), equip.TitleOf("loads", 2); one != "1 impregnated load" || two != "2 impregnated loads" {
		t.Errorf("got %q and %q", one, two)
	}
}

// What a headline calls a way of one load, of several, of nobody knows how many; a name that is none stands as it is.
func TestTitlesOfWays(t *testing.T) {
	for _, w := range equip.Ways() {
		many := w.Many != ""
		if one := equip.TitleOf(w.Name, 1); many && one != "1 "+w.Title || !many && one != w.Title {
			t.Errorf("%s: %q", w.Name, one)
		}
		if none := equip.TitleOf(w.Name, 0); many && none != w.Many || !many && none != w.Title {
			t.Errorf("%s: %q", w.Name, none)
		}
	}
	if got := equip.TitleOf("other", 2); got != "other" {
		t.Errorf("got %q", got)
	}
	if _, err := equip.WayOf("other"); err == nil || !strings.Contains(err.Error(), `"other" is none of `) {
		t.Error(err)
	}
}
