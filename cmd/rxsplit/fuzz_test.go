package main

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/app"
	"rxsplit/rx/equip"
)

// The forms of a prescription that FuzzCheck is given.
const (
	asGeoJSON = iota
	asArchive
	asSealedArchive // its checksums are put right, so that damage reaches the decoders
	forms
)

// FuzzCheck checks one file with a label and a job, as the command does. Whatever
// they hold, the exit status is one of three; a failure has nothing on standard
// output, and names the file and a reason; a check is sound JSON whose acres add
// up.
func FuzzCheck(f *testing.F) {
	archive := stored(f, "small", smallParts(f, 32615))
	for _, job := range []string{smallJob, shortJob, "rate-field: N_LBAC\nrate-of: N\nanalysis: 46-0-0\nkeep-out: in.geojson\n"} {
		f.Add(smallGeoJSON(f), byte(asGeoJSON), []byte(shortLabel), []byte(job))
	}
	f.Add(archive, byte(asArchive), fullLabel(), []byte(shortJob))
	f.Add(archive, byte(asSealedArchive), fullLabel(), []byte(smallJob))
	f.Add(archive, byte(asSealedArchive), []byte(shortLabel), []byte("rate-field: [DRY_LBAC, N_LBAC]\ncarrier: DRY_LBAC\noverlap: max\nloading: 320 fl oz/ton\n"))
	f.Add(smallGeoJSON(f), byte(asGeoJSON), []byte(shortLabel), []byte("rate-field: [DRY\x05LBAC, N_LBAC]\ncarrier: DRY_LBAC\n")) // told with the names
	app.TuneMemory()                                                                                                              // as main does
	dir := f.TempDir()                                                                                                            // once a worker: each has its own
	f.Fuzz(func(t *testing.T, file []byte, form byte, label, job []byte) {
		if !staysIn(job) {
			t.Skip("the job names a file elsewhere")
		}
		path := filepath.Join(dir, "in.geojson")
		if form %= forms; form != asGeoJSON {
			path = filepath.Join(dir, "in.zip")
		}
		if form == asSealedArchive {
			file = resealed(file)
		}
		args := []string{"check", path, "--label", filepath.Join(dir, "label.yaml"), "--job", filepath.Join(dir, "job.yaml"), "--zip-bytes", "8000000"}
		for i, data := range [][]byte{file, label, job} {
			if err := os.WriteFile(args[1+2*i], data, 0o666); err != nil {
				t.Fatal(err)
			}
		}
		checkRun(t, args)
		os.Remove(path) // else a later job could name it as its keep-out
	})
}

// staysIn reports whether a job names no other file than those there are: a fuzzer
// may come upon a device.
func staysIn(job []byte) bool {
	j, err := equip.ParseJob("job", job)
	return err != nil || slices.Contains([]string{"", "in.geojson", "in.zip", "label.yaml", "job.yaml"}, j.KeepOut)
}

// checkRun runs the command for JSON, now and then for text as well, and holds what
// it prints against what it promises.
func checkRun(t *testing.T, args []string) {
	var out, errs, text bytes.Buffer
	status := run(append(args, "--json"), strings.NewReader(""), &out, &errs)
	if status != exitFailed && out.Len()%4 == 0 { // a sample of them
		if again := run(args, strings.NewReader(""), &text, &bytes.Buffer{}); again != status || text.Len() == 0 {
			t.Fatalf("exit %d with --json, %d and %q without", status, again, text.String())
		}
	}
	switch status {
	case exitFailed:
		checkFailure(t, out.String(), errs.String())
	case exitClean, exitFlagged:
		if errs.Len() > 0 {
			t.Fatalf("exit %d with the message %s", status, errs.String())
		}
		checkFigures(t, out.Bytes(), status)
	default:
		t.Fatalf("exit %d", status)
	}
}

// place is what a failure has to begin with: a file, or a flag of the job.
var place = regexp.MustCompile(`(?m)^rxsplit: error: (.*(in\.(geojson|zip)|label\.yaml|job\.yaml)|--[a-z-]+)\b.*: .`)

func checkFailure(t *testing.T, out, errs string) {
	t.Helper()
	if out != "" {
		t.Fatalf("a failure prints %q", out)
	}
	if why := badMessage(errs); why != "" {
		t.Fatalf("%s: %q", why, errs)
	}
	if !place.MatchString(errs) {
		t.Fatalf("the message names no file or no reason: %q", errs)
	}
	checkPrintable(t, errs)
}

// checkPrintable wants nothing of a file to reach a terminal as a command.
func checkPrintable(t *testing.T, text string) {
	t.Helper()
	for _, r := range text {
		if r < ' ' && r != '\n' && r != '\t' || r == 0x7f {
			t.Fatalf("the control character %q is printed: %q", r, text)
		}
	}
}

// checkFigures wants every number finite, a null only where there is no rate, and
// the acres of the verdicts to add up, within rounding.
func checkFigures(t *testing.T, text []byte, status int) {
	t.Helper()
	var doc checkDoc
	if err := json.Unmarshal(text, &doc); err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if bytes.Contains(text, []byte(`"area":null`)) {
		t.Fatalf("an area is no number: %s", text)
	}
	a := doc.Area
	var total, treated float64
	for _, z := range doc.Zones {
		total += z.Area
		switch z.Verdict {
		case "below", "within", "above":
			treated += z.Area
		}
		if hasRate := z.DryRate != nil && z.Stabilizer != nil; hasRate != (z.Verdict != "no-rate") {
			t.Fatalf("a zone with a rate or without: %+v", z)
		}
	}
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"below, within and above", a.Below + a.Within + a.Above, a.Treated},
		{"treated and not", a.Treated + a.NoDry + a.NoRate, a.Total},
		{"the zones", total, a.Total},
		{"the treated zones", treated, a.Treated},
	} {
		if !(math.Abs(c.got-c.want) <= 1e-9*a.Total) {
			t.Fatalf("%s: %v, want %v", c.what, c.got, c.want)
		}
	}
	if status == exitClean && a.Within != a.Treated {
		t.Fatalf("exit 0 with %+v", a)
	}
}
