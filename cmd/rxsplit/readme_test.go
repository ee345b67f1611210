package main

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

var updateReadme = flag.Bool("update-readme", false, "write the demo's output into the README")

// What the README shows is what the program prints.
func TestReadmeShowsRealOutput(t *testing.T) {
	const begin, end = "<!-- demo check -->\n```\n", "```\n<!-- end -->"
	path, err := filepath.Abs("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	readme, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	head, rest, ok := strings.Cut(string(readme), begin)
	shown, tail, ok2 := strings.Cut(rest, end)
	if !ok || !ok2 {
		t.Fatal("README.md has lost the marks around the demo's output")
	}
	command, _, _ := strings.Cut(shown, "\n")

	t.Chdir(t.TempDir())
	var out, errs bytes.Buffer
	if code := run([]string{"demo"}, nil, &out, &errs); code != exitClean {
		t.Fatalf("demo: exit %d: %s", code, errs.String())
	}
	out.Reset()
	args := strings.Fields(strings.TrimPrefix(command, "$ rxsplit "))
	if code := run(args, nil, &out, &errs); code != exitFlagged {
		t.Fatalf("%s: exit %d: %s", command, code, errs.String())
	}
	want := command + "\n" + out.String()
	if shown == want {
		return
	}
	if !*updateReadme {
		t.Fatalf("README.md shows another output; run: go test ./cmd/rxsplit -run Readme -update-readme")
	}
	if err := os.WriteFile(path, []byte(head+begin+want+end+tail), 0o666); err != nil {
		t.Fatal(err)
	}
}
