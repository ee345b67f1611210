package geo

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// blockSize is how many items one goroutine takes at a time. It is fixed, so that
// what is summed up block by block doesn't depend on the number of cores.
const blockSize = 4096

// blocks returns how many blocks n items make.
func blocks(n int) int { return (n + blockSize - 1) / blockSize }

// inBlocks calls work for each block of the items 0 to n, the end excluded, on
// all cores. work must keep to what belongs to its block.
func inBlocks(n int, work func(block, from, to int)) { inBlocksOf(blockSize, n, work) }

// inBlocksOf does what [inBlocks] does in blocks of another size.
func inBlocksOf(size, n int, work func(block, from, to int)) {
	count := (n + size - 1) / size
	workers := min(runtime.GOMAXPROCS(0), count)
	if workers < 2 {
		for b := range count {
			work(b, b*size, min((b+1)*size, n))
		}
		return
	}
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for b := int(next.Add(1)) - 1; b < count; b = int(next.Add(1)) - 1 {
				work(b, b*size, min((b+1)*size, n))
			}
		})
	}
	wg.Wait()
}
