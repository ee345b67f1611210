package ground

import (
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/crs"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
)

// A log of dry, as applied already, against a raster of numpy that asks each cell by other
// means: swaths that overlap, a rate that changes on the way.
func TestLogOfDryAsApplied(t *testing.T) {
	text, err := os.ReadFile("testdata/logged.txt")
	if err != nil {
		t.Fatal(err)
	}
	holdLogged(t, string(text))
}

func holdLogged(t *testing.T, table string) {
	t.Helper()
	var polygons []orb.Polygon
	for y := 0.0; y < 400; y += 40 {
		for x := 0.0; x < 200; x += 50 {
			polygons = append(polygons, rectangle(x, y, x+50, y+40))
		}
	}
	f := meshed(t, planned(polygons, slices.Repeat([]float64{200}, len(polygons))...))
	got, err := AlreadyDriven(f.Prescription, &Drive{Log: loggedDry(t)})
	if err != nil {
		t.Fatal(err)
	}
	rows := 0
	for line := range strings.Lines(table) {
		var zone int
		var dry, first, second float64
		if _, err := fmt.Sscanf(line, "zone %d %g %g %g", &zone, &dry, &first, &second); err != nil {
			continue
		}
		rows++
		for i, want := range []float64{dry, first, second} {
			has := got[zone]
			if i > 0 {
				has = float64(unit.StabilizerRate([]unit.Loading{320, 64}[i-1], unit.DryRate(has)))
			}
			if math.Abs(has-want) > 1e-6*want {
				t.Errorf("zone %d, amount %d: %.4f, the raster %.4f", zone, i, has, want)
			}
		}
	}
	if rows != len(polygons) {
		t.Errorf("%d rows, want %d", rows, len(polygons))
	}
}

// loggedDry drives eleven swaths north, as logged.py says.
func loggedDry(t *testing.T) *track.Log {
	t.Helper()
	const gram = 453.59237 / 4046.8564224 // of lb/ac, on a square meter
	log := &track.Log{Amount: track.Mass, Width: 20, Machines: []string{""}}
	var places []orb.Point
	for swath := range 11 {
		for y := range 401 {
			places = append(places, orb.Point{6 + 19*float64(swath), float64(y)})
			r := track.NewRow(orb.Point{}, int32(len(log.Rows)))
			r.Time = float64(1000*swath + y)
			r.Rate = gram * []float64{150, 260, 205}[max(y-1, 0)/37%3] // of the meter before
			log.Rows = append(log.Rows, r)
		}
	}
	if err := crs.Local(orb.Point{-93, 42}).ToLonLat(places, places); err != nil {
		t.Fatal(err)
	}
	for i := range places {
		log.Rows[i].At = places[i]
	}
	return log
}

// A log that lays nothing, here as its seconds are taken for milliseconds, is not told to lie elsewhere.
func TestLogThatLaysNothingAsApplied(t *testing.T) {
	f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 200, 400)}, 200))
	log := loggedDry(t)
	for i := range log.Rows {
		log.Rows[i].Time /= 1000
	}
	if _, err := AlreadyDriven(f.Prescription, &Drive{Log: log}); err == nil || !strings.Contains(err.Error(), "none of its rows lays anything") {
		t.Errorf("got %v", err)
	}
}
