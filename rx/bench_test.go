package rx_test

import (
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/read"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// grid writes an invented grid as a shapefile and returns its path.
func grid(b *testing.B, cells int) string {
	b.Helper()
	l, err := invent.Grid(invent.GridOptions{Cells: cells, Seed: 7})
	if err != nil {
		b.Fatal(err)
	}
	return rxtest.Shapefile(b, l, "EPSG:4326")
}

var sizes = []int{10_000, 100_000, 1_000_000}

var options = read.Options{RateFields: []string{invent.RateField}, RateUnit: "lb/ac"}

func each(b *testing.B, run func(b *testing.B, path string)) {
	for _, n := range sizes {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			path := grid(b, n)
			b.ResetTimer()
			run(b, path)
		})
	}
}

// BenchmarkOpen reads and projects.
func BenchmarkOpen(b *testing.B) {
	each(b, func(b *testing.B, path string) {
		for b.Loop() {
			if _, err := read.Open(path, read.FileOptions{}); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkZones reads rates, checks rings, overlaps and gaps, and measures acres.
func BenchmarkZones(b *testing.B) {
	each(b, func(b *testing.B, path string) {
		file, err := read.Open(path, read.FileOptions{})
		if err != nil {
			b.Fatal(err)
		}
		for b.Loop() {
			if _, err := read.Prescription(file, options); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkGrade gives the verdicts and judges the ways.
func BenchmarkGrade(b *testing.B) {
	each(b, func(b *testing.B, path string) {
		p := rxtest.Open(b, path, options)
		terms := rxtest.Terms(rxtest.Label(b, ""))
		for b.Loop() {
			split.For(p, rxtest.Grade(b, p, terms), nil).Ways()
		}
	})
}

// BenchmarkWetBoom dissolves the liquid layer.
func BenchmarkWetBoom(b *testing.B) {
	each(b, func(b *testing.B, path string) {
		p := rxtest.Open(b, path, options)
		a := rxtest.Grade(b, p, rxtest.Terms(rxtest.Label(b, "")))
		for b.Loop() {
			if _, err := split.For(p, a, nil).Plan(rx.WetBoom); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// BenchmarkWrite writes both layers in both formats and proves them.
func BenchmarkWrite(b *testing.B) {
	each(b, func(b *testing.B, path string) {
		p := rxtest.Open(b, path, options)
		a := rxtest.Grade(b, p, rxtest.Terms(rxtest.Label(b, "")))
		plan, err := split.For(p, a, nil).Plan(rx.WetBoom)
		if err != nil {
			b.Fatal(err)
		}
		dir := b.TempDir()
		for b.Loop() {
			out := filepath.Join(dir, "plan")
			job := write.Job{Prescription: p, Plan: plan, Units: unit.US, Manifest: write.Manifest{
				Units: json.RawMessage("{}"), Parameters: json.RawMessage("{}"), Summary: json.RawMessage("{}"), Findings: json.RawMessage("[]"),
			}}
			if _, err := write.Plan(out, job); err != nil {
				b.Fatal(err)
			}
			b.StopTimer()
			if err := os.RemoveAll(out); err != nil {
				b.Fatal(err)
			}
			b.StartTimer()
		}
	})
}
