package write_test

import (
	"strings"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/write"
)

// The worked field: (ac, lb/ac) (40,100) (60,180) (45,250) (15,300) are 30 550 lb; a base
// of 100 lb/ac at 600 fl oz/ton takes 16 000 lb and 4800 fl oz.
func TestTotals(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.Base)
	totals := write.Totals(job.Prescription, job.Plan, unit.US)
	if len(totals) != 2 {
		t.Fatalf("%d layers", len(totals))
	}
	base, top := totals[0], totals[1]
	if !base.Treated || base.Loading == nil || *base.Loading != 600 || base.Zones != 4 || base.RateMin != 100 || base.RateMax != 100 {
		t.Errorf("base: %+v", base)
	}
	if top.Treated || top.Loading != nil || top.Zones != 3 || top.RateMin != 80 || top.RateMax != 200 {
		t.Errorf("top-up: %+v", top)
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"base acres", base.Area, 160}, {"base lb", *base.Mass, 16_000}, {"top-up acres", top.Area, 120}, {"top-up lb", *top.Mass, 14_550},
	} {
		if c.got < c.want*(1-1e-3) || c.got > c.want*(1+1e-3) {
			t.Errorf("%s: got %v, want %v", c.what, c.got, c.want)
		}
	}
	liquid := write.Totals(job.Prescription, planned(t, invent.FourZones(), rx.WetBoom).Plan, unit.Metric)[1]
	if v := *liquid.Volume; v < 141_953*0.999 || v > 141_953*1.001 { // 4800 fl oz, in mL
		t.Errorf("liquid: %v mL", v)
	}
	if liquid.Mass != nil || liquid.RateMin != liquid.RateMax {
		t.Errorf("liquid: %+v", liquid)
	}
}

// Whatever total in a manifest is not the plan's, it is found and the layer named.
func TestChangedTotalsAreFound(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.Loads)
	manifest := func() *write.Manifest {
		return &write.Manifest{Layers: write.Totals(job.Prescription, job.Plan, unit.US)}
	}
	if wrong := write.CompareTotals(manifest(), job.Prescription, job.Plan, unit.US); len(wrong) > 0 {
		t.Fatalf("the plan's own totals: %v", wrong)
	}
	for what, change := range map[string]func(*write.LayerTotals){
		"name":    func(l *write.LayerTotals) { l.Name += "x" },
		"product": func(l *write.LayerTotals) { l.Product = "liquid" },
		"treated": func(l *write.LayerTotals) { l.Treated = !l.Treated },
		"loading": func(l *write.LayerTotals) { *l.Loading += 0.1 },
		"none":    func(l *write.LayerTotals) { l.Loading = nil },
		"fields":  func(l *write.LayerTotals) { l.RateFields = nil },
		"zones":   func(l *write.LayerTotals) { l.Zones++ },
		"area":    func(l *write.LayerTotals) { l.Area += 0.01 },
		"mass":    func(l *write.LayerTotals) { *l.Mass += 1 },
		"volume":  func(l *write.LayerTotals) { l.Volume = l.Mass },
		"least":   func(l *write.LayerTotals) { l.RateMin-- },
		"most":    func(l *write.LayerTotals) { l.RateMax++ },
	} {
		m := manifest()
		change(&m.Layers[1])
		wrong := write.CompareTotals(m, job.Prescription, job.Plan, unit.US)
		if len(wrong) != 1 || wrong[0].File != write.ManifestName || !strings.Contains(wrong[0].What, "layer "+job.Plan.Layers[1].Name+" ") {
			t.Errorf("%s: got %v", what, wrong)
		}
	}
	m := manifest()
	m.Layers = m.Layers[1:]
	if wrong := write.CompareTotals(m, job.Prescription, job.Plan, unit.US); len(wrong) != 1 {
		t.Errorf("a layer less: got %v", wrong)
	}
}

// Acres that are not those of the polygons are found, and so is a hole that is missing.
func TestGroundIsMeasuredAgain(t *testing.T) {
	job := planned(t, invent.FourZones(), rx.WetBoom)
	dir := written(t, job)
	job.Plan.Layers[1].Area *= 1.00001
	err := write.Verify(dir, job.Prescription, job.Plan, unit.US)
	if err == nil || !strings.Contains(err.Error(), "liquid.shp: covers") || !strings.Contains(err.Error(), "liquid.geojson: covers") {
		t.Errorf("acres: got %v", err)
	}
	opt := read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"}
	terms := rxtest.Terms(rxtest.Label(t, ""))
	const hole = `,[[-89.999,40.001],[-89.999,40.002],[-89.998,40.002],[-89.998,40.001],[-89.999,40.001]]]}`
	shell := square(0, 0.004)
	whole := source(t, opt, [2]string{shell, `"RATE":150`}, [2]string{square(1, 0.004), `"RATE":200`})
	holed := source(t, opt, [2]string{strings.Replace(shell, "]]]}", "]]"+hole, 1), `"RATE":150`}, [2]string{square(1, 0.004), `"RATE":200`})
	for _, c := range []struct{ written, verified *rx.Prescription }{{whole, holed}, {holed, whole}} {
		job, other := jobOf(t, c.written, terms, rx.WetBoom), jobOf(t, c.verified, terms, rx.WetBoom)
		err := write.Verify(written(t, job), other.Prescription, other.Plan, unit.US)
		if err == nil || !strings.Contains(err.Error(), "dry.shp: zone 1: its polygon") || !strings.Contains(err.Error(), "dry.geojson: zone 1: its polygon") {
			t.Errorf("a hole more or less: got %v", err)
		}
	}
}
