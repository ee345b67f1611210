package read

import (
	"fmt"
	"math"
	"os"
	"path/filepath"
	"testing"
)

// What limits a process stands in files of Linux: man 5 proc, its limits, and
// Documentation/admin-guide/cgroup-v2.rst and cgroup-v1/memory.rst of the kernel. All but the
// least is passed over.
func TestRoom(t *testing.T) {
	page := int64(os.Getpagesize())
	const limits = "Limit                     Soft Limit           Hard Limit           Units     \nMax cpu time              unlimited            unlimited            seconds   \nMax address space         %s unlimited            bytes     \n"
	for _, c := range []struct {
		name  string
		files map[string]string
		want  int64
	}{
		{"no Linux", nil, math.MaxInt64},
		{"nothing limits", map[string]string{"proc/self/limits": fmt.Sprintf(limits, "unlimited           "), "proc/self/cgroup": "0::/\n", "sys/fs/cgroup/memory.max": "max\n"}, math.MaxInt64},
		{"ulimit -v", map[string]string{"proc/self/limits": fmt.Sprintf(limits, "1073741824          ")}, 1<<30 - 300*page},
		{"more is taken than there may be", map[string]string{"proc/self/limits": fmt.Sprintf(limits, "4096                ")}, 0},
		{"a group", map[string]string{"proc/self/cgroup": "0::/a/b\n", "sys/fs/cgroup/a/b/memory.max": "536870912\n", "sys/fs/cgroup/a/memory.max": "max\n"}, 1<<29 - 100*page},
		{"a group with a colon in its name", map[string]string{"proc/self/cgroup": "0::/a:b\n", "sys/fs/cgroup/a:b/memory.max": "536870912\n"}, 1<<29 - 100*page},
		{"a group above", map[string]string{"proc/self/cgroup": "0::/a/b\n", "sys/fs/cgroup/a/b/memory.max": "max\n", "sys/fs/cgroup/a/memory.max": "536870912\n"}, 1<<29 - 100*page},
		{"a container", map[string]string{"proc/self/cgroup": "0::/\n", "sys/fs/cgroup/memory.max": "268435456\n"}, 1<<28 - 100*page},
		{"a group of version 1", map[string]string{"proc/self/cgroup": "9:cpu:/x\n4:memory:/a\n", "sys/fs/cgroup/memory/a/memory.limit_in_bytes": "268435456\n", "sys/fs/cgroup/memory/memory.limit_in_bytes": "9223372036854771712\n"}, 1<<28 - 100*page},
		{"a group of version 1 without a limit", map[string]string{"proc/self/cgroup": "4:memory:/\n", "sys/fs/cgroup/memory/memory.limit_in_bytes": "9223372036854771712\n"}, math.MaxInt64},
		{"both", map[string]string{"proc/self/limits": fmt.Sprintf(limits, "1073741824          "), "proc/self/cgroup": "0::/\n", "sys/fs/cgroup/memory.max": "268435456\n"}, 1<<28 - 100*page},
	} {
		root := t.TempDir()
		if c.files != nil {
			c.files["proc/self/statm"] = "300 100 80 20 0 60 0\n"
		}
		for name, text := range c.files {
			os.MkdirAll(filepath.Dir(filepath.Join(root, name)), 0o777)
			if err := os.WriteFile(filepath.Join(root, name), []byte(text), 0o666); err != nil {
				t.Fatal(err)
			}
		}
		if got := room(root); got != c.want {
			t.Errorf("%s: %d bytes, want %d", c.name, got, c.want)
		}
	}
}

// A small file is never asked about.
func TestSmallFilesFit(t *testing.T) {
	if err := enough("small.shp", largeFile-1, 1e15); err != nil {
		t.Error(err)
	}
}

// A .shp takes more memory than other parts of its size.
func TestRoomGoesByTheKindOfPart(t *testing.T) {
	for name, want := range map[string]float64{"a.shp": timesShp, "A.SHP": timesShp, "a.dbf": timesAny, "TASKDATA.XML": timesAny} {
		if got := timesOf(name); got != want {
			t.Errorf("%s: %g", name, got)
		}
	}
	if err := roomFor("a.shp", largeFile-1); err != nil {
		t.Error(err)
	}
}
