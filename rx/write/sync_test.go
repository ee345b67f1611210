package write

import (
	"errors"
	"io/fs"
	"os"
	"testing"
)

// The disk takes a large file up while it is written, and what it says of that is kept to the end;
// so it does with the end of any file. A device that gives zeros takes what is written, and refuses
// to bring it to a disk (man 2 fsync: EINVAL).
func TestLargeFilesAreSynced(t *testing.T) {
	zero := func() *os.File {
		device, err := os.OpenFile("/dev/zero", os.O_RDWR, 0)
		if err != nil || device.Sync() == nil {
			t.Skip("no device here refuses it: ", err)
		}
		return device
	}
	large := newOutput(t.Context(), "dry.shp", zero())
	defer large.abandon()
	block := make([]byte, 1<<20)
	for range syncedAtOnce >> 20 {
		if _, err := large.Write(block); err != nil {
			t.Fatal(err)
		}
	}
	err := <-large.synced
	if err == nil {
		t.Errorf("%d bytes are written, and the disk was not asked to take them up", syncedAtOnce)
	}
	large.synced <- err
	if _, got := large.close(); got != err {
		t.Errorf("the disk said %v, at the end %v is told", err, got)
	}
	small := newOutput(t.Context(), "dry.prj", zero())
	if _, err := small.Write([]byte{0}); err != nil {
		t.Fatal(err)
	}
	if _, err := small.close(); !errors.As(err, new(*fs.PathError)) { // another is told of what reads back
		t.Errorf("a small file is closed without being brought to the disk: %v", err)
	}
}
