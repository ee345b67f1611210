package main

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"rxsplit/cmd/internal/app"
	"rxsplit/cmd/internal/report"
)

// results is how what was worked out of a plan is told, and where it is kept.
type results struct {
	out    string
	asJSON bool
}

func (r *results) flags(cmd *cobra.Command, files string) {
	cmd.Flags().StringVar(&r.out, "out", "", "also write "+files+" into this new folder")
	cmd.Flags().BoolVar(&r.asJSON, "json", false, "print one JSON document")
}

// told is what is told of results: how they are written, and both forms of print.
type told[T any] struct {
	write           func(ctx context.Context, dir string, got T) error
	words, document func(io.Writer, T) error
}

// tell writes results where that is asked for, and prints them; flagged says how the command
// ends then.
func (t told[T]) tell(ctx context.Context, u *ui, r results, got T, flagged bool) error {
	if r.out != "" {
		if err := t.write(ctx, r.out, got); err != nil {
			return err
		}
	}
	u.end()
	print := t.words
	if r.asJSON {
		print = t.document
	}
	if err := print(u.out, got); err != nil {
		return err
	}
	if r.out != "" {
		u.note("wrote %s; to prove it again: rxsplit verify %s", r.out, report.Word(r.out))
	}
	if flagged {
		return errFlagged
	}
	return nil
}

// writeTemplate writes a file to be filled in to where the last argument says, or to
// standard output.
func writeTemplate(u *ui, args []string, text, name string) error {
	if len(args) == 0 || args[0] == "-" {
		_, err := io.WriteString(u.out, text)
		return err
	}
	if err := app.WriteNew(args[0], text, name); err != nil {
		return err
	}
	u.note("wrote %s: fill it in from what you have in hand", args[0])
	return nil
}
