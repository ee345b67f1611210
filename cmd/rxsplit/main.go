// Command rxsplit checks a variable-rate dry prescription against the label of a
// liquid that is impregnated on the dry, and splits it into layers that put every
// treated acre on label.
package main

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

func main() {
	collect(smallGarbage)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// limit bounds the memory for a file of so many points, unless the environment says it.
func limit(points int) {
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
