package app

import (
	"cmp"
	"errors"
	"os"
	"slices"
	"strings"

	"rxsplit/geo"
	"rxsplit/geo/shapefile"
	"rxsplit/geo/taskdata"
	"rxsplit/internal/each"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/check"
	"rxsplit/rx/ground"
	"rxsplit/rx/read"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// Error is what is wrong with a request, a line each where there is more than one thing,
// and what to do about it.
type Error struct {
	What  string
	Hint  string // may be empty
	Err   error  // what lies behind it, if anything
	spots []spot // the mistakes at keys and options
}

func (e *Error) Error() string { return e.What }

// Unwrap returns what lies behind the error.
func (e *Error) Unwrap() error { return e.Err }

// Failure is an error as a front end shows it.
type Failure struct {
	Text string // a line for each mistake
	Hint string // what to do next; may be empty
	At   []spot // mistakes at keys and options, beside which they can be told
}

// spot is a mistake at a key of a label profile or a job file, or at an option.
type spot struct{ Key, What string }

// Explain tells of an error its text, what to do about it, and where the mistakes lie.
func Explain(err error) Failure {
	var (
		ours   *Error
		reads  *read.Error
		bad    *geo.BadFileError
		terms  *check.TermsError
		no     *split.Refusal
		tasks  *split.TaskError
		set    *taskdata.FileError
		lands  *ground.Error
		writes *write.Error
		proof  *write.VerifyError
		yaml   strictyaml.Errors
		packed *shapefile.ArchiveError
	)
	f := Failure{Text: err.Error()}
	switch {
	case errors.As(err, &ours):
		f.Hint, f.At = ours.Hint, ours.spots
	case errors.As(err, &set): // also behind what tells the name of its archive
		f.Hint = cmp.Or(set.Hint, hintDamaged)
	case errors.As(err, &reads):
		f.Hint = reads.Hint
	case errors.As(err, &bad):
		f.Hint = cmp.Or(bad.Hint, hintDamaged)
	case errors.As(err, &packed):
		f.Hint = cmp.Or(packed.Hint, "give the .zip as it came, with the .shp, .dbf and .prj of one shapefile in it")
	case errors.As(err, &terms):
		f.Hint = terms.Hint
	case errors.As(err, &no):
		f.Hint = no.Hint
	case errors.As(err, &tasks):
		f.Hint = tasks.Hint
	case errors.As(err, &lands):
		f.Hint = lands.Hint
	case errors.As(err, &writes):
		f.Hint = writes.Hint
	case errors.As(err, &proof):
		f.Hint = proofHint(proof)
	case errors.As(err, &yaml):
		f.Hint, f.At = "correct the file, then look at it with: rxsplit label check, or rxsplit job check", spotsOf(yaml)
	}
	return f
}

// mistaken tells of mistakes in a text of its own kind what to do about them. Other errors
// stay as they are.
func mistaken(err error, hint string) error {
	var mistakes strictyaml.Errors
	if !errors.As(err, &mistakes) {
		return err
	}
	return &Error{What: err.Error(), Hint: hint, Err: err, spots: spotsOf(mistakes)}
}

func spotsOf(mistakes strictyaml.Errors) []spot {
	return each.Of(mistakes, func(e *strictyaml.Error) spot { return spot{e.Key, e.What} })
}

// hintDamaged is for files that can't be read and say no more about it.
const hintDamaged = "the file is damaged, or the program that wrote it erred: copy it again, or export it again where the prescription was made"

// proofHint says what to do about a plan that is not as it was written. A table that
// was opened and saved is told apart: nobody loads it, and the layers are held against the
// source all the same.
func proofHint(proof *write.VerifyError) string {
	const table = "zones.csv"
	if !slices.ContainsFunc(proof.Mismatches, func(m write.Mismatch) bool { return m.File != write.ApprovalName }) {
		return "the plan itself is whole: move " + write.ApprovalName + " elsewhere, then approve this plan with: rxsplit approve"
	}
	if isGround(proof.Dir) || isRecord(proof.Dir) || isReadout(proof.Dir) || isDay(proof.Dir) {
		return "the folder was changed since it was written, or what it was made from was: write it again, into a new folder"
	}
	for _, m := range proof.Mismatches {
		if m.File != table || m.What == write.Missing {
			return "do not work from this folder; write the plan again with: rxsplit split"
		}
	}
	return "all else is as written, each layer equal to what the source gives; a program that opened " + table + " and saved it may have done that: keep such a copy elsewhere, and write the plan again, into a new folder, with: rxsplit split"
}

// SystemSays is the reason in an error of the system, without the name of the file.
func SystemSays(err error) string {
	if os.IsNotExist(err) {
		return "no such file"
	}
	text := err.Error()
	if i := strings.LastIndex(text, ": "); i >= 0 {
		return text[i+2:]
	}
	return text
}
