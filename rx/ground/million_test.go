package ground

import (
	"math"
	"math/rand/v2"
	"os"
	"reflect"
	"runtime"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/coverage"
	"rxsplit/geo/crs"
	"rxsplit/geo/track"
)

// A long log over many zones, with noise, overlaps and a rate that sways: the same bits on one
// core and on two, all of its amount in the tables, and every class as finer lines find it.
// RXSPLIT_MILLION=1 takes a million rows and 600 zones in place of 20,000 and 60.
func TestLongLogOnManyZones(t *testing.T) {
	passes, rows, across, along, spacing := 40, 500, 10, 6, 0.1
	if os.Getenv("RXSPLIT_MILLION") != "" {
		passes, rows, across, along, spacing = 312, 3206, 30, 20, 0.2 // as near as lines may be
	}
	const swath, apart, step = 21.336, 20.5, 2.1
	wide, long := apart*float64(passes), step*float64(rows-1)
	zones, rates := wobbly(across, along, wide, long)
	f := meshed(t, planned(zones, rates...))
	log := swaying(t, passes, rows, swath, apart, step)
	look := func(cores int) *Result {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		r, err := f.Look([]*Drive{{Log: log}}, Options{})
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	one, two := look(1), look(2)
	if !reflect.DeepEqual(one.tables, two.tables) || one.tables.Widened {
		t.Error("one core and two differ, or lines were spread")
	}
	p := one.Products[0]
	if off := math.Abs((p.InField+p.OutField)/p.Laid - 1); off > 1e-4 {
		t.Errorf("the tables hold all but %.1e of what was laid", off)
	}
	fine, err := coverage.Sweep(one.ground, coverage.Options{Spacing: spacing, Judge: one.judge.marks, Marks: len(one.tables.Marks)})
	if err != nil || fine.Widened {
		t.Fatal(err, "lines were spread")
	}
	field, worst := float64(f.Prescription.Area()/meters), 0.0
	for m := range fine.Marks {
		off := math.Abs(fine.Marks[m].Area-one.tables.Marks[m].Area) / field
		if worst = max(worst, off); off > 1e-4 {
			t.Errorf("mark %d has %.2f m², and %.2f by lines of %v m", m, one.tables.Marks[m].Area, fine.Marks[m].Area, spacing)
		}
	}
	t.Logf("%d rows, %d zones, %.0f ac: classes off by %.1e of the field from lines of %v m, amounts by %.1e", len(log.Rows), len(f.Prescription.Zones),
		float64(f.Prescription.Area()), worst, spacing, (p.InField+p.OutField)/p.Laid-1)
}

// wobbly cuts a rectangle into zones whose corners lie somewhat beside a grid's.
func wobbly(across, along int, wide, long float64) (zones []orb.Polygon, rates []float64) {
	random := rand.New(rand.NewPCG(15, 3))
	corners := make([][]orb.Point, across+1)
	for i := range corners {
		for k := range along + 1 {
			c := orb.Point{wide * float64(i) / float64(across), long * float64(k) / float64(along)}
			if i > 0 && i < across && k > 0 && k < along {
				c[0], c[1] = c[0]+20*(random.Float64()-0.5), c[1]+20*(random.Float64()-0.5)
			}
			corners[i] = append(corners[i], c)
		}
	}
	for i := range across {
		for k := range along {
			zones = append(zones, ring(corners[i][k], corners[i+1][k], corners[i+1][k+1], corners[i][k+1]))
			rates = append(rates, 200)
		}
	}
	return zones, rates
}

// swaying drives north and south with 3 cm of noise; its rate of dry sways around 200 lb/ac.
func swaying(t *testing.T, passes, rows int, swath, apart, step float64) *track.Log {
	t.Helper()
	const pounds = 453.59237 / 4046.8564224 // grams on a square meter
	random := rand.New(rand.NewPCG(15, 4))
	log := &track.Log{Name: "log", Amount: track.Mass, Width: swath, Machines: []string{""}}
	places := make([]orb.Point, 0, passes*rows)
	for i := range passes {
		for k := range rows {
			y := step * float64(k)
			if i%2 == 1 {
				y = step*float64(rows-1) - y
			}
			places = append(places, orb.Point{apart*(float64(i)+0.5) + 0.03*random.NormFloat64(), y + 0.03*random.NormFloat64()})
			r := track.NewRow(orb.Point{}, int32(len(log.Rows)))
			r.Time = float64(i)*(0.4*float64(rows)+40) + 0.4*float64(k)
			r.Rate = pounds * (200*(1+0.3*math.Sin(y/90+0.4*float64(i))) + 6*random.NormFloat64())
			if k == 0 {
				r.Open = 0
			}
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
