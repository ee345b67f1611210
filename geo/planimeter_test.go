package geo

import (
	"bufio"
	"fmt"
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

const planimeterTable = "testdata/planimeter.txt"

// row is a polygon of the table with the area that Planimeter gives each ring.
type row struct {
	rings []orb.Ring
	areas []float64
}

func (r row) area() float64 {
	a := r.areas[0]
	for _, hole := range r.areas[1:] {
		a += hole // clockwise: negative
	}
	return a
}

func TestTableOfPlanimeter(t *testing.T) {
	if os.Getenv("RXSPLIT_UPDATE") != "" {
		writePlanimeterTable(t)
	}
	rows := readPlanimeterTable(t)
	if len(rows) != 40 {
		t.Fatalf("the table has %d polygons, want 40", len(rows))
	}
	for i, row := range rows {
		got, err := AreaOf(orb.MultiPolygon{row.rings})
		if err != nil {
			t.Fatal(err)
		}
		if !near(float64(got/unit.SquareMeter), row.area()) {
			t.Errorf("polygon %d: got %.5f m2, want %.5f", i+1, float64(got/unit.SquareMeter), row.area())
		}
	}
}

func TestLivePlanimeter(t *testing.T) {
	var rings []orb.Ring
	for _, row := range readPlanimeterTable(t) {
		rings = append(rings, row.rings...)
	}
	r := rand.New(rand.NewPCG(3, 4))
	for range 200 {
		rings = append(rings, blob(r, -69+138*r.Float64(), 30+1000*r.Float64(), 3+r.IntN(60)))
	}
	for i, want := range planimeter(t, rings) {
		got, err := acresOfRing(rings[i])
		if err != nil {
			t.Fatal(err)
		}
		if !near(float64(got/unit.SquareMeter), want) {
			t.Errorf("ring %d: got %.5f m2, want %.5f", i+1, float64(got/unit.SquareMeter), want)
		}
	}
}

func readPlanimeterTable(t *testing.T) []row {
	f, err := os.Open(planimeterTable)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []row
	var ring orb.Ring
	for lines := bufio.NewScanner(f); lines.Scan(); {
		field := strings.Fields(lines.Text())
		switch {
		case len(field) == 0 || field[0] == "#":
		case field[0] == "polygon":
			rows = append(rows, row{})
		case field[0] == "area":
			last := &rows[len(rows)-1]
			last.rings = append(last.rings, append(ring, ring[0]))
			last.areas = append(last.areas, number(t, field[1]))
			ring = nil
		default:
			ring = append(ring, orb.Point{number(t, field[1]), number(t, field[0])})
		}
	}
	return rows
}

// writePlanimeterTable makes the table anew; it runs with RXSPLIT_UPDATE=1 only, and asks Planimeter.
func writePlanimeterTable(t *testing.T) {
	r := rand.New(rand.NewPCG(40, 1))
	var all []orb.Ring
	var counts []int
	for range 40 {
		rings := []orb.Ring{blob(r, -55+123*r.Float64(), 60+900*r.Float64(), 5+r.IntN(40))}
		center := middle(rings[0])
		for k := range r.IntN(4) { // holes in the part that is always inside
			hole := blob(r, center[1], 1, 4+r.IntN(8))
			hole.Reverse()
			size := (rings[0][0][1] - center[1]) / 20 * float64(k+1)
			from := middle(hole)
			for i, p := range hole {
				hole[i] = orb.Point{center[0] + (p[0]-from[0])*size*5e4, center[1] + (p[1]-from[1])*size*5e4}
			}
			if a, _ := acresOfRing(hole); a > 0 {
				hole.Reverse()
			}
			rings = append(rings, hole)
		}
		all, counts = append(all, rings...), append(counts, len(rings))
	}
	areas := planimeter(t, all)
	var b strings.Builder
	b.WriteString("# Areas of invented polygons by GeographicLib 2.1.2 (MIT licence, C. F. F. Karney),\n" +
		"# command: Planimeter -p 9, each ring apart. Vertices are latitude, longitude in degrees,\n" +
		"# areas square meters, counter-clockwise positive: a polygon is its rings' sum.\n" +
		"# Made by RXSPLIT_ORACLES=require RXSPLIT_UPDATE=1 go test -run TableOfPlanimeter ./geo\n")
	for i, n := range counts {
		fmt.Fprintf(&b, "polygon %d\n", i+1)
		for k := range n {
			for _, p := range all[k][:len(all[k])-1] {
				fmt.Fprintf(&b, "%s %s\n", exactText(p[1]), exactText(p[0]))
			}
			fmt.Fprintf(&b, "area %.9f\n", areas[k])
		}
		all, areas = all[n:], areas[n:]
	}
	if err := os.WriteFile(planimeterTable, []byte(b.String()), 0o644); err != nil {
		t.Fatal(err)
	}
}

func middle(ring orb.Ring) orb.Point { return bound(ring).Center() }
