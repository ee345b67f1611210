package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var updateReadme = flag.Bool("update-readme", false, "write the demo's output into the README")

// demoOutput is a command on the demo's files in the README, and what it prints.
var demoOutput = regexp.MustCompile("(?s)(<!-- demo -->\n```\n)(\\$ rxsplit ([^\n]*)\n)(.*?)(```\n<!-- end -->)")

// What the README shows is what the program prints.
func TestReadmeShowsRealOutput(t *testing.T) {
	path, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	if code := run([]string{"demo"}, nil, &out, &errs); code != exitClean {
		t.Fatalf("demo: exit %d: %s", code, errs.String())
	}
	shown := 0
	real := demoOutput.ReplaceAllStringFunc(string(readme), func(block string) string {
		part := demoOutput.FindStringSubmatch(block)
		out.Reset()
		errs.Reset()
		if code := run(strings.Fields(part[3]), nil, &out, &errs); code != exitFlagged {
			t.Errorf("%s: exit %d: %s", part[3], code, errs.String())
		}
		shown++
		return part[1] + part[2] + out.String() + part[5]
	})
	if shown != strings.Count(string(readme), "<!-- demo") {
		t.Errorf("%d outputs of the demo are understood, want %d", shown, strings.Count(string(readme), "<!-- demo"))
	}
	switch {
	case t.Failed() || real == string(readme):
	case !*updateReadme:
		t.Fatalf("README.md shows another output; run: go test ./cmd/rxsplit -run Readme -update-readme")
	default:
		if err := os.WriteFile(path, []byte(real), 0o666); err != nil {
			t.Fatal(err)
		}
	}
}
