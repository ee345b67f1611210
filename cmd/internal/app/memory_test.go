package app

import (
	"math"
	"runtime/debug"
	"testing"
)

// The bound that a large file was given is gone once it is settled: those of two that are
// read in turn don't add up.
func TestSettleLiftsTheBound(t *testing.T) {
	t.Setenv("GOMEMLIMIT", "")
	before, percent := debug.SetMemoryLimit(-1), debug.SetGCPercent(100)
	t.Cleanup(func() { debug.SetMemoryLimit(before); debug.SetGCPercent(percent) })
	debug.SetMemoryLimit(math.MaxInt64)
	for range 2 {
		tuneTo(largeFile+1, 1<<33)
		if got := debug.SetMemoryLimit(-1); got != 1<<33 {
			t.Errorf("a large file is bound by %d bytes, want %d", got, 1<<33)
		}
		Settle()
		if got := debug.SetMemoryLimit(-1); got != math.MaxInt64 {
			t.Errorf("then %d are left", got)
		}
	}
	tuneTo(largeFile+1, 1<<33)
	tuneTo(largeFile+1, 1<<33)
	if got := debug.SetMemoryLimit(-1); got != 1<<34 {
		t.Errorf("two at once are bound by %d bytes, want %d", got, 1<<34)
	}
	Settle()
}
