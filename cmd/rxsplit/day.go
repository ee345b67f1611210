package main

import (
	"context"
	"io"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report/data"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label"
)

// newDay plans a plant's day over many fields.
func newDay(u *ui) *cobra.Command {
	var force bool
	var asked app.DayAsked
	var to results
	cmd := &cobra.Command{
		Use:   "day FILE...",
		Short: "Plan a day of many fields: who shares a loading, what to order",
		Long: `day takes the prescriptions of a day, files or folders of them, and says which
fields share a loading, which go another way, what to blend in which order, and
what to have at hand. All go by one job, unless a list gives a field one of its
own: fields of different blends never share a loading.

A field may share a loading that keeps all of it on label, with room for the
rate error. With prices the day is that of the least whole cost; without them
that of the fewest loadings, and the boom is kept for fields that no loading
serves, unless --boom-day says what it can do. Ways that ask the agronomist
first are not taken.

With --out each field's plan is written into a folder of its own, as split
writes it, at the loading of the day where the field shares one; beside them the
day as text, page and JSON, and a card for each run of the blender and each
truck. All is proved, and rxsplit verify proves it again.

One list in place of the files, as rxsplit day new writes it, says what differs
from field to field: customer, priority, rate field, keep-outs and more.

A file that fails does not stop the others; the exit status is 1 then.`,
		Args: takes(1, many, "a file or a folder"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if force && to.out == "" {
				return misused(cmd, "--force says nothing without --out")
			}
			d, err := workDay(cmd, u, args, asked)
			if err != nil {
				return err
			}
			write := func(ctx context.Context, dir string, d *app.Day) error { return u.run().WriteDay(ctx, dir, d, force) }
			words := func(w io.Writer, d *app.Day) error { return text.Day(w, d.Shown) }
			document := func(w io.Writer, d *app.Day) error { return data.Day(w, d.Shown) }
			return told[*app.Day]{write, words, document}.tell(cmd.Context(), u, to, d, !d.Shown.Clean())
		},
	}
	addFlags(cmd, func(o app.Option) bool { return !o.Splits })
	to.flags(cmd, "the day and all its plans")
	askedFlags(cmd.Flags(), &asked)
	cmd.Flags().Lookup("loading").Hidden = true // refused with a reason: a day chooses its own
	cmd.Flags().BoolVar(&force, "force", false, "replace a whole day that stands in that folder")
	u.timingsFlag(cmd)
	cmd.AddCommand(newDayList(u))
	return cmd
}

// askedFlags are those of what a day is to keep to.
func askedFlags(f *pflag.FlagSet, asked *app.DayAsked) {
	f.StringVar(&asked.Boom, "boom-day", "", "most that the wet boom does in the day, such as \"300 ac\" or \"8 h\"")
	f.StringVar(&asked.Blender, "blender-day", "", "hours that the blender has in the day, such as \"10 h\"; needs batch-time in the job")
	f.StringVar(&asked.Spreader, "spreader-day", "", "hours that the spreaders have in the day, all together, such as \"20 h\"")
	f.StringVar(&asked.Change, "change-over", "", "what a change of loading costs, such as \"60 $\" (default 0)")
	f.StringArrayVar(&asked.Packages, "package", nil, "a size that the stabilizer comes in, such as \"2.5 gal\"; repeatable")
	f.StringArrayVar(&asked.Left, "left", nil, "treated blend that is left over and used up first, as weighed, such as \"1.2 ton at 300 fl oz/ton for NAME made 2026-05-01\"; repeatable")
}

// workDay works out the day that a command asks for.
func workDay(cmd *cobra.Command, u *ui, paths []string, asked app.DayAsked) (*app.Day, error) {
	if cmd.Flags().Changed("loading") {
		return nil, misused(cmd, "chooses the loadings that the fields share: leave out --loading")
	}
	list, err := app.ListDay(paths)
	if err != nil {
		return nil, err
	}
	q, err := app.ResolveDay(valuesOf(cmd), list)
	if err != nil {
		return nil, err
	}
	asked.Today = label.Date(time.Now().Format(time.DateOnly))
	return u.run().Day(cmd.Context(), list, q, asked)
}

// newDayList lists the fields of a day, to be filled in.
func newDayList(u *ui) *cobra.Command {
	return &cobra.Command{
		Use:   "new [FILE...]",
		Short: "Write a list of a day's fields with comments, to be filled in",
		Long: `new writes a list of the prescriptions in files or folders to standard output,
with comments on what may be said of each; without files, an example. The files
are named as they are given: keep the list where they are seen so.`,
		RunE: func(_ *cobra.Command, args []string) error {
			list, err := app.NewDayList(args)
			if err == nil {
				_, err = io.WriteString(u.out, list)
			}
			return err
		},
	}
}
