package crs

import (
	"bufio"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

func mustParse(t testing.TB, text string) System {
	t.Helper()
	s, err := Parse(text)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// forward converts one place to the plane, inverse one point of it back.
func forward(t testing.TB, s System, lonLat orb.Point) orb.Point {
	t.Helper()
	p := []orb.Point{lonLat}
	if err := s.FromLonLat(p, p); err != nil {
		t.Fatal(err)
	}
	return p[0]
}

func inverse(t testing.TB, s System, xy orb.Point) orb.Point {
	t.Helper()
	p := []orb.Point{xy}
	if err := s.ToLonLat(p, p); err != nil {
		t.Fatal(err)
	}
	return p[0]
}

// table reads the rows of a file in testdata: cells between tabs, lines that
// begin with # left out. Fewer rows than it once had is an error.
func table(t testing.TB, file string, cells, atLeast int) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows [][]string
	for scanner := bufio.NewScanner(f); scanner.Scan(); {
		if strings.HasPrefix(scanner.Text(), "#") {
			continue
		}
		row := strings.Split(scanner.Text(), "\t")
		if len(row) != cells {
			t.Fatalf("%s: row %d has %d cells, want %d", file, len(rows)+1, len(row), cells)
		}
		rows = append(rows, row)
	}
	if len(rows) < atLeast {
		t.Fatalf("%s: %d rows, want at least %d", file, len(rows), atLeast)
	}
	return rows
}
