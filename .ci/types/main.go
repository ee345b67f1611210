// Command types checks the types of the program, and of all that it imports, for the
// systems that are named: windows/amd64, for one. It reads sources and builds nothing,
// so that a file for another system that no longer fits costs seconds to find.
package main

import (
	"fmt"
	"os"
	"strings"

	"golang.org/x/tools/go/packages"
)

func main() {
	failed := false
	for _, system := range os.Args[1:] {
		name, arch, _ := strings.Cut(system, "/")
		roots, err := packages.Load(&packages.Config{
			Mode: packages.LoadAllSyntax,
			Dir:  "..",
			Env:  append(os.Environ(), "CGO_ENABLED=0", "GOOS="+name, "GOARCH="+arch),
		}, "./cmd/rxsplit")
		if err != nil {
			fmt.Fprintf(os.Stderr, "%s: %v\n", system, err)
			os.Exit(1)
		}
		if n := packages.PrintErrors(roots); n > 0 || len(roots) != 1 {
			fmt.Fprintf(os.Stderr, "%s: %d packages, %d errors\n", system, len(roots), n)
			failed = true
		}
	}
	if failed {
		os.Exit(1)
	}
}
