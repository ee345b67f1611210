package unit

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
)

// TestFactors checks every unit that can be read against the figures of
// testdata/factors.csv. Published figures hold to half a unit of their seventh digit,
// derived ones to ten, exact ones to the last bits of a float64.
func TestFactors(t *testing.T) {
	tolerance := map[string]float64{"exact": 4e-16, "derived": 3e-10, "published": 5e-7}
	seen := map[string]bool{}
	for _, row := range readRows(t, "testdata/factors.csv") {
		of, one, in, basis := row[0], row[1], row[2], row[4]
		want := parseFloat(t, row[3])
		d := tableOf(t, of)
		value, err := d.parse(one)
		if err != nil {
			t.Fatal(err)
		}
		per, err := d.factor(in)
		if err != nil {
			t.Fatal(err)
		}
		if got := value / per; math.Abs(got-want) > tolerance[basis]*want {
			t.Errorf("%s in %s: got %.12g, want %.12g (%s)", one, in, got, want, basis)
		}
		_, unit := split(one)
		seen[of+canonical(unit)], seen[of+in] = true, true
	}
	for _, d := range tables() {
		for _, u := range d.units {
			if !seen[nameOf(d)+strings.ToLower(u.name)] && len(d.units) > 1 {
				t.Errorf("%s: no outside figure for %s", nameOf(d), u.name)
			}
		}
	}
}

// nameOf returns the short name by which the table calls a dimension.
func nameOf(d *table) string {
	for what, name := range map[string]string{
		"a weight": "mass", "a volume of liquid": "volume", "a bulk volume": "capacity",
		"a flow of dry product": "mass flow", "a price of a liquid": "volume price", "a price by weight": "mass price", "a price by area": "area price",
	} {
		if d.what == what {
			return name
		}
	}
	return strings.TrimPrefix(strings.TrimPrefix(d.what, "an "), "a ")
}

func tableOf(t *testing.T, name string) *table {
	t.Helper()
	for _, d := range tables() {
		if nameOf(d) == name {
			return d
		}
	}
	t.Fatalf("no dimension %q", name)
	return nil
}

func readRows(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows [][]string
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if !strings.HasPrefix(lines.Text(), "#") {
			rows = append(rows, strings.Split(lines.Text(), ","))
		}
	}
	if len(rows) == 0 {
		t.Fatalf("%s: no rows", path)
	}
	return rows
}

func parseFloat(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
