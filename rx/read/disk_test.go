package read

import (
	"errors"
	"os"
	"strings"
	"testing"
	"time"

	"rxsplit/geo/invent"
)

// touched opens a file while somebody writes to it all the time, again if nobody
// came to write in the short while.
func touched(path string) (err error) {
	done, stopped := make(chan struct{}), make(chan struct{})
	go func() {
		defer close(stopped)
		for at := time.Now(); ; at = at.Add(time.Second) {
			select {
			case <-done:
				return
			default:
				os.Chtimes(path, at, at)
			}
		}
	}()
	for range 500 {
		if _, err = Open(path, FileOptions{}); err != nil {
			break
		}
	}
	close(done)
	<-stopped
	return err
}

// A file of any format that changes while it is read is refused.
func TestInputThatChangesIsRefused(t *testing.T) {
	l, err := invent.Grid(invent.GridOptions{Cells: 1000, Seed: 5})
	if err != nil {
		t.Fatal(err)
	}
	many := make([]string, 1000)
	for i := range many {
		many[i] = "200"
	}
	for _, path := range []string{parts(t, l), write(t, "field.geojson", []byte(field(rates("R", many...)...)))} {
		var e *Error
		if err := touched(path); !errors.As(err, &e) || e.What != "changed while it was read" || e.Hint == "" {
			t.Errorf("%s: got %v", path, err)
		}
	}
	var e *Error
	if _, err := readSize(strings.NewReader("eleven byte"), "field.dbf", 12); !errors.As(err, &e) || err.Error() != "field.dbf: got shorter while it was read" || e.Hint == "" {
		t.Errorf("got %v", err)
	}
}

// A file that grows or that is set back in time has changed as well.
func TestWhatCountsAsChanged(t *testing.T) {
	for name, change := range map[string]func(path string, at time.Time) error{
		"longer, of the same time": func(path string, at time.Time) error {
			return errors.Join(os.WriteFile(path, []byte("more than before"), 0o666), os.Chtimes(path, at, at))
		},
		"of an earlier time": func(path string, at time.Time) error {
			return os.Chtimes(path, at, at.Add(-time.Hour))
		},
	} {
		path := write(t, "field.shp", []byte("before"))
		file, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		defer file.Close()
		before, err := file.Stat()
		if err != nil {
			t.Fatal(err)
		}
		if err := change(path, before.ModTime()); err != nil {
			t.Fatal(err)
		}
		if unchanged(file, before) == nil {
			t.Errorf("%s: not seen", name)
		}
	}
}
