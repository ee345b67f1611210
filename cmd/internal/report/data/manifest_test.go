package data

import (
	"strings"
	"testing"

	"rxsplit/rx/write"
)

// A manifest is printed as people read it: a line a member, and names as they are.
func TestManifestIsPrintedPlainly(t *testing.T) {
	var b strings.Builder
	if err := Manifest(&b, &write.Manifest{Way: "a & <b>"}); err != nil || !strings.Contains(b.String(), "\n \"way\": \"a & <b>\",\n") {
		t.Errorf("%v: %s", err, b.String())
	}
}
