// Command rxsplit checks a variable-rate dry prescription against the label of a
// liquid that is impregnated on the dry, and splits it into layers that put every
// treated acre on label.
package main

import (
	"os"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
)

func main() {
	cobra.MousetrapHelpText = "" // a double click is for us: see double
	app.TuneMemory()
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
