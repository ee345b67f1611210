package main

import (
	"bytes"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
)

// Every option is a flag, with its help; what is given comes back as texts by name, and
// as a command to be typed again.
func TestOptionsAreFlags(t *testing.T) {
	cmd := &cobra.Command{}
	addFlags(cmd, func(app.Option) bool { return true })
	for _, o := range app.Options() {
		if flag := cmd.Flags().Lookup(o.Name); flag == nil || flag.Usage != o.Help || strings.TrimSpace(o.Help) == "" {
			t.Errorf("--%s: got %+v", o.Name, flag)
		}
	}
	if got := valuesOf(cmd); len(got) > 0 {
		t.Errorf("got %v of no flags", got)
	}
	if err := cmd.ParseFlags([]string{"--zip-bytes", "1000", "--analysis", "46-0-0", "--analysis", "0-0-60", "--leave-off", "--label", "a b.yaml"}); err != nil {
		t.Fatal(err)
	}
	const want = "field.zip --label 'a b.yaml' --analysis 46-0-0 --analysis 0-0-60 --leave-off --zip-bytes 1000"
	if got := app.Command("field.zip", valuesOf(cmd)); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}

// No help is wider than a terminal of 80 columns.
func TestHelpFits(t *testing.T) {
	var walk func(cmd *cobra.Command)
	walk = func(cmd *cobra.Command) {
		var out bytes.Buffer
		words := append(strings.Fields(cmd.CommandPath())[1:], "--help")
		if status := run(words, nil, &out, &out); status != 0 || out.Len() == 0 {
			t.Errorf("%s: status %d, %d bytes", words, status, out.Len())
		}
		for line := range strings.Lines(out.String()) {
			if n := utf8.RuneCountInString(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("%s: %d columns: %s", words, n, line)
			}
		}
		for _, sub := range cmd.Commands() {
			walk(sub)
		}
	}
	walk(newRoot(&ui{}))
}
