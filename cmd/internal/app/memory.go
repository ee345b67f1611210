package app

import (
	"os"
	"runtime/debug"
)

// How much of what is in use may pile up as garbage, in percent: much while little
// is in use, so that small files are quick; little once a large file is read, so
// that a million cells stay under 700 MB.
const (
	smallGarbage = 400
	largeGarbage = 60
	largeFile    = 50_000 // records
)

// A file of up to limitedPoints, such as a million cells, keeps far less than mostMemory
// in use: garbage is collected in time not to pass it. With more points that would be
// collecting all the time.
const (
	limitedPoints = 8_000_000
	mostMemory    = 600 << 20 // bytes
)

// TuneMemory has the whole process collect garbage as suits small files. A program
// calls it once, first; what it reads later tunes the process further.
func TuneMemory() { collect(smallGarbage) }

// tune bounds the garbage for a file of so many records and points.
func tune(records, points int) {
	if records <= largeFile {
		return
	}
	collect(largeGarbage)
	if points <= limitedPoints && os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(mostMemory)
	}
}

// collect sets how much garbage may pile up, unless the environment says it.
func collect(percent int) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(percent)
	}
}
