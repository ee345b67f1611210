package read

import (
	"errors"
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// A file that takes more memory than the process may have is refused with both figures, and one that
// takes less is not.
func TestFileThatTakesTooMuch(t *testing.T) {
	var was unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_AS, &was); err != nil {
		t.Fatal(err)
	}
	limit := was
	limit.Cur = min(was.Cur, 1<<46) // far beyond what is in use
	if err := unix.Setrlimit(unix.RLIMIT_AS, &limit); err != nil {
		t.Fatal(err)
	}
	defer unix.Setrlimit(unix.RLIMIT_AS, &was)
	var e *Error
	if err := enough("a.shp", 1<<40, 1<<10); !errors.As(err, &e) || e.File != "a.shp" || !strings.HasPrefix(e.What, "takes some 1073741824 MB of memory to work on, and this program may have ") ||
		!strings.HasSuffix(e.What, " MB more here") || e.Hint != "raise the limit (ulimit -v, or that of the container), run it on a larger machine, or export the field in parts" {
		t.Errorf("%v, %+v", err, e)
	}
	if err := enough("a.shp", largeFile, 0.001); err != nil {
		t.Error(err)
	}
}
