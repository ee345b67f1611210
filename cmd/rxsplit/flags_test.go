package main

import (
	"regexp"
	"slices"
	"testing"

	"github.com/spf13/cobra"
)

// A command that is to be typed next has every flag that decides a result.
func TestDecidingFlagsAreTypedAgain(t *testing.T) {
	cmd := &cobra.Command{}
	new(options).flags(cmd)
	var flags []string
	for _, line := range regexp.MustCompile(`(?m)^ +--([a-z-]+)`).FindAllStringSubmatch(cmd.Flags().FlagUsages(), -1) {
		flags = append(flags, line[1])
	}
	known := deciding()
	slices.Sort(flags)
	slices.Sort(known)
	if !slices.Equal(flags, known) {
		t.Errorf("flags %v, typed again %v", flags, known)
	}
	if err := cmd.ParseFlags([]string{"--zip-bytes", "1000", "--analysis", "46-0-0", "--analysis", "0-0-60", "--leave-off"}); err != nil {
		t.Fatal(err)
	}
	const want = "field.zip --analysis 46-0-0 --analysis 0-0-60 --leave-off=true --zip-bytes 1000"
	if got := commandWords(cmd, "field.zip"); got != want {
		t.Errorf("got %s, want %s", got, want)
	}
}
