package app_test

import (
	"path/filepath"
	"testing"

	"rxsplit/cmd/internal/app"
)

// BenchmarkCheck checks the demo's 63 zones.
func BenchmarkCheck(b *testing.B) {
	field, q := demo(b, app.Values{})
	for b.Loop() {
		if _, err := (app.Run{}).Check(b.Context(), field, q); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkSplit writes and proves a plan of the demo's 63 zones.
func BenchmarkSplit(b *testing.B) {
	field, q := demo(b, app.Values{})
	plan := filepath.Join(b.TempDir(), "plan")
	for b.Loop() {
		if _, _, err := (app.Run{}).Split(b.Context(), field, q, app.Target{Dir: plan, Force: true}); err != nil {
			b.Fatal(err)
		}
	}
}
