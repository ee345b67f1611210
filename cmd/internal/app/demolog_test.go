package app_test

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx"
)

var updateDemoPasses = flag.Bool("update-demo-passes", false, "write demo/passes.txt anew")

// The passes of the demo's log are where the treated ground of its field is.
func TestDemoPasses(t *testing.T) {
	field, q := demo(t, app.Values{})
	result, err := (app.Run{}).Check(t.Context(), field, q)
	if err != nil {
		t.Fatal(err)
	}
	var want bytes.Buffer
	want.WriteString("# Ways north and south over the demo's treated ground, 70 ft apart; the test of this file writes it.\n")
	p := result.Prescription
	extent := p.LonLat.Extent()
	swath := 21.336 / (111_320 * math.Cos(extent.Center()[1]*math.Pi/180))
	for pass := 0; ; pass++ {
		lon := extent.Min[0] + (float64(pass)+0.5)*swath
		if lon > extent.Max[0] {
			break
		}
		ways := treated(p, lon)
		if pass%2 == 1 {
			slices.Reverse(ways)
		}
		for _, way := range ways {
			fmt.Fprintf(&want, "%d %.7f %.7f %.7f\n", pass, lon, way[pass%2], way[1-pass%2])
		}
	}
	const path = "demo/passes.txt"
	if *updateDemoPasses {
		os.WriteFile(path, want.Bytes(), 0o666)
	}
	got, err := os.ReadFile(path)
	if err != nil || !bytes.Equal(got, want.Bytes()) {
		t.Errorf("%s is not what the field gives: go test -run DemoPasses -update-demo-passes (%v)", path, err)
	}
}

// treated returns where a line of longitude is over treated ground.
func treated(p *rx.Prescription, lon float64) (ways [][2]float64) {
	for _, z := range p.Zones {
		if !z.Treated() {
			continue
		}
		var met []float64
		for _, polygon := range p.LonLat.Shape(int(z.Record)) {
			for _, ring := range polygon {
				for i := 1; i < len(ring); i++ {
					if a, b := ring[i-1], ring[i]; (a[0] <= lon) != (b[0] <= lon) {
						met = append(met, a[1]+(lon-a[0])/(b[0]-a[0])*(b[1]-a[1]))
					}
				}
			}
		}
		slices.Sort(met)
		for i := 1; i < len(met); i += 2 {
			ways = append(ways, [2]float64{met[i-1], met[i]})
		}
	}
	slices.SortFunc(ways, func(a, b [2]float64) int {
		if a[0] < b[0] {
			return -1
		}
		return 1
	})
	joined := ways[:min(1, len(ways))]
	for _, w := range ways[len(joined):] {
		if last := &joined[len(joined)-1]; w[0] < last[1]+1e-6 {
			last[1] = max(last[1], w[1])
		} else {
			joined = append(joined, w)
		}
	}
	return joined
}
