package write

import (
	"bufio"
	"errors"
	"io"
	"strings"
	"testing"
	"testing/iotest"
)

// broken gives the start of a file, and then fails.
func broken(start string, err error) *bufio.Reader {
	return bufio.NewReader(io.MultiReader(strings.NewReader(start), iotest.ErrReader(err)))
}

// A disk that fails while the place of a difference is sought is told of; a file that ends
// there is not an error: its place is the file.
func TestDiskFailsWhereAPlaceIsSought(t *testing.T) {
	bad := errors.New("the disk fails")
	for name, find := range map[string]func(*bufio.Reader) (string, error){
		"shp":  func(r *bufio.Reader) (string, error) { return partOfShp(r, 200) },
		"dbf":  func(r *bufio.Reader) (string, error) { return partOfDBF(r, 200) },
		"line": func(r *bufio.Reader) (string, error) { return (&compared{}).line(r) },
	} {
		for _, start := range []string{"", strings.Repeat("\x00", 20), strings.Repeat("\x00", 104)} {
			if name != "shp" && len(start) > 32 {
				continue // the header is enough
			}
			if part, err := find(broken(start, bad)); !errors.Is(err, bad) {
				t.Errorf("%s after %d bytes: %q, %v", name, len(start), part, err)
			}
			if part, err := find(broken(start, io.EOF)); err != nil || name != "line" && part != "the file" {
				t.Errorf("%s ends after %d bytes: %q, %v", name, len(start), part, err)
			}
		}
	}
}

// The line and the character of a difference, however the text before it is divided into lines.
func TestLineOfADifference(t *testing.T) {
	long := strings.Repeat("x", 1<<16)
	for _, c := range []struct{ text, place string }{
		{"abc", "line 1, from character 4 on"}, {"", "line 1, from character 1 on"}, {"\nabc", "line 2, from character 4 on"}, {"abc\n", "line 2, from character 1 on"}, {"a\nb\ncd", "line 3, from character 3 on"},
		{long + "\ny", "line 2, from character 2 on"}, {long[1:] + "\ny", "line 2, from character 2 on"}, {long + "yz", "line 1, from character 65539 on"},
	} {
		got, err := (&compared{differs: int64(len(c.text)), want: []byte("wanted")}).line(bufio.NewReader(strings.NewReader(c.text + "found")))
		if err != nil || !strings.HasPrefix(got, c.place+", is ") {
			t.Errorf("behind %d bytes: %q, %v, want %s", len(c.text), got, err, c.place)
		}
	}
}
