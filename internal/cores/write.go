package cores

import (
	"io"
	"runtime"
	"sync"
	"sync/atomic"
)

// parts is how many blocks [Write] makes of fewer rows than fill them: a zone may
// have thousands of vertices.
const parts = 16

// Write calls encode for consecutive blocks of the rows 0 to n, the end excluded,
// on as many cores as there are, and writes what each block appended to its
// buffer in the order of the rows. The bytes don't depend on the number of cores.
// encode must be safe to call from several goroutines.
func Write(w io.Writer, n int, encode func(dst []byte, from, to int) []byte) error {
	return writeBlocks(w, n, min(Block, n/parts+1), runtime.GOMAXPROCS(0), encode)
}

func writeBlocks(w io.Writer, n, size, workers int, encode func(dst []byte, from, to int) []byte) error {
	blocks := Count(n, size)
	if workers < 2 || blocks < 2 {
		var buf []byte
		for from := 0; from < n; from += size {
			buf = encode(buf[:0], from, min(from+size, n))
			if _, err := w.Write(buf); err != nil {
				return err
			}
		}
		return nil
	}
	free := make(chan []byte, 2*workers) // bounds how far encoding runs ahead
	for range cap(free) {
		free <- nil
	}
	done := make([]chan []byte, blocks)
	for i := range done {
		done[i] = make(chan []byte, 1)
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	defer wg.Wait()
	defer func() {
		next.Store(int64(blocks)) // nothing is left to do
		close(free)
	}()
	for range workers {
		wg.Go(func() {
			// The buffer comes first: a block that is taken can always be
			// encoded, so the lowest one outstanding never waits.
			for buf := range free {
				i := int(next.Add(1)) - 1
				if i >= blocks {
					return
				}
				done[i] <- encode(buf[:0], i*size, min((i+1)*size, n))
			}
		})
	}
	for i := range blocks {
		buf := <-done[i]
		if _, err := w.Write(buf); err != nil {
			return err
		}
		free <- buf
	}
	return nil
}
