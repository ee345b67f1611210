package main

import (
	"bytes"
	"strings"
	"testing"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// A value that a flag can't be is refused in the user's words, of every flag of every command
// whose values are not texts.
func TestBadValuesOfFlagsAreTold(t *testing.T) {
	tried := 0
	var walk func(cmd *cobra.Command, words []string)
	walk = func(cmd *cobra.Command, words []string) {
		cmd.Flags().VisitAll(func(f *pflag.Flag) {
			if f.Value.Type() == "string" || f.Value.Type() == "stringArray" {
				return
			}
			tried++
			var out, errs bytes.Buffer
			status := run(append(words[:len(words):len(words)], "--"+f.Name+"=odd"), strings.NewReader(""), &out, &errs)
			if said := errs.String(); status != exitFailed || !strings.Contains(said, "--"+f.Name+`: "odd" is not `) || strings.Contains(said, "pars") {
				t.Errorf("%v --%s: exit %d, %s", words, f.Name, status, said)
			}
		})
		for _, sub := range cmd.Commands() {
			walk(sub, append(words[:len(words):len(words)], sub.Name()))
		}
	}
	walk(newRoot(&ui{}), nil)
	if tried < 20 {
		t.Errorf("%d flags were tried", tried)
	}
	var out, errs bytes.Buffer
	run([]string{"split", "--strips", "99999999999999999999"}, strings.NewReader(""), &out, &errs)
	if said := errs.String(); !strings.Contains(said, `--strips: "99999999999999999999" is not a number that can be counted to`) {
		t.Error(said)
	}
}
