// Package cores spreads work over all cores so that its results don't depend on
// their number: items are cut into blocks of a fixed size, and what the blocks
// yield is joined in the order of the items.
//
// Whatever is called here runs side by side with other calls and in any order. It
// must keep to what belongs to its items.
package cores

import (
	"cmp"
	"io"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
)

// Block is the size of a block where nothing speaks for another: large enough that
// taking one costs nothing beside the work.
const Block = 4096

// Each calls work for the items 0 to n, the end excluded, on all cores, and
// returns when all is done.
func Each(n int, work func(i int)) { EachOf(runtime.GOMAXPROCS(0), n, work) }

// EachOf does what [Each] does with up to workers calls at a time: more than there
// are cores where work waits for a disk, say. Items are taken up in order; one
// worker goes through them on the goroutine of the caller.
func EachOf(workers, n int, work func(i int)) {
	if workers < 2 || n < 2 {
		for i := range n {
			work(i)
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(workers, n) {
		wg.Go(func() {
			for i := int(next.Add(1)) - 1; i < n; i = int(next.Add(1)) - 1 {
				work(i)
			}
		})
	}
	wg.Wait()
}

// Blocks cuts the items 0 to n, the end excluded, into blocks of a size, the last
// perhaps smaller, and calls work for each on all cores.
func Blocks(n, size int, work func(from, to int)) {
	Each(Count(n, size), func(b int) { work(b*size, min((b+1)*size, n)) })
}

// Map cuts items as [Blocks] does and returns what work yields for each block.
func Map[T any](n, size int, work func(from, to int) T) []T {
	results := make([]T, Count(n, size))
	Blocks(n, size, func(from, to int) { results[from/size] = work(from, to) })
	return results
}

// Collect cuts items as [Blocks] does and joins the lists that the blocks yield.
func Collect[T any](n, size int, work func(from, to int) []T) []T {
	return slices.Concat(Map(n, size, work)...)
}

// Try cuts items as [Blocks] does and returns the error of the first block that
// has one. The other blocks are worked off all the same.
func Try(n, size int, work func(from, to int) error) error {
	return cmp.Or(Map(n, size, work)...)
}

// Count returns how many blocks of a size n items make.
func Count(n, size int) int { return (n + size - 1) / size }

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
