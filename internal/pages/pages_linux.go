// Package pages has memory come in large pages.
package pages

import (
	"os"
	"runtime"
	"runtime/debug"
	"sync"

	"golang.org/x/sys/unix"
)

// size is how much a field of a million cells takes.
const size = 400 << 20

// Large has what the heap takes next, up to 400 MB, come in pages of 2 MB. A program calls it
// once, before its work. Memory costs something a page when it is touched first, on virtual
// machines above all: a fifth of the work on a large file in pages of 4 kB. Nothing is taken by
// this, and what is not touched stays free. Where it can't be done nothing happens.
var Large = sync.OnceFunc(func() {
	if limited() {
		return
	}
	percent := debug.SetGCPercent(-1)
	defer debug.SetGCPercent(percent)
	heap := make([]byte, size) // the heap grows by it, at addresses that are taken again
	unix.Madvise(heap, unix.MADV_HUGEPAGE)
	runtime.KeepAlive(heap)
	debug.FreeOSMemory()
})

// limited reports whether so many addresses are too many, or pages not those of 4 kB, whose
// large ones have 2 MB: others have up to 512.
func limited() bool {
	var addresses unix.Rlimit
	if os.Getpagesize() != 4<<10 || unix.Getrlimit(unix.RLIMIT_AS, &addresses) != nil || addresses.Cur != unix.RLIM_INFINITY {
		return true
	}
	try, err := unix.Mmap(-1, 0, size, unix.PROT_READ|unix.PROT_WRITE, unix.MAP_ANON|unix.MAP_PRIVATE)
	return err != nil || unix.Munmap(try) != nil // where the system doesn't overcommit, the heap would end the program
}
