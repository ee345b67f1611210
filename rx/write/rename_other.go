//go:build !linux

package write

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// canExchange says that two folders can change places in one step.
const canExchange = false

// renameNew gives a folder a name that nothing has; the error is [fs.ErrExist] if
// something has it.
func renameNew(from, to string) error {
	if _, err := os.Lstat(to); err == nil {
		return fs.ErrExist
	}
	return os.Rename(from, to)
}

func exchange(string, string) error { return errors.ErrUnsupported }

// lockDir holds nothing here; staging folders of killed runs are not swept where
// they can't be told from those in use.
func lockDir(string) (io.Closer, error) { return io.NopCloser(nil), nil }

// isInvalid reports the error of a system that does not sync folders.
func isInvalid(error) bool { return true }
