package serve

import (
	"fmt"
	"strings"
	"testing"
)

// squares is a prescription of two squares side by side, or on one another.
func squares(column string, left, right int, apart float64) string {
	square := func(rate int, x float64) string {
		return fmt.Sprintf(`{"type":"Feature","properties":{"%s":%d},"geometry":{"type":"Polygon","coordinates":[[[%.4[3]f,42],[%.4[4]f,42],[%.4[4]f,42.002],[%.4[3]f,42.002],[%.4[3]f,42]]]}}`, column, rate, x, x+0.002)
	}
	return `{"type":"FeatureCollection","features":[` + square(left, -93) + "," + square(right, -93+apart) + `]}`
}

// The page of a folder says of each prescription in a word what it comes to under the label of 20 to
// 40 fl oz/ac: 200 lb/ac throughout are on it at 300 fl oz/ton, 100 and 300 can't be by one loading, as
// 3 is more than 40/20. So many are shown, and how many more there are is told.
func TestCardsOfAFolder(t *testing.T) {
	files := map[string]string{
		"label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n",
		"a.geojson":  squares("RATE", 200, 200, 0.002), "b.geojson": squares("RATE", 100, 300, 0.002), "c.geojson": squares("N_RATE", 200, 200, 0.002),
		"d.geojson": squares("RATE", 200, 200, 0.001), "e.geojson": "{}",
	}
	for i := range mostCards - 3 {
		files[fmt.Sprintf("f%02d.geojson", i)] = squares("RATE", 200, 200, 0.002)
	}
	v := visit(t, files)
	page := v.get("?label=label.yaml")
	for file, word := range map[string]string{"a.geojson": "on label", "b.geojson": "off label", "c.geojson": "in doubt", "d.geojson": "repair the file", "e.geojson": "failed"} {
		card := between(page, ">"+file+"<", "</li>")
		for _, other := range []string{"on label", "off label", "in doubt", "repair the file", "look", "failed"} {
			if got := strings.Contains(card, `">`+other+"<"); got != (other == word) {
				t.Errorf("%s is told to be %q: %t; want %q alone: %s", file, other, got, word, card)
			}
		}
	}
	wants(t, page, ">2 more prescriptions are not shown", fmt.Sprintf("f%02d.geojson", mostCards-6))
	if strings.Contains(page, fmt.Sprintf("f%02d.geojson", mostCards-5)) {
		t.Errorf("more than %d are shown", mostCards)
	}
}

// Of the ways of 200 lb/ac throughout, all that put one loading on it come to one plan and are one card;
// their names stand on it, and what an address asks for by one of them is shown as chosen. A way that
// there isn't is told.
func TestEqualWaysAreOneCard(t *testing.T) {
	v := visit(t, map[string]string{
		"label.yaml": "name: x\nrate: {min: 20 fl oz/ac, max: 40 fl oz/ac}\n", "a.geojson": squares("RATE", 200, 200, 0.002),
	})
	at := "field?file=a.geojson&label=label.yaml"
	for _, c := range []struct {
		way   string
		cards int
		says  string
	}{
		{"", 3, "<dt>The same as</dt><dd>1 impregnated load, refitted dry rates</dd>"},
		{"&way=refit", 4, "6 Release: refitted dry rates"},
		{"&way=nonsense", 3, "There is no way of the name nonsense."},
	} {
		page := v.get(at + c.way)
		_, ways, _ := strings.Cut(page, `id="ways"`)
		if got := strings.Count(ways, `<li class="card `); got != c.cards {
			t.Errorf("%q: %d cards, want %d", c.way, got, c.cards)
		}
		wants(t, page, c.says)
	}
}
