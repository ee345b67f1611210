package page

import (
	"regexp"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/svg"
	"rxsplit/rx"
)

func TestNumbersOnTheMap(t *testing.T) {
	r := reporttest.Plan(t, reporttest.Contours(t), "")
	d := svg.NewDrawer(groundOf(r.Prescription))
	off, _ := report.OffZones(r.Prescription, r.Assessment, svg.MostNumbers)
	var boxes []orb.Bound
	seen := map[int]bool{}
	for _, m := range regexp.MustCompile(`<text class="(n|n few)" x="(\d+)" y="(\d+)">(\d+)</text>`).FindAllStringSubmatch(string(d.Numbers(off)), -1) {
		zone := atoi(t, m[4]) - 1
		if v := r.Assessment.Verdicts[zone]; v != rx.Below && v != rx.Above {
			t.Errorf("zone %d is %s and has a number", zone+1, v)
		}
		seen[zone] = true
		size := 14.0 * 10
		if m[1] == "n" {
			size = 25 * 10
		}
		x, y, half := float64(atoi(t, m[2])), float64(atoi(t, m[3])), 0.31*size*float64(len(m[4]))
		box := orb.Bound{Min: orb.Point{x - half, y - size/2}, Max: orb.Point{x + half, y + size/2}}
		for _, other := range boxes {
			if box.Intersects(other) {
				t.Errorf("the number of zone %d touches another", zone+1)
			}
		}
		boxes = append(boxes, box)
	}
	if largest := off[0]; !seen[largest] || len(seen) < 10 {
		t.Errorf("%d numbers, the largest zone's among them: %v", len(seen), seen[largest])
	}
}

// TestCellsTooSmallHaveNoNumbers: what is joined has no border to tell whose number
// stands there.
func TestCellsTooSmallHaveNoNumbers(t *testing.T) {
	r := reporttest.Plan(t, reporttest.Grid(t, 2500, 0), "")
	off, _ := report.OffZones(r.Prescription, r.Assessment, svg.MostNumbers)
	if got := svg.NewDrawer(groundOf(r.Prescription)).Numbers(off); got != "" {
		t.Errorf("numbers %.100q", got)
	}
}

func atoi(t *testing.T, s string) int {
	t.Helper()
	n, err := strconv.Atoi(s)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
