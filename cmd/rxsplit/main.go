// Command rxsplit checks a variable-rate dry prescription against the label of a
// liquid that is impregnated on the dry, and splits it into layers that put every
// treated acre on label.
package main

import (
	"os"
	"runtime/debug"
)

// garbage is how much of what is in use may pile up as garbage, in percent: a
// million cells then stay under 700 MB, for a tenth more work.
const garbage = 60

func main() {
	if os.Getenv("GOGC") == "" {
		debug.SetGCPercent(garbage)
	}
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
