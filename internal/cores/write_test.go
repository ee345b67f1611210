package cores

import (
	"bytes"
	"errors"
	"strconv"
	"testing"
)

func encode(dst []byte, from, to int) []byte {
	for i := from; i < to; i++ {
		dst = strconv.AppendInt(dst, int64(i), 10)
		dst = append(dst, '\n')
	}
	return dst
}

func worker() Encode {
	return func(dst []byte, from, to int) ([]byte, error) { return encode(dst, from, to), nil }
}

func TestSameBytesOnAnyNumberOfCores(t *testing.T) {
	for _, n := range []int{0, 1, 9, 10, 11, 1000} {
		want := encode(nil, 0, n)
		for workers := 1; workers < 6; workers++ {
			var got bytes.Buffer
			if err := writeBlocks(sealed{&got}, n, 10, workers, worker); err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got.Bytes(), want) {
				t.Errorf("%d rows on %d workers: wrong bytes", n, workers)
			}
		}
	}
}

type failing struct{ after int }

var errFull = errors.New("full")

func (f *failing) Write(p []byte) (int, error) {
	if f.after--; f.after < 0 {
		return 0, errFull
	}
	return len(p), nil
}

func TestStopsAtTheFirstWriteError(t *testing.T) {
	for after := range 5 {
		if err := writeBlocks(sealed{&failing{after}}, 1000, 10, 3, worker); !errors.Is(err, errFull) {
			t.Errorf("after %d writes: got %v, want %v", after, err, errFull)
		}
	}
}

// What stands before the block that can't be made is written, and nothing behind it.
func TestStopsAtTheFirstBlockThatFails(t *testing.T) {
	errBad := errors.New("bad")
	for workers := 1; workers < 6; workers++ {
		var got bytes.Buffer
		err := writeBlocks(sealed{&got}, 1000, 10, workers, func() Encode {
			return func(dst []byte, from, to int) ([]byte, error) {
				if from >= 500 {
					return dst, errBad
				}
				return encode(dst, from, to), nil
			}
		})
		if !errors.Is(err, errBad) || !bytes.Equal(got.Bytes(), encode(nil, 0, 500)) {
			t.Errorf("%d workers: got %v and %d bytes, want %v behind row 500", workers, err, got.Len(), errBad)
		}
	}
}
