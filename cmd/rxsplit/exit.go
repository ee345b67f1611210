package main

import (
	"cmp"
	"errors"

	"rxsplit/geo"
	"rxsplit/geo/shapefile"
	"rxsplit/label/strictyaml"
	"rxsplit/rx/check"
	"rxsplit/rx/read"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// The exit statuses.
const (
	exitClean   = 0 // every treated acre is on label and nothing is a warning, or the plan is written and verified
	exitFlagged = 1 // something is flagged
	exitFailed  = 2 // it could not be done
)

// errFlagged ends a command that did its work and found something.
var errFlagged = errors.New("flagged")

// hinted is an error of the command line with what to do about it.
type hinted struct {
	what string
	hint string
}

func (h *hinted) Error() string { return h.what }

// exitCode maps what a command returned to the exit status.
func exitCode(err error) int {
	switch {
	case err == nil:
		return exitClean
	case errors.Is(err, errFlagged):
		return exitFlagged
	}
	return exitFailed
}

// hintDamaged is for files that can't be read and say no more about it.
const hintDamaged = "the file is damaged, or the program that wrote it erred: copy it again, or export it again where the prescription was made"

// hintOf returns what to do about an error; empty if nothing more can be said.
func hintOf(err error) string {
	var (
		ours   *hinted
		reads  *read.Error
		bad    *geo.BadFileError
		terms  *check.TermsError
		no     *split.Refusal
		writes *write.Error
		proof  *write.VerifyError
		yaml   strictyaml.Errors
		packed *shapefile.ArchiveError
		unsaid *outputError
	)
	switch {
	case errors.As(err, &ours):
		return ours.hint
	case errors.As(err, &unsaid):
		return "what was printed is cut short: make room, or print it elsewhere"
	case errors.As(err, &reads):
		return reads.Hint
	case errors.As(err, &bad):
		return cmp.Or(bad.Hint, hintDamaged)
	case errors.As(err, &packed):
		return cmp.Or(packed.Hint, "give the .zip as it came, with the .shp, .dbf and .prj of one shapefile in it")
	case errors.As(err, &terms):
		return terms.Hint
	case errors.As(err, &no):
		return no.Hint
	case errors.As(err, &writes):
		return writes.Hint
	case errors.As(err, &proof):
		return proofHint(proof)
	case errors.As(err, &yaml):
		return "correct the file, then look at it with: rxsplit label check, or rxsplit job check"
	}
	return ""
}

// proofHint says what to do about a plan that is not as it was written. A table that
// was opened and saved is told apart: nobody loads it, and the layers are held against the
// source all the same.
func proofHint(proof *write.VerifyError) string {
	const table = "zones.csv"
	for _, m := range proof.Mismatches {
		if m.File != table || m.What == write.Missing {
			return "do not work from this folder; write the plan again with: rxsplit split"
		}
	}
	return "all else is as written, each layer equal to what the source gives; a program that opened " + table + " and saved it may have done that: keep such a copy elsewhere, and write the plan again, into a new folder, with: rxsplit split"
}
