package main

import (
	"flag"
	"os"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"rxsplit/cmd/internal/app"
	"rxsplit/label"
)

var update = flag.Bool("update", false, "write what the program prints into the scripts that compare it")

// TestMain lets the scripts run this program as a command of its own.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"rxsplit": asProgram, "rxsplit-main": main, "rxsplit-worker": asWorker})
}

// asProgram is main, but for the file that RXSPLIT_PEAK names: it is told the most
// memory that was in use, as Linux states it.
func asProgram() {
	app.TuneMemory()
	status := keptRun(os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	if path := os.Getenv("RXSPLIT_PEAK"); path != "" {
		if text, err := os.ReadFile("/proc/self/status"); err == nil {
			os.WriteFile(path, text, 0o666)
		}
	}
	os.Exit(status)
}

// TestScripts runs the program as its users do. Every script begins in an empty
// folder with the demo's label as label.yaml, and has these commands besides the
// usual ones:
//
//	exits N CMD ARGS...    runs a command that must exit with status N
//	runs ARGS...           runs rxsplit, whatever its status
//	helps                  prints the help of every command
//	harvest PLAN FILE GAIN writes the yield of a plan with strips on the demo's field
//	refused ARGS...        runs rxsplit, which must fail as a bad input asks for
//	tampered DIR           verifies a plan with one byte changed, file by file
//	layer KIND FILE OPT... writes an invented layer
//	archive FILE ENTRY...  writes a zip archive
//	damage FILE OP ARGS... changes bytes of a file
//	fits FILE              looks for lines that are too wide, and for escape codes
//	member FILE PATH WANT  compares one member of a JSON document
//	same FILE PATH OTHER.. compares one number of several JSON documents
//	sums FILE              adds up a check in JSON
//
// One process runs many commands; a script that sets [ownProcess] has one for each.
//
// FILE may be stdout or stderr where it is read. Whatever a command prints and writes is held
// against its digest as well: see [keepScripts].
func TestScripts(t *testing.T) {
	keep, all := keepScripts(t), startWorkers(t)
	testscript.Run(t, testscript.Params{
		Dir:                "../../testdata/script",
		UpdateScripts:      *update,
		RequireUniqueNames: true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("TERM", "xterm")
			env.Setenv("GORACE", "atexit_sleep_ms=0") // else the race detector waits a second after each command
			keep(env)
			env.Values["workers"] = all
			return os.WriteFile(env.WorkDir+"/label.yaml", label.DemoYAML(), 0o666)
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits":    exits,
			"runs":     runs,
			"helps":    helps,
			"harvest":  harvestOf,
			"refused":  refused,
			"tampered": tampered,
			"layer":    writeLayer,
			"archive":  writeArchive,
			"damage":   damage,
			"fits":     fits,
			"member":   member,
			"same":     same,
			"sums":     sums,
		},
	})
}
