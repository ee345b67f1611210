package sheet_test

import (
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
)

// BenchmarkFor makes the sheets of a million zones.
func BenchmarkFor(b *testing.B) {
	grounds := make([]rxtest.Ground, 1_000_000)
	for i := range grounds {
		grounds[i] = rxtest.Ground{Acres: 0.01, Rate: unit.DryRate(100 + i%200)}
	}
	p := rxtest.Plain(grounds...)
	a := rxtest.Grade(b, p, termsOf(b, file(b, "label.yaml"), file(b, "job.yaml")))
	plan, err := split.For(p, a, nil).Plan(rx.Loads)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		sheet.For(p, a, plan)
	}
}
