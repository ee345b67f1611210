package read

import (
	"fmt"
	"math"
	"os"
	"path"
	"path/filepath"
	"strconv"
	"strings"
)

// largeFile is from how many bytes on it is asked what memory there is.
const largeFile = 16 << 20

// How many times a file's own bytes it takes at least to work on it. Measured on grids of up to
// 400,000 cells, beside what the program takes for itself: 2.7 times the .shp, 1.5 times GeoJSON.
const (
	timesShp = 2.7
	timesAny = 1.4
)

func timesOf(name string) float64 {
	if strings.EqualFold(filepath.Ext(name), ".shp") {
		return timesShp
	}
	return timesAny
}

// roomFor asks whether there is memory for a part of an archive before it is unpacked.
func roomFor(part string, size int64) error {
	return enough(strings.ToLower(path.Ext(part)), size, timesOf(part))
}

// enough refuses a file that takes more memory than this process may have: it would be ended
// halfway, by Go's own words or by the system without any. What passes may still take too much.
func enough(name string, size int64, times float64) error {
	if size < largeFile {
		return nil
	}
	need, have := int64(float64(size)*times), room("/")
	if need <= have {
		return nil
	}
	return &Error{
		File: name,
		What: fmt.Sprintf("takes some %d MB of memory to work on, and this program may have %d MB more here", need>>20, have>>20),
		Hint: "raise the limit (ulimit -v, or that of the container), run it on a larger machine, or export the field in parts",
	}
}

// room returns the bytes that this process may still take by what Linux limits: its own
// address space and the memory of its control groups, of either version. root is that of
// the file system. Where nothing limits it, or nothing says so, it is [math.MaxInt64].
func room(root string) int64 {
	read := func(name string) string {
		text, _ := os.ReadFile(filepath.Join(root, name))
		return strings.TrimSpace(string(text))
	}
	pages := strings.Fields(read("proc/self/statm")) // all, in memory
	if len(pages) < 2 {
		return math.MaxInt64
	}
	taken := func(i int) int64 { n, _ := strconv.ParseInt(pages[i], 10, 64); return n * int64(os.Getpagesize()) }
	left := int64(math.MaxInt64)
	most := func(text string, taken int64) {
		if limit, err := strconv.ParseInt(text, 10, 64); err == nil && limit < 1<<60 { // neither "max" nor all there is
			left = min(left, max(0, limit-taken))
		}
	}
	for line := range strings.Lines(read("proc/self/limits")) {
		if rest, ok := strings.CutPrefix(line, "Max address space"); ok {
			most(strings.Fields(rest + " -")[0], taken(0))
		}
	}
	for line := range strings.Lines(read("proc/self/cgroup")) { // such as 0::/a/b, or 4:memory:/a/b
		part := strings.SplitN(strings.TrimSpace(line), ":", 3)
		if len(part) < 3 {
			continue
		}
		folder, file := "sys/fs/cgroup", "memory.max"
		switch part[1] {
		case "":
		case "memory":
			folder, file = "sys/fs/cgroup/memory", "memory.limit_in_bytes"
		default:
			continue
		}
		for group := path.Clean("/" + part[2]); ; group = path.Dir(group) {
			most(read(folder+group+"/"+file), taken(1))
			if group == "/" {
				break
			}
		}
	}
	return left
}
