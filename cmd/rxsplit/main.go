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

func main() {
	collect(smallGarbage)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// collect sets how much garbage may pile up, unless the environment says it.
func collect(percent int) {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(percent)
	}
}
