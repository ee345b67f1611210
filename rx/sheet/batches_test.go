package sheet_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// TestBatchesAddUp: on any blender sheet, what is printed for one batch times their
// count is what is printed for all, to the last digit shown; the materials make the
// dry; no batch is over the blender; the field does not run short by more than a step a
// batch; and the printed dose keeps every zone on label.
func TestBatchesAddUp(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		s := rapid.SampledFrom([]unit.System{unit.US, unit.Metric}).Draw(r, "units")
		low := rapid.Float64Range(60, 300).Draw(r, "low")
		grounds := []rxtest.Ground{
			{Acres: unit.Area(rapid.Float64Range(0.5, 500).Draw(r, "acres")), Rate: unit.DryRate(low)},
			{Acres: unit.Area(rapid.Float64Range(0.5, 500).Draw(r, "more acres")), Rate: unit.DryRate(low * rapid.Float64Range(1, 1.98).Draw(r, "ratio"))},
		}
		terms := units(rxtest.Terms(rxtest.Label(t, "density: 9 lb/gal\n")), s)
		job := &equip.Job{Blender: &equip.Blender{Batch: unit.Mass(rapid.IntRange(1000, 16000).Draw(r, "batch"))}, Blend: blendOf(r)}
		if rapid.Bool().Draw(r, "second") {
			terms.Further = rxtest.Further(unit.Loading(rapid.Float64Range(10, 200).Draw(r, "second loading")))
		}
		terms.Job = job
		sheets, plan := made(t, rxtest.Plain(grounds...), terms, rx.OneLoad)
		if len(sheets) != 3 {
			r.Fatalf("%d sheets", len(sheets))
		}
		addUp(r, s, sheets[0], plan, job)
	})
}

func addUp(r *rapid.T, s unit.System, sheet rx.Sheet, plan *rx.Plan, job *equip.Job) {
	var table rx.Table
	for _, part := range sheet.Sections {
		if part.Title == "Batches" {
			table = part.Tables[0]
		}
	}
	count := numberOf(r, fact(sheet, "Equal batches"))
	var materials, dry, dose float64
	for _, row := range table.Rows {
		each, total := numberOf(r, row[3]), numberOf(r, row[4])
		if strings.TrimSpace(row[1]) == "gal" || strings.TrimSpace(row[1]) == "L" {
			continue // rounded for reading; the line above is what is dosed
		}
		if math.Abs(each*count-total) > 1e-6*math.Max(1, total) {
			r.Fatalf("%s: %v batches of %s make %v, printed as %s", row[0], count, row[3], each*count, row[4])
		}
		switch row[0] {
		case "dry, all together":
			dry = each
		case "stabilizer":
			dose = each
		case "drying agent", "  for stabilizer", "  for another", "another":
		default:
			materials += each
		}
	}
	if dry == 0 {
		dry = materials // one material
	}
	if materials != dry {
		r.Fatalf("materials make %v, dry is %v", materials, dry)
	}
	if most := float64(job.Blender.Batch.In(s)); dry > most+1e-6 && dry > 1 {
		r.Fatalf("a batch of %v in a blender of %v", dry, most)
	}
	if whole := plan.Layers[0].Mass.In(s); math.Abs(dry*count-whole) > count {
		r.Fatalf("%v batches of %v for %v", count, dry, whole)
	}
	per := unit.FluidOuncePerTon
	ton := 2000.0
	if s == unit.Metric {
		per, ton = unit.MilliliterPerMetricTon, 1000
	}
	loading := unit.Loading(dose/(dry/ton)) * per
	for _, rate := range []unit.DryRate{plan.Layers[0].Dry.Min, plan.Layers[0].Dry.Max} {
		if got := unit.StabilizerRate(loading, rate); float64(got) < 20*(1-1e-9) || float64(got) > 40*(1+1e-9) {
			r.Fatalf("%v in %v puts %v on the ground", dose, dry, got)
		}
	}
}

func blendOf(r *rapid.T) equip.Blend {
	names := []string{"urea", "ammonium sulfate", "potash", "filler"}
	parts := rapid.SliceOfN(rapid.IntRange(1, 1000), 1, len(names)).Draw(r, "parts")
	sum := 0
	for _, p := range parts {
		sum += p
	}
	var b equip.Blend
	for i, p := range parts {
		b = append(b, equip.Material{Name: names[i], Share: unit.Ratio(p) / unit.Ratio(sum)})
	}
	return b
}

func numberOf(t interface{ Fatal(...any) }, text string) float64 {
	v, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", ""), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}
