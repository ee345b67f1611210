package read

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/iotest"
	"testing/synctest"
	"time"

	"rxsplit/geo/invent"
)

// touched opens a file while somebody writes to it all the time, again if nobody
// came to write in the short while: on one core that takes a thousand times or more.
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
	for range 100_000 {
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

// What digests a GeoJSON beside its reading ends with it, also where that fails: a bubble
// fails where one of its goroutines waits for ever.
func TestNoDigestIsLeftBehind(t *testing.T) {
	const good = `{"type":"FeatureCollection","features":[{"type":"Feature","properties":{"RATE":100},"geometry":{"type":"Polygon","coordinates":[[[0,0],[0.01,0],[0.01,0.01],[0,0]]]}}]}`
	disk := errors.New("the disk fails")
	for name, c := range map[string]struct {
		r    io.Reader
		want error // nil: any
		fine bool
	}{
		"whole":                 {strings.NewReader(good), nil, true},
		"cut short":             {strings.NewReader(good[:40]), nil, false},
		"fails behind its end":  {io.MultiReader(strings.NewReader(good+strings.Repeat(" ", 1<<22)), iotest.ErrReader(disk)), disk, false},
		"fails in its features": {io.MultiReader(strings.NewReader(good[:40]), iotest.ErrReader(disk)), disk, false},
	} {
		t.Run(name, func(t *testing.T) {
			synctest.Test(t, func(t *testing.T) {
				_, err := geoJSONFrom(c.r, "a.geojson", FileOptions{})
				if (err == nil) != c.fine || c.want != nil && !errors.Is(err, c.want) {
					t.Errorf("got %v", err)
				}
			})
		})
	}
}

// A file is digested alike on both sides of what is digested at once, however it comes in.
func TestDigestOfLargeAndSmall(t *testing.T) {
	for _, size := range []int{0, 1, digestedAtOnce - 1, digestedAtOnce, digestedAtOnce + 1, 3*digestedAtOnce + 7} {
		text := make([]byte, size)
		for i := range text {
			text[i] = byte(i * 7 >> 3)
		}
		for _, at := range []int{size, 32 << 10, 100_003} {
			h := newHash()
			for part := range slices.Chunk(slices.Clone(text), max(1, at)) {
				h.Write(part)
				clear(part) // the reader's buffer is used again
			}
			if sum, n := h.close(); sum != fmt.Sprintf("%x", sha256.Sum256(text)) || n != int64(size) {
				t.Errorf("%d bytes, %d at a time: %s of %d", size, at, sum, n)
			}
		}
	}
}

// A log is read to its end, or what its disk says is told: in its first bytes, and behind them.
func TestDiskFailsUnderALog(t *testing.T) {
	disk := errors.New("the disk fails")
	rows := "lon,lat\n" + strings.Repeat("-96.5,41.25\n", 1<<13) // more than is looked at first
	for _, c := range []struct {
		what string
		text string
		err  error // behind the text
		rows int
	}{
		{"whole", rows, io.EOF, 1 << 13},
		{"short and whole", rows[:20], io.EOF, 1},
		{"fails at once", "", disk, 0},
		{"fails in the first bytes", rows[:20], disk, 0},
		{"fails behind them", rows[:1<<16+12], disk, (1<<16 + 12 - 8) / 12},
	} {
		count := 0
		csv, err := openCSV(io.MultiReader(strings.NewReader(c.text), iotest.ErrReader(c.err)), "log.csv")
		if err == nil {
			err = csv.each("log.csv", func(i int, cells []string) {
				if count == c.rows {
					t.Fatalf("%s: goes on behind its end", c.what)
				}
				if i != count || len(cells) != 2 || cells[0] != "-96.5" || cells[1] != "41.25" {
					t.Errorf("%s: record %d is %d, %q", c.what, count, i, cells)
				}
				count++
			})
		}
		if c.err == io.EOF && err != nil || c.err == disk && !errors.Is(err, disk) || count < c.rows-1 {
			t.Errorf("%s: %v after %d rows, want %d", c.what, err, count, c.rows)
		}
	}
}
