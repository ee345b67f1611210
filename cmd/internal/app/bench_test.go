//go:build unix

package app_test

import (
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"rxsplit/cmd/internal/app"
)

// BenchmarkWarm checks the demo's 63 zones, and writes and proves their plan, as a process
// does that has done so before: with the demo's job, and as GeoJSON with a label alone. It
// tells seconds of processors, which a busy machine does not change.
func BenchmarkWarm(b *testing.B) {
	app.TuneMemory() // as main does
	field, job := demo(b, app.Values{})
	dir := b.TempDir()
	split := func(field string, q *app.Request, plan string) error {
		_, _, err := (app.Run{}).Split(b.Context(), field, q, app.Target{Dir: filepath.Join(dir, plan), Force: true})
		return err
	}
	if err := split(field, job, "first"); err != nil {
		b.Fatal(err)
	}
	label, err := app.Resolve(app.Values{"label": {"../../../label/demo.yaml"}, "rate-field": {"DRY_LBAC"}, "rate-unit": {"lb/ac"}})
	if err != nil {
		b.Fatal(err)
	}
	small := filepath.Join(dir, "first", "dry.geojson")
	for name, work := range map[string]func() error{
		"check/job":   func() error { _, err := (app.Run{}).Check(b.Context(), field, job); return err },
		"check/label": func() error { _, err := (app.Run{}).Check(b.Context(), small, label); return err },
		"split/job":   func() error { return split(field, job, "job") },
		"split/label": func() error { return split(small, label, "label") },
	} {
		b.Run(name, func(b *testing.B) {
			var before, after syscall.Rusage
			syscall.Getrusage(syscall.RUSAGE_SELF, &before)
			for b.Loop() {
				if err := work(); err != nil {
					b.Fatal(err)
				}
			}
			syscall.Getrusage(syscall.RUSAGE_SELF, &after)
			spent := after.Utime.Nano() + after.Stime.Nano() - before.Utime.Nano() - before.Stime.Nano()
			b.ReportMetric(float64(spent)/float64(b.N)/float64(time.Millisecond), "cpu-ms/op")
		})
	}
}
