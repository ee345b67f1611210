//go:build !windows

package main

import (
	"os"
	"path/filepath"
	"runtime"
)

// clicked reports whether the program was started by a double click: macOS opens a terminal
// for it then, in the home folder, with the program's whole path.
func clicked() bool {
	if runtime.GOOS != "darwin" || !filepath.IsAbs(os.Args[0]) {
		return false
	}
	home, err := os.UserHomeDir()
	if err != nil {
		return false
	}
	here, err := os.Getwd()
	return err == nil && here == home && isTerminal(os.Stdout)
}
