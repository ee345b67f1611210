package main

import "github.com/inconshreveable/mousetrap"

// clicked reports whether the program was started by a double click.
func clicked() bool { return mousetrap.StartedByExplorer() }
