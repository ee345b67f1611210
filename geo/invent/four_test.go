package invent_test

import (
	"bufio"
	"fmt"
	"math"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/invent"
	"rxsplit/internal/oracle"
)

// fourRow is a line of testdata/four.txt.
type fourRow struct{ acres, west, south, east, north, squareMeters float64 }

func fourRows(t *testing.T) []fourRow {
	t.Helper()
	f, err := os.Open("testdata/four.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []fourRow
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		var r fourRow
		if _, err := fmt.Sscan(lines.Text(), &r.acres, &r.west, &r.south, &r.east, &r.north, &r.squareMeters); err != nil {
			t.Fatalf("%q: %v", lines.Text(), err)
		}
		rows = append(rows, r)
	}
	return rows
}

// The strips stand where GeographicLib's Planimeter measured them, and its acres
// are those wanted. Tolerances: 1e-13 degrees are 0.01 µm, about the rounding of
// the numbers; 1e-9 of 15 acres is 60 mm².
func TestFourZonesByPlanimeter(t *testing.T) {
	l := invent.FourZones()
	rows := fourRows(t)
	if len(rows) != l.Shapes.Len() {
		t.Fatalf("%d rows for %d zones", len(rows), l.Shapes.Len())
	}
	for i, r := range rows {
		want := orb.Bound{Min: orb.Point{r.west, r.south}, Max: orb.Point{r.east, r.north}}
		got := l.Shapes.Bound(i)
		for axis := range 2 {
			if math.Abs(got.Min[axis]-want.Min[axis]) > 1e-13 || math.Abs(got.Max[axis]-want.Max[axis]) > 1e-13 {
				t.Errorf("strip %d lies at %v, want %v", i, got, want)
			}
		}
		if math.Abs(r.squareMeters/acre/r.acres-1) > 1e-9 {
			t.Errorf("strip %d: Planimeter measures %.12g ac, want %v", i, r.squareMeters/acre, r.acres)
		}
	}
}

// The same live, where Planimeter is installed.
func TestFourZonesByPlanimeterLive(t *testing.T) {
	planimeter := oracle.Tool(t, "Planimeter")
	l := invent.FourZones()
	for i, r := range fourRows(t) {
		var in strings.Builder
		for _, p := range l.Shapes.Ring(i)[1:] {
			fmt.Fprintf(&in, "%.17g %.17g\n", p[1], p[0])
		}
		cmd := exec.Command(planimeter, "-p", "10")
		cmd.Stdin = strings.NewReader(in.String())
		out, err := cmd.Output()
		if err != nil {
			t.Fatal(err)
		}
		var vertices int
		var perimeter, area float64
		if _, err := fmt.Sscan(string(out), &vertices, &perimeter, &area); err != nil {
			t.Fatalf("%q: %v", out, err)
		}
		if math.Abs(area/acre/r.acres-1) > 1e-9 {
			t.Errorf("strip %d: %.12g ac, want %v", i, area/acre, r.acres)
		}
	}
}

// The formula of package geo shares no code with what made the strips: within the
// 3e-10 that it claims for edges of this length.
func TestFourZonesByOwnFormula(t *testing.T) {
	l := invent.FourZones()
	checkRecords(t, &l.Shapes)
	checkOutline(t, &l.Shapes)
	var pounds float64
	for i, want := range []float64{40, 60, 45, 15} {
		area, err := geo.AreaOf(l.Shapes.Shape(i))
		if err != nil {
			t.Fatal(err)
		}
		if got := float64(area); math.Abs(got/want-1) > 1e-9 {
			t.Errorf("strip %d: got %.12g ac, want %v", i, got, want)
		}
		pounds += float64(area) * l.Rates[i]
	}
	if math.Abs(pounds/30550-1) > 1e-9 {
		t.Errorf("got %v lb, want 30550", pounds)
	}
}
