package sheet_test

import (
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

var update = flag.Bool("update", false, "write the sheets of testdata anew")

// TestFourZones compares all sheets of the field of four zones, each way that it can
// be released, in both systems of units.
func TestFourZones(t *testing.T) {
	p := fourZones(t)
	terms := termsOf(t, file(t, "label.yaml"), file(t, "job.yaml"))
	for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads, rx.Refit} {
		for _, s := range []unit.System{unit.US, unit.Metric} {
			name := string(way) + "-" + s.String() + ".txt"
			t.Run(name, func(t *testing.T) {
				sheets, _ := madeAll(t, p, units(terms, s), way)
				got := dump(sheets)
				compare(t, filepath.Join("testdata", name), got)
				if s == unit.Metric {
					noUSUnits(t, got)
				}
			})
		}
	}
}

func compare(t *testing.T, path, got string) {
	t.Helper()
	if *update {
		if err := os.WriteFile(path, []byte(got), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got == string(want) {
		return
	}
	lines, wanted := strings.Split(got, "\n"), strings.Split(string(want), "\n")
	for i := range min(len(lines), len(wanted)) {
		if lines[i] != wanted[i] {
			t.Fatalf("%s:%d: got\n%s\nwant\n%s\n(go test -update writes it anew; read the difference first)", path, i+1, lines[i], wanted[i])
		}
	}
	t.Fatalf("%s: %d lines, want %d", path, len(lines), len(wanted))
}

var usUnit = regexp.MustCompile(`\b(lb|lb/ac|fl oz|fl oz/ac|gal|gal/ac|ac|acres?|ton|tons|psi|mph|ft|ft3|in/min|gallons?|ounces?|pounds?|pint|quarts?|inch|inches)\b`)

// noUSUnits fails on a customary unit in metric sheets.
func noUSUnits(t *testing.T, text string) {
	t.Helper()
	for line := range strings.Lines(text) {
		if strings.Contains(line, "Column to load") || strings.Contains(line, "column RX_RATE") || strings.Contains(line, "counts lb/ac") {
			continue // the file keeps the unit of the prescription, and the sheet says so
		}
		if found := usUnit.FindString(line); found != "" {
			t.Errorf("%q in %s", found, line)
		}
	}
}
