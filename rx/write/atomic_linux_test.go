package write

import (
	"bufio"
	"crypto/sha256"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// While two folders change places, the name of each is always there and whole.
func TestExchangeIsOneStep(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	for _, path := range []string{a, b} {
		if err := os.Mkdir(path, 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(path, ManifestName), nil, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	done := make(chan error)
	go func() {
		for range 3000 {
			if err := exchange(a, b); err != nil {
				done <- err
				return
			}
		}
		done <- nil
	}()
	for {
		select {
		case err := <-done:
			if err != nil {
				t.Fatal(err)
			}
			return
		default:
			if _, err := os.Stat(filepath.Join(a, ManifestName)); err != nil {
				<-done
				t.Fatalf("for a moment there was no plan: %v", err)
			}
		}
	}
}

// A new name is never taken from what has it, be it an empty folder, which a plain
// rename replaces.
func TestNewNameIsNotTaken(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	for _, path := range []string{a, b} {
		if err := os.Mkdir(path, 0o777); err != nil {
			t.Fatal(err)
		}
	}
	if err := renameNew(a, b); !errors.Is(err, fs.ErrExist) {
		t.Errorf("got %v", err)
	}
}

// What the disk has no room for is an error at the last moment as well.
func TestLastBytesOnAFullDisk(t *testing.T) {
	file, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skipf("skipped: no device is full here: %v", err)
	}
	o := &output{name: "dry.shp", file: file, sum: sha256.New(), buf: bufio.NewWriter(file)}
	if _, err := o.Write([]byte("a few bytes, still in the buffer")); err != nil {
		t.Fatal(err)
	}
	if _, err := o.close(); !errors.Is(err, syscall.ENOSPC) {
		t.Errorf("got %v, want that there is no room", err)
	}
}
