package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"rxsplit/cmd/internal/app"
	"rxsplit/label/strictyaml"
)

// The exit statuses.
const (
	exitClean   = 0 // every treated acre is on label and nothing is a warning, or the plan is written and verified
	exitFlagged = 1 // something is flagged
	exitFailed  = 2 // it could not be done
)

// errFlagged ends a command that did its work and found something.
var errFlagged = errors.New("flagged")

const exitHelp = `
Exit status:
  0  every treated acre is on label and nothing is a warning,
     or the plan is written and verified
  1  something is flagged: below, above, tight, no rate, a warning
  2  it could not be done
`

// run is the program.
func run(args []string, in io.Reader, out, errs io.Writer) int {
	u := &ui{in: in, out: sink{out}, err: errs, words: wordsOf(args)}
	if len(args) == 0 && clicked() {
		if double(u) != nil {
			return exitFailed
		}
		return exitClean
	}
	root := newRoot(u)
	root.SetArgs(args)
	err := root.ExecuteContext(context.Background())
	u.end()
	switch {
	case err == nil:
		return exitClean
	case errors.Is(err, errFlagged):
		return exitFlagged
	}
	u.fail(err)
	return exitFailed
}

// wordsOf lists the words of a command line that may be names, with those that a flag
// holds after its equals sign.
func wordsOf(args []string) []string {
	words := slices.Clone(args)
	for _, a := range args {
		if _, value, ok := strings.Cut(a, "="); ok {
			words = append(words, value)
		}
	}
	return words
}

// newRoot lists the commands.
func newRoot(u *ui) *cobra.Command {
	root := &cobra.Command{
		Use:   "rxsplit",
		Short: "Check a dry prescription against a stabilizer's label, and split it",
		Long: `rxsplit reads a variable-rate dry prescription (shapefile or GeoJSON), says
which zones leave the label of a stabilizer that is impregnated on the dry, says
which ways to release it exist, and writes and proves the layers of one of them.

The label in hand, the safety data sheet and local rules come before anything
that this program prints.`,
		Version:       app.Version,
		SilenceErrors: true,
		SilenceUsage:  true,

		PersistentPreRunE: noneEmpty,
	}
	root.SetIn(u.in)
	root.SetOut(u.out)
	root.SetErr(u.err)
	root.SetFlagErrorFunc(func(cmd *cobra.Command, err error) error {
		var invalid *pflag.InvalidValueError
		if errors.As(err, &invalid) {
			return misused(cmd, invalidValue(invalid))
		}
		return misused(cmd, err.Error()+meant(cmd, err.Error()))
	})
	root.AddCommand(
		newDemo(u),
		newInspect(u),
		newCheck(u),
		newDay(u),
		newSplit(u),
		newVerify(u),
		newApprove(u),
		newPasses(u),
		newApplied(u),
		newRecord(u),
		newReadout(u),
		newServe(u),
		newLabel(u),
		newJob(u),
	)
	group(root)
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages", ".FlagUsagesWrapped 80"))
	for _, cmd := range root.Commands() {
		if cmd.HasSubCommands() && cmd.RunE == nil {
			group(cmd)
		}
		cmd.SetUsageTemplate(cmd.UsageTemplate() + exitHelp)
	}
	return root
}

// invalidValue says of a flag's value what a job file says of it.
func invalidValue(err *pflag.InvalidValueError) string {
	want := map[string]string{"int": "a whole number", "int64": "a whole number", "bool": "true or false", "duration": "a time, such as 30m"}[err.GetFlag().Value.Type()]
	switch {
	case errors.Is(err, strconv.ErrRange):
		want = "a number that can be counted to"
	case want == "":
		return fmt.Sprintf("--%s: %v", err.GetFlag().Name, err.Unwrap())
	}
	return fmt.Sprintf("--%s: %q is not %s", err.GetFlag().Name, err.GetValue(), want)
}

// meant suggests a flag where the one that is named is not known.
func meant(cmd *cobra.Command, what string) string {
	word, unknown := strings.CutPrefix(what, "unknown flag: --")
	var names []string
	cmd.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
	if best := strictyaml.Nearest(names, word); unknown && best != "" {
		return ": did you mean --" + best + "?"
	}
	return ""
}

// group makes a command that only groups others print its help where nothing is
// asked of it, and refuse what it does not know.
func group(cmd *cobra.Command) {
	cmd.Args = cobra.ArbitraryArgs
	cmd.RunE = func(cmd *cobra.Command, args []string) error {
		if len(args) == 0 {
			return cmd.Help()
		}
		return misused(cmd, fmt.Sprintf("%s has no command %q", cmd.CommandPath(), args[0]))
	}
}

// misused says what is wrong with the words of a command.
func misused(cmd *cobra.Command, what string) error {
	return &app.Error{What: what, Hint: "see: " + cmd.CommandPath() + " --help"}
}

// takes wants so many arguments, from least to most of them, named by what.
func takes(least, most int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		if len(args) < least || len(args) > most {
			return misused(cmd, "wants "+what+", got "+quoteArgs(args))
		}
		return nil
	}
}

// noneEmpty refuses an argument or a flag without a value, as a name that a script didn't fill
// in leaves it: keep-outs, say, must not be forgotten so.
func noneEmpty(cmd *cobra.Command, args []string) (err error) {
	if slices.Contains(args, "") {
		return misused(cmd, "one of the names is empty")
	}
	cmd.Flags().Visit(func(f *pflag.Flag) {
		list, several := f.Value.(pflag.SliceValue)
		if err == nil && (f.Value.String() == "" || several && slices.Contains(list.GetSlice(), "")) {
			err = misused(cmd, "--"+f.Name+" is empty: leave it out, or give it a value")
		}
	})
	return err
}

// many is more arguments than anybody gives.
const many = math.MaxInt

func quoteArgs(args []string) string {
	if len(args) == 0 {
		return "nothing"
	}
	return strings.Join(args, " ")
}

// addFlags gives a command the flags of those options that it takes.
func addFlags(cmd *cobra.Command, takes func(app.Option) bool) {
	f := cmd.Flags()
	for _, o := range app.Options() {
		if !takes(o) {
			continue
		}
		switch o.Kind {
		case app.List:
			f.StringArray(o.Name, nil, o.Help)
		case app.Switch:
			f.Bool(o.Name, false, o.Help)
		case app.Number:
			n, _ := strconv.ParseInt(o.Default, 10, 64) // a default is a number
			f.Int64(o.Name, n, o.Help)
		default:
			f.String(o.Name, "", o.Help)
		}
	}
}

// showUnits gives a command the flag for the units to show alone.
func showUnits(cmd *cobra.Command, otherwise string) {
	cmd.Flags().String("units", "", "units to show: us or metric (default "+otherwise+")")
}

// valuesOf returns the options that a command line gives.
func valuesOf(cmd *cobra.Command) app.Values {
	v := app.Values{}
	for _, o := range app.Options() {
		flag := cmd.Flags().Lookup(o.Name)
		if flag == nil || !flag.Changed {
			continue
		}
		v[o.Name] = []string{flag.Value.String()}
		if list, ok := flag.Value.(interface{ GetSlice() []string }); ok {
			v[o.Name] = list.GetSlice()
		}
	}
	return v
}
