package shapefile

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// sectionSize is how many whole records one goroutine takes at a time. What a
// section yields is joined in the order of the records, so that results don't
// depend on the number of cores.
const sectionSize = 4096

// sectionCount returns how many sections n records make.
func sectionCount(n int) int { return (n + sectionSize - 1) / sectionSize }

// eachSection calls work for every section s of n records, from and up to the
// end, on all cores, and returns when all are done.
func eachSection(n int, work func(s, from, to int)) {
	count := sectionCount(n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(count, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for s := int(next.Add(1)) - 1; s < count; s = int(next.Add(1)) - 1 {
				work(s, s*sectionSize, min((s+1)*sectionSize, n))
			}
		})
	}
	wg.Wait()
}
