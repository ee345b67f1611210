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

// Encode appends what is written of the rows from and up to the end to dst.
type Encode func(dst []byte, from, to int) ([]byte, error)

// sealer is a writer that knows what it was given when that was proved: an [Encode] that
// has proved its bytes is followed by Seal on the same goroutine, and the seal comes with
// the bytes when their turn has come.
type sealer interface {
	io.Writer
	Seal(bytes []byte) uint64 // safe to call from several goroutines
	WriteSealed(bytes []byte, seal uint64) error
}

// sealed takes the bytes of writers that want no seals.
type sealed struct{ io.Writer }

func (sealed) Seal([]byte) uint64 { return 0 }

func (s sealed) WriteSealed(bytes []byte, _ uint64) error {
	_, err := s.Write(bytes)
	return err
}

// Write cuts the rows 0 to n, the end excluded, into consecutive blocks and writes what an
// Encode appends for each, in the order of the rows. There are as many of them as cores;
// worker makes one, which runs on one goroutine at a time and may keep what speeds it up.
// The bytes must not depend on that. The error of the first block that has one ends the
// writing: neither it nor a later block is written. w may be [sealer].
func Write(w io.Writer, n int, worker func() Encode) error {
	to, ok := w.(sealer)
	if !ok {
		to = sealed{w}
	}
	return writeBlocks(to, n, min(Block, n/parts+1), runtime.GOMAXPROCS(0), worker)
}

// block is what an [Encode] returned.
type block struct {
	bytes []byte
	seal  uint64
	err   error
}

// encoder encodes block by block.
type encoder struct {
	to      sealer
	encode  Encode
	n, size int // rows in all and of a block
}

func (e *encoder) block(buf []byte, i int) (b block) {
	if b.bytes, b.err = e.encode(buf[:0], i*e.size, min((i+1)*e.size, e.n)); b.err == nil {
		b.seal = e.to.Seal(b.bytes)
	}
	return b
}

func (b block) writeTo(w sealer) error {
	if b.err != nil {
		return b.err
	}
	return w.WriteSealed(b.bytes, b.seal)
}

func writeBlocks(w sealer, n, size, workers int, worker func() Encode) error {
	blocks := Count(n, size)
	if workers < 2 || blocks < 2 {
		e := encoder{w, worker(), n, size}
		var b block
		for i := range blocks {
			b = e.block(b.bytes, i)
			if err := b.writeTo(w); err != nil {
				return err
			}
		}
		return nil
	}
	free := make(chan []byte, 2*workers) // bounds how far encoding runs ahead
	for range cap(free) {
		free <- nil
	}
	done := make([]chan block, blocks)
	for i := range done {
		done[i] = make(chan block, 1)
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	defer wg.Wait()
	defer func() {
		next.Store(int64(blocks)) // nothing is left to do
		close(free)
	}()
	for range min(workers, blocks) {
		wg.Go(func() {
			e := encoder{w, worker(), n, size}
			// The buffer comes first: a block that is taken can always be
			// encoded, so the lowest one outstanding never waits.
			for buf := range free {
				i := int(next.Add(1)) - 1
				if i >= blocks {
					return
				}
				done[i] <- e.block(buf, i)
			}
		})
	}
	for i := range blocks {
		b := <-done[i]
		if err := b.writeTo(w); err != nil {
			return err
		}
		free <- b.bytes
	}
	return nil
}
