//go:build !race

package pages

import (
	"fmt"
	"os"
	"runtime"
	"strings"
	"testing"
)

// The race detector, which keeps a shadow of all memory, would be counted in.
//
// What is touched after Large lies in large pages, and Large takes nothing itself. The kernel
// states both in kB: man 5 proc_pid_smaps.
func TestLarge(t *testing.T) {
	mode, err := os.ReadFile("/sys/kernel/mm/transparent_hugepage/enabled")
	if err != nil || strings.Contains(string(mode), "[never]") || limited(400<<20) {
		t.Skip("large pages are not to be had here")
	}
	inUse := func(name string) (kB int) {
		text, err := os.ReadFile("/proc/self/smaps_rollup")
		if err != nil {
			t.Skip(err)
		}
		for line := range strings.Lines(string(text)) {
			if rest, ok := strings.CutPrefix(line, name+":"); ok {
				fmt.Sscan(rest, &kB)
			}
		}
		return kB
	}
	before := inUse("Rss")
	Large(400 << 20)
	if grown := inUse("Rss") - before; grown > 16<<10 {
		t.Errorf("%d kB are in use by it", grown)
	}
	data := make([]byte, 128<<20)
	for i := 0; i < len(data); i += 4 << 10 {
		data[i] = 1
	}
	if got := inUse("AnonHugePages"); got < 64<<10 {
		t.Errorf("of 128 MB that are touched %d kB lie in large pages", got)
	}
	runtime.KeepAlive(data)
}
