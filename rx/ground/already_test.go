package ground

import (
	"flag"
	"fmt"
	"math"
	"os"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/internal/oracle"
	"rxsplit/label"
	"rxsplit/label/unit"
)

var updateSeason = flag.Bool("update-season", false, "write testdata/season.txt anew, by numpy")

// A season of two passes: what the first laid, drawn as a layer and read as what is applied
// already, against a raster of numpy that asks each cell by other means.
func TestSeasonOfTwoPasses(t *testing.T) {
	text, err := os.ReadFile("testdata/season.txt")
	if *updateSeason {
		text = append([]byte("# The season of two passes by a raster of 0.25 m: numpy through season.py.\n"), askNumpy(t, "season.py")...)
		err = os.WriteFile("testdata/season.txt", text, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
	holdSeason(t, string(text))
}

func TestNumpySaysTheSame(t *testing.T) {
	oracle.Asked(t)
	holdSeason(t, string(askNumpy(t, "season.py")))
	holdLogged(t, string(askNumpy(t, "logged.py")))
}

// askNumpy asks Debian's own interpreter where that is: packages for it are not seen by others.
func askNumpy(t *testing.T, script string) []byte {
	t.Helper()
	python := "/usr/bin/python3"
	if _, err := os.Stat(python); err != nil {
		python = oracle.Tool(t, "python3")
	}
	if exec.Command(python, "-c", "import numpy").Run() != nil {
		oracle.Missing(t, "python3-numpy is not installed")
	}
	out, err := exec.Command(python, "testdata/"+script).Output()
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func holdSeason(t *testing.T, table string) {
	t.Helper()
	const seam = 0.4 // of y over x
	first := planned([]orb.Polygon{
		ring(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 160 + seam*200}, orb.Point{0, 160}),
		ring(orb.Point{0, 160}, orb.Point{200, 160 + seam*200}, orb.Point{200, 400}, orb.Point{0, 400}),
	}, 130, 240) // 20.8 and 38.4 fl oz/ac
	course := tenMeters
	course.Offset, course.Dead = 7*unit.Meter, unit.Second
	drawn, err := driveOn(t, first, course).Drawn(Options{})
	if err != nil {
		t.Fatal(err)
	}
	layer := drawn.Laid
	rates := make([]unit.LiquidRate, len(layer.Rows))
	for i, row := range layer.Rows {
		rates[i] = row.Stabilizer
	}
	// The second pass has zones of its own.
	var polygons []orb.Polygon
	for y := 0.0; y < 400; y += 40 {
		for x := 0.0; x < 200; x += 50 {
			polygons = append(polygons, rectangle(x, y, x+50, y+40))
		}
	}
	second := meshed(t, planned(polygons, slices.Repeat([]float64{200}, len(polygons))...)) // 32 fl oz/ac
	already, err := Already(second.Prescription, layer.Shapes, rates)
	if err != nil {
		t.Fatal(err)
	}
	second.Assessment.Liquid.Label.SeasonMax = label.Know[unit.LiquidRate](65) // 38.4 + 32 is over it, 20.8 + 32 is not
	second.Assessment.Liquid.Already = already
	over := driveOn(t, second, tenMeters).Liquids[0].Classes[OverSeason].Area
	want := map[string]float64{}
	for line := range strings.Lines(table) {
		var zone int
		var name string
		var rate float64
		if _, err := fmt.Sscan(line, &name, &zone, &rate); err == nil && name == "zone" {
			want[fmt.Sprint(zone)] = rate
			if math.Abs(float64(already[zone])-rate) > 0.05 {
				t.Errorf("zone %d has %.3f, the raster %.3f", zone, already[zone], rate)
			}
		} else if _, err := fmt.Sscan(line, &name, &rate); err == nil {
			want[name] = rate
		}
	}
	if len(want) != len(polygons)+2 {
		t.Fatalf("%d rows", len(want))
	}
	nearly(t, "zones over the season maximum", over, unit.Area(want["zones-over"])*meters, 1e-4)
	// Zones are graded on their worst ground: no ground over it is missed.
	if want["zones-over"] < want["ground-over"] {
		t.Errorf("%v m² of zones, and %v of ground", want["zones-over"], want["ground-over"])
	}
}

// The worst ground of a zone counts once it is more than a hundredth of it.
func TestWorstGround(t *testing.T) {
	p := planned([]orb.Polygon{rectangle(0, 0, 100, 100)}, 200)
	p.Prescription.LonLat = &geo.Shapes{}
	lonLat := func(q orb.Polygon) orb.MultiPolygon {
		ring := slices.Clone(q[0])
		if err := crs.Local(orb.Point{-93, 42}).ToLonLat(ring, ring); err != nil {
			t.Fatal(err)
		}
		return orb.MultiPolygon{{ring}}
	}
	p.Prescription.LonLat.Append(lonLat(rectangle(0, 0, 100, 100)))
	for _, c := range []struct{ wide, want float64 }{{0.9, 10}, {1.1, 40}} {
		applied := &geo.Shapes{}
		applied.Append(lonLat(rectangle(-5, -5, 105, 105)))
		applied.Append(lonLat(rectangle(0, 0, c.wide, 100))) // adds up
		got, err := Already(p.Prescription, applied, []unit.LiquidRate{10, 30})
		if err != nil || math.Abs(float64(got[0])-c.want) > 1e-9 {
			t.Errorf("%v m wide: %v, %v, want %v", c.wide, got, err, c.want)
		}
	}
	if got := worst(nil); got != 0 {
		t.Errorf("%v lies on a zone that no line crosses", got)
	}
}
