package app

import (
	"math"
	"os"
	"runtime/debug"
	"sync"

	"rxsplit/rx/read"
)

// How much of what is in use may pile up as garbage, in percent: much while little
// is in use, so that small files are quick; little once a large file is read.
const (
	smallGarbage = 400
	largeGarbage = 60
	largeFile    = 50_000 // records
)

// What the work on a large file keeps in use at most, with some room, in bytes. Garbage is
// collected in time not to pass it: memory that is touched first costs more than that.
// A million cells as a shapefile take 380 MB so, and 510 without; no limit that was tried
// below costs less than it saves.
const (
	perPoint     = 62
	perProjected = 16 // and as much again where its coordinates are not lon/lat
	perRecord    = 30
	perField     = 16 // of each record, or as wide as the field is
)

// TuneMemory has the whole process collect garbage as suits small files. A program
// calls it once, first; what it reads later tunes the process further.
func TuneMemory() { collect(smallGarbage) }

// perLog is what is allowed for a large log.
const perLog = 600 << 20

// tune bounds the garbage for a layer that was read.
func tune(file *read.File) {
	records, points := file.Layer.Shapes.Len(), len(file.Layer.Shapes.Points)
	record := perRecord
	for _, f := range file.Layer.Attributes.Fields() {
		record += max(perField, f.Width)
	}
	point := perPoint
	if file.LonLat != &file.Layer.Shapes {
		point += perProjected
	}
	tuneTo(records, int64(points*point+records*record))
}

// tuneLog bounds the garbage for a log that was read.
func tuneLog(rows int) { tuneTo(rows, perLog) }

func tuneTo(records int, bytes int64) {
	if records <= largeFile {
		return
	}
	collect(largeGarbage)
	if os.Getenv("GOMEMLIMIT") == "" {
		limits.add(bytes)
	}
}

// limits is of the whole process.
var limits memoryLimit

// memoryLimit grows with each large file, as others may be at work still.
type memoryLimit struct{ mu sync.Mutex }

func (l *memoryLimit) add(bytes int64) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if now := debug.SetMemoryLimit(-1); now < math.MaxInt64 {
		bytes += now
	}
	debug.SetMemoryLimit(bytes)
}

// collect sets how much garbage may pile up, unless the environment says it.
func collect(percent int) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(percent)
	}
}
