// Package pages has memory come in large pages.
package pages

import (
	"math/bits"
	"os"
	"runtime"
	"runtime/debug"
	"sync"
	"unsafe"

	"golang.org/x/sys/unix"
)

// most bounds what comes in large pages: the work on some ten million cells. For less than least, to
// have them costs more than it brings.
const most, least = 4 << 30, 8 << 20

const page = 2 << 20

var once sync.Once

// Large has what the heap takes next, up to so many bytes, come in pages of 2 MB. A program calls it
// once, before its work; further calls do nothing. Memory costs something a page when it is touched
// first, on virtual machines above all: a fifth of the work on a large file in pages of 4 kB.
// Nothing is taken by this but 8 bytes for each 8 kB, and what is not touched stays free. It collects
// garbage once, some milliseconds of a processor, and so does nothing for less than 8 MB, nor where it
// can't be done.
func Large(bytes int64) { once.Do(func() { large(min(bytes, most)) }) }

func large(bytes int64) {
	if bytes < least || bits.UintSize < 64 || limited(int(bytes)) {
		return
	}
	percent := debug.SetGCPercent(-1)
	defer debug.SetGCPercent(percent)
	heap := make([]byte, bytes) // the heap grows by it, at addresses that are taken again
	begin := uintptr(unsafe.Pointer(&heap[0])) &^ (page - 1)
	unix.Syscall(unix.SYS_MADVISE, begin, uintptr(bytes), unix.MADV_HUGEPAGE)
	runtime.KeepAlive(heap)
	debug.FreeOSMemory()
	for _, used := range []uintptr{begin - page, begin} { // in part, in small pages
		unix.Syscall(unix.SYS_MADVISE, used, page, unix.MADV_COLLAPSE)
	}
}

// limited reports whether so many addresses are too many, or pages not those of 4 kB, whose
// large ones have 2 MB: others have up to 512.
func limited(bytes int) bool {
	var addresses unix.Rlimit
	if os.Getpagesize() != 4<<10 || unix.Getrlimit(unix.RLIMIT_AS, &addresses) != nil || addresses.Cur != unix.RLIM_INFINITY {
		return true
	}
	try, err := unix.Mmap(-1, 0, bytes, unix.PROT_READ|unix.PROT_WRITE, unix.MAP_ANON|unix.MAP_PRIVATE)
	return err != nil || unix.Munmap(try) != nil // where the system doesn't overcommit, the heap would end the program
}
