package data

import (
	"io"
	"strings"
	"testing"

	"rxsplit/rx/write"
)

// A document that could not be made is an error, and nothing is printed of it.
func TestNothingIsPrintedOfAnError(t *testing.T) {
	var b strings.Builder
	if err := printed(&b)([]byte("{"), io.ErrNoProgress); err != io.ErrNoProgress || b.Len() > 0 {
		t.Errorf("%v: %q", err, b.String())
	}
	if err := printed(&b)([]byte("{}\n"), nil); err != nil || b.String() != "{}\n" {
		t.Errorf("%v: %q", err, b.String())
	}
}

// A manifest is printed as people read it: a line a member, and names as they are.
func TestManifestIsPrintedPlainly(t *testing.T) {
	var b strings.Builder
	if err := Manifest(&b, &write.Manifest{Way: "a & <b>"}); err != nil || !strings.Contains(b.String(), "\n \"way\": \"a & <b>\",\n") {
		t.Errorf("%v: %s", err, b.String())
	}
}
