package write

import (
	"errors"
	"io"
	"io/fs"
	"os"

	"golang.org/x/sys/unix"
)

// canExchange says that two folders can change places in one step.
const canExchange = true

// renameNew gives a folder a name that nothing has; the error is [fs.ErrExist] if
// something has it.
func renameNew(from, to string) error {
	err := unix.Renameat2(unix.AT_FDCWD, from, unix.AT_FDCWD, to, unix.RENAME_NOREPLACE)
	if errors.Is(err, unix.EINVAL) || errors.Is(err, unix.ENOSYS) { // a file system that can't tell
		if _, statErr := os.Lstat(to); statErr == nil {
			return fs.ErrExist
		}
		return os.Rename(from, to)
	}
	return err
}

// exchange makes two folders change places.
func exchange(a, b string) error {
	return unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
}

// lockDir takes the lock of a staging folder, which lasts as long as the file is
// open; the error is that of a lock that somebody holds.
func lockDir(path string) (io.Closer, error) {
	dir, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	if err := unix.Flock(int(dir.Fd()), unix.LOCK_EX|unix.LOCK_NB); err != nil {
		dir.Close()
		return nil, err
	}
	return dir, nil
}

// isInvalid reports the error of a file system that does not sync folders.
func isInvalid(err error) bool { return errors.Is(err, unix.EINVAL) }
