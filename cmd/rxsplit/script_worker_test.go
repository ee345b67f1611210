package main

import (
	"bytes"
	"encoding/gob"
	"errors"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"rxsplit/cmd/internal/app"
)

// ownProcess is set by a script whose commands need processes of their own: the environment
// or standard input reaches them no other way.
const ownProcess = "OWN_PROCESS"

// workers run the commands of scripts, each many of them: to start the program and to touch
// its memory for the first time takes longer than most commands do.
type workers chan *worker

// worker is one process that runs commands.
type worker struct {
	cmd *exec.Cmd
	in  io.Closer
	*gob.Encoder
	*gob.Decoder
	err bytes.Buffer // what it says where it should say nothing
}

// order is one command and answer its result.
type (
	order struct {
		Dir  string
		Args []string
		Env  map[string]string
	}
	answer struct {
		Status   int
		Out, Err []byte
	}
)

// passedOn is what a worker takes over from a script's environment.
var passedOn = []string{keptLog, keptFile, keptFolder, keptWork, "TERM"}

// startWorkers starts as many workers as there are processors.
func startWorkers(t *testing.T) workers {
	all := make(workers, runtime.GOMAXPROCS(0))
	for range cap(all) {
		w := &worker{cmd: exec.Command("rxsplit-worker")}
		in, err1 := w.cmd.StdinPipe()
		out, err2 := w.cmd.StdoutPipe()
		w.cmd.Stderr = &w.err
		if err := errors.Join(err1, err2, w.cmd.Start()); err != nil {
			t.Fatal(err)
		}
		w.in, w.Encoder, w.Decoder = in, gob.NewEncoder(in), gob.NewDecoder(out)
		t.Cleanup(func() {
			w.in.Close()
			w.cmd.Wait()
		})
		all <- w
	}
	return all
}

// asWorker runs the commands that come by standard input, until that ends.
func asWorker() {
	app.TuneMemory()
	in, out := gob.NewDecoder(os.Stdin), gob.NewEncoder(os.Stdout)
	today := now
	for {
		var next order
		if err := in.Decode(&next); err != nil {
			return
		}
		for name, value := range next.Env {
			os.Setenv(name, value)
		}
		if err := os.Chdir(next.Dir); err != nil {
			panic(err)
		}
		var done answer
		var stdout, stderr bytes.Buffer
		done.Status = keptRun(next.Args, strings.NewReader(""), &stdout, &stderr)
		done.Out, done.Err = stdout.Bytes(), stderr.Bytes()
		now = today
		app.Settle()
		os.Chdir(os.TempDir()) // the script's folder is to be removed
		if err := out.Encode(done); err != nil {
			panic(err)
		}
	}
}

// run has a worker run the program for a script.
func (all workers) run(ts *testscript.TestScript, args []string) (status int, out, errs string) {
	next := order{Dir: ts.MkAbs("."), Args: args, Env: map[string]string{}}
	for _, name := range passedOn {
		next.Env[name] = ts.Getenv(name)
	}
	w := <-all
	defer func() { all <- w }()
	var got answer
	if err := errors.Join(w.Encode(next), w.Decode(&got)); err != nil {
		w.cmd.Wait()
		ts.Fatalf("rxsplit breaks off: %v\n%s", err, w.err.String())
	}
	return got.Status, string(got.Out), string(got.Err)
}
