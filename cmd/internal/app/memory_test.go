package app

import (
	"math"
	"runtime"
	"runtime/debug"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/rx/read"
)

// fresh has the garbage of a test tuned as that of a program is that begins.
func fresh(t *testing.T) {
	t.Setenv("GOMEMLIMIT", "")
	t.Setenv("GOGC", "")
	before, percent := debug.SetMemoryLimit(-1), debug.SetGCPercent(100)
	t.Cleanup(func() { debug.SetMemoryLimit(before); debug.SetGCPercent(percent) })
	debug.SetMemoryLimit(math.MaxInt64)
	limits.mu.Lock()
	defer limits.mu.Unlock()
	limits.large, limits.garbage = false, 0
}

// fields are the widths of a table's fields; one below 16 counts as 16.
type fields []int

func (w fields) Fields() (list []geo.Field) {
	for _, width := range w {
		list = append(list, geo.Field{Width: width})
	}
	return list
}

func (fields) Cell(int, int) geo.Cell { return geo.Cell{} }

// garbage is how much may pile up now, in percent.
func garbage() int {
	percent := debug.SetGCPercent(100)
	debug.SetGCPercent(percent)
	return percent
}

// ofSmall reports whether so much garbage is allowed for small files; how much is in use may
// be looked at any time.
func ofSmall(percent int) bool { return percent == smallGarbage || percent == someGarbage }

// More garbage may pile up while little is in use, unless a file is large or the environment
// says how much.
func TestGarbageByWhatIsInUse(t *testing.T) {
	fresh(t)
	limits.mu.Lock()
	defer limits.mu.Unlock()
	for _, c := range []struct {
		live int64
		want int
	}{{littleInUse, smallGarbage}, {littleInUse + 1, someGarbage}, {1 << 20, smallGarbage}} {
		look(c.live, 2*c.live)
		if got := garbage(); got != c.want {
			t.Errorf("with %d bytes in use %d %% may pile up, want %d", c.live, got, c.want)
		}
	}
	limits.large = true
	t.Setenv("GOMEMLIMIT", "1GiB")
	debug.SetMemoryLimit(1 << 30)
	look(1<<30, 1<<30)
	if got := debug.SetMemoryLimit(-1); got != 1<<30 {
		t.Errorf("a bound of the environment's is made %d", got)
	}
	limits.large = false
	t.Setenv("GOGC", "77")
	look(littleInUse+1, 1<<30)
	if got := garbage(); got != smallGarbage {
		t.Errorf("what the environment says is passed over: %d %%", got)
	}
}

// Of 50,000 records on there is a bound, of bytes by points and records, more where coordinates
// are not lon/lat; of fewer there is none. What the environment says goes before.
func TestLargeFilesAreBound(t *testing.T) {
	fresh(t)
	layerOf := func(records int) *read.File {
		f := &read.File{Layer: &geo.Layer{Attributes: fields{3, 20}}}
		for range records {
			f.Layer.Shapes.Append(orb.MultiPolygon{{{{0, 0}, {1, 0}, {0, 1}, {0, 0}}}})
		}
		f.LonLat = &f.Layer.Shapes
		return f
	}
	TuneMemory()
	tune(layerOf(50_000))
	if got := debug.SetMemoryLimit(-1); got != math.MaxInt64 || !ofSmall(garbage()) {
		t.Errorf("50,000 records are bound by %d bytes, garbage %d %%", got, garbage())
	}
	f := layerOf(50_001)
	tune(f)
	if got := debug.SetMemoryLimit(-1); got != 160<<20 || garbage() != 60 {
		t.Errorf("50,001 records are bound by %d bytes, garbage %d %%", got, garbage())
	}
	Settle()
	f.Layer.Attributes = fields{3, 4000}
	tune(f)
	if got := debug.SetMemoryLimit(-1); got != 50_001*(4*62+30+16+4000) {
		t.Errorf("50,001 wide records are bound by %d bytes", got)
	}
	Settle()
	if !ofSmall(garbage()) {
		t.Errorf("then garbage is %d %%", garbage())
	}
	f.LonLat = &geo.Shapes{}
	tune(f)
	if got := debug.SetMemoryLimit(-1); got != 50_001*(4*(62+3)+30+16+4000) {
		t.Errorf("50,001 projected ones are bound by %d bytes", got)
	}
	Settle()
	tuneLog(50_001)
	if got := debug.SetMemoryLimit(-1); got != 600<<20 {
		t.Errorf("a log is bound by %d bytes", got)
	}
	Settle()
	t.Setenv("GOMEMLIMIT", "1GiB")
	t.Setenv("GOGC", "77")
	debug.SetGCPercent(77)
	tune(f)
	if got := debug.SetMemoryLimit(-1); got != math.MaxInt64 || garbage() != 77 {
		t.Errorf("what the environment says is passed over: %d bytes, garbage %d %%", got, garbage())
	}
}

// The bound that a large file was given is gone once it is settled: those of two that are
// read in turn don't add up.
func TestSettleLiftsTheBound(t *testing.T) {
	fresh(t)
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

// Where next to nothing is left of the bound, there is to be room for a quarter of what is in use;
// else the bound stays.
func TestRoomIsGiven(t *testing.T) {
	fresh(t)
	const live = 320 << 20
	for _, c := range []struct{ room, more int64 }{{live / 2, 0}, {live / 16, 0}, {live/16 - 1, live/4 - live/16 + 1}, {0, live / 4}, {-live / 8, live/4 + live/8}} {
		debug.SetMemoryLimit(1 << 30)
		giveRoom(live, live+c.room)
		if got := debug.SetMemoryLimit(-1) - 1<<30; got != c.more {
			t.Errorf("room for %d bytes: %d more are given, want %d", c.room, got, c.more)
		}
	}
}

// A bound below what turns out to be in use is raised by itself, and not once the file is settled.
func TestTightBoundIsRaised(t *testing.T) {
	fresh(t)
	const bound = 1 << 20 // less than the test itself has in use
	raised := func() bool {
		for range 50 { // what follows a collection runs beside this
			runtime.GC()
			if debug.SetMemoryLimit(-1) > bound {
				return true
			}
			runtime.Gosched()
		}
		return false
	}
	tuneTo(largeFile+1, bound)
	if !raised() {
		t.Error("the bound is as tight as ever")
	}
	if live, goal := heap(); live <= 0 || goal < live {
		t.Errorf("%d bytes in use, the next collection at %d", live, goal)
	}
	Settle()
	for range 5 {
		runtime.GC()
	}
	debug.SetMemoryLimit(bound)
	if raised() {
		t.Error("a bound that is none of a large file's is raised")
	}
}
