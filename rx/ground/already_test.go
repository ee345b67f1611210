package ground

import (
	"math"
	"slices"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/crs"
	"rxsplit/label"
	"rxsplit/label/unit"
)

// A season of two passes: what the first laid, drawn as a layer and read as what is applied
// already, against a raster that asks each cell by other means. The layer's rates are means
// of steps of a twentieth of the label's most.
func TestSeasonOfTwoPasses(t *testing.T) {
	const seam = 0.4 // of y over x
	first := planned([]orb.Polygon{
		ring(orb.Point{0, 0}, orb.Point{200, 0}, orb.Point{200, 160 + seam*200}, orb.Point{0, 160}),
		ring(orb.Point{0, 160}, orb.Point{200, 160 + seam*200}, orb.Point{200, 400}, orb.Point{0, 400}),
	}, 130, 240) // 20.8 and 38.4 fl oz/ac
	r := driveOn(t, first, tenMeters)
	layer, err := r.Layer(Options{})
	if err != nil {
		t.Fatal(err)
	}
	rates := make([]unit.LiquidRate, len(layer.Rows))
	for i, row := range layer.Rows {
		rates[i] = row.Stabilizer
	}
	// The second pass has zones of its own, and lon/lat as its file has.
	var polygons []orb.Polygon
	for y := 0.0; y < 400; y += 40 {
		for x := 0.0; x < 200; x += 50 {
			polygons = append(polygons, rectangle(x, y, x+50, y+40))
		}
	}
	second := planned(polygons, slices.Repeat([]float64{200}, len(polygons))...) // 32 fl oz/ac
	second.Prescription.LonLat = &geo.Shapes{}
	for _, p := range polygons {
		ring := slices.Clone(p[0])
		if err := crs.Local(orb.Point{-93, 42}).ToLonLat(ring, ring); err != nil {
			t.Fatal(err)
		}
		second.Prescription.LonLat.Append(orb.MultiPolygon{{ring}})
	}
	already, err := Already(second.Prescription, layer.Shapes, rates)
	if err != nil {
		t.Fatal(err)
	}
	const season = 65 // 38.4 + 32 is over it, 20.8 + 32 is not
	over, want := 0.0, 0.0
	for z, p := range polygons {
		raster := worstOf(p[0], seam)
		if math.Abs(float64(already[z])-raster) > 1 { // half a step
			t.Errorf("zone %d has %.2f, the raster %.2f", z, already[z], raster)
		}
		if already[z]+32 > season {
			over += 2000
		}
		if raster+32 > season {
			want += 2000
		}
	}
	if over != want || over == 0 {
		t.Errorf("%v m² over the season maximum, the raster has %v", over, want)
	}
	// Held against the label, the second pass finds the very same zones.
	second.Assessment.Liquid.Label.SeasonMax = label.Know[unit.LiquidRate](season)
	second.Assessment.Liquid.Already = already
	got := driveOn(t, second, tenMeters).Liquids[0].Classes[OverSeason].Area
	nearly(t, "over season", got, unit.Area(want)*meters, 2e-2) // its own passes are oblique to nothing
}

// worstOf is the rate of the worst hundredth of a cell's ground, by samples of 0.5 m.
func worstOf(ring orb.Ring, seam float64) float64 {
	var all []float64
	for x := ring[0][0] + 0.25; x < ring[2][0]; x += 0.5 {
		for y := ring[0][1] + 0.25; y < ring[2][1]; y += 0.5 {
			middle := (math.Floor(x/20) + 0.5) * 20
			if y < 160+seam*middle {
				all = append(all, 20.8)
			} else {
				all = append(all, 38.4)
			}
		}
	}
	slices.Sort(all)
	return all[len(all)-1-int(0.01*float64(len(all)))]
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
}
