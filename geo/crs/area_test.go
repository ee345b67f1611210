package crs

import (
	"fmt"
	"math"
	"os/exec"
	"regexp"
	"strconv"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/internal/oracle"
)

// areasOfUse are the BBOX of what projinfo prints as WKT2:2019, of PROJ 9.1.1 with
// EPSG v10.076.
var areasOfUse = []struct {
	code                     int
	west, south, east, north float64
}{
	{26915, -96, 25.61, -90, 84},
	{32722, -54, -80, -48, 0},
	{2264, -84.33, 33.83, -75.38, 36.59},
	{3435, -89.28, 37.06, -87.02, 42.5},
	{5070, -124.79, 24.41, -66.91, 49.38},
	{3467, 172.42, 51.3, -129.99, 71.4}, // across the antimeridian
	{3857, -180, -85.06, 180, 85.06},
}

func TestAreaOfUse(t *testing.T) {
	for _, c := range areasOfUse {
		box, ok := ofCode(t, c.code).AreaOfUse()
		want := orb.Bound{Min: orb.Point{c.west, c.south}, Max: orb.Point{c.east, c.north}}
		if !ok || box != want {
			t.Errorf("EPSG:%d: %v %v, want %v", c.code, box, ok, want)
		}
	}
	for _, s := range []System{WGS84(), ofCode(t, 4269)} {
		if box, ok := s.AreaOfUse(); ok {
			t.Errorf("%s: %v, want none", s.Name(), box)
		}
	}
}

func ofCode(t *testing.T, code int) System {
	t.Helper()
	return mustParse(t, fmt.Sprintf("EPSG:%d", code))
}

// Each system has its area, within the globe.
func TestAreasOfAllSystems(t *testing.T) {
	if len(systems()) != 1876 {
		t.Fatalf("%d systems, want 1876", len(systems()))
	}
	for _, r := range systems() {
		box, err := r.box()
		if err != nil || !(box.Min[1] < box.Max[1]) || max(math.Abs(box.Min[1]), math.Abs(box.Max[1])) > 90 ||
			max(math.Abs(box.Min[0]), math.Abs(box.Max[0])) > 180 {
			t.Errorf("EPSG:%d: %q is no box (%v)", r.code, r.area, err)
		}
	}
}

var bbox = regexp.MustCompile(`BBOX\[([-0-9.]+),([-0-9.]+),([-0-9.]+),([-0-9.]+)\]`)

func TestAreaOfUseByProjinfo(t *testing.T) {
	tool := oracle.Tool(t, "projinfo")
	for i := 0; i < len(systems()); i += 90 {
		code := systems()[i].code
		text, err := exec.Command(tool, "-q", "-o", "WKT2_2019", fmt.Sprintf("EPSG:%d", code)).Output()
		found := bbox.FindSubmatch(text)
		if err != nil || found == nil {
			t.Errorf("EPSG:%d: projinfo: %v %s", code, err, text)
			continue
		}
		box, _ := ofCode(t, code).AreaOfUse()
		for k, got := range []float64{box.Min[1], box.Min[0], box.Max[1], box.Max[0]} {
			want, err := strconv.ParseFloat(string(found[k+1]), 64)
			if err != nil || math.Abs(got-want) > 0.0101 {
				t.Errorf("EPSG:%d: %v, projinfo has %s", code, box, found[0])
			}
		}
	}
}
