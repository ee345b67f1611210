package rx_test

import (
	"encoding/json"
	"fmt"
	"log"
	"os"
	"path/filepath"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/read"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// The whole job: a file becomes a prescription, the prescription is held against
// a label, a way to release it is worked out, its sheets are made, and the plan is
// written and proved.
func Example() {
	dir, err := os.MkdirTemp("", "field")
	if err != nil {
		log.Fatal(err)
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "field.geojson")
	// Two invented zones, some 20 acres each.
	field := `{"type":"FeatureCollection","features":[
{"type":"Feature","properties":{"RATE":100},"geometry":{"type":"Polygon","coordinates":[[[-90.404,47.35],[-90.400,47.35],[-90.400,47.3525],[-90.404,47.3525],[-90.404,47.35]]]}},
{"type":"Feature","properties":{"RATE":250},"geometry":{"type":"Polygon","coordinates":[[[-90.400,47.35],[-90.396,47.35],[-90.396,47.3525],[-90.400,47.3525],[-90.400,47.35]]]}}]}`
	if err := os.WriteFile(path, []byte(field), 0o666); err != nil {
		log.Fatal(err)
	}

	file, err := read.Open(path, read.FileOptions{})
	if err != nil {
		log.Fatal(err)
	}
	prescription, err := read.Prescription(file, read.Options{RateFields: []string{"RATE"}, RateUnit: "lb/ac"})
	if err != nil {
		log.Fatal(err)
	}

	profile, err := label.Parse("demo-label.yaml", label.DemoYAML())
	if err != nil {
		log.Fatal(err)
	}
	terms := rx.Terms{Label: profile, Intended: 30 * unit.FluidOuncePerAcre}
	assessment, err := check.Grade(prescription, terms)
	if err != nil {
		log.Fatal(err)
	}
	for i, zone := range prescription.Zones {
		fmt.Printf("zone %d: %.1f ac at %v: %v\n", zone.Number(), float64(zone.Area), zone.Dry, assessment.Verdicts[i])
	}

	plan, err := split.For(prescription, assessment, nil).Plan(rx.WetBoom)
	if err != nil {
		log.Fatal(err)
	}
	sheets := sheet.For(prescription, assessment, plan)
	fmt.Printf("%d layers, %d sheets\n", len(plan.Layers), len(sheets))

	none := json.RawMessage("{}")
	_, err = write.Plan(filepath.Join(dir, "plan"), write.Job{
		Prescription: prescription, Plan: plan,
		Manifest: write.Manifest{Way: string(rx.WetBoom), Units: none, Parameters: none, Summary: none, Findings: none},
	})
	fmt.Println("written and proved:", err == nil)
	// Output:
	// zone 1: 20.8 ac at 100 lb/ac: below
	// zone 2: 20.8 ac at 250 lb/ac: above
	// 2 layers, 5 sheets
	// written and proved: true
}
