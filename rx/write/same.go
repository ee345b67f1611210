package write

import (
	"bufio"
	"bytes"
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"sync"
)

// Same makes every file of a job again and compares it, byte for byte, with what stands
// in dir, keeping neither. It names the first difference of each file. The job is the one
// that [Plan] would get: the same source, the same request, the same version of the
// program; of the manifest the job has what can't be worked out again, such as where the
// inputs lie. The error is the context's, or says that a file could not be made.
func Same(dir string, job Job) ([]Mismatch, error) {
	job.Context = cmp.Or(job.Context, context.Background())
	to := &againstDisk{dir: dir, read: job.Read}
	m, err := job.make(to)
	if err != nil {
		return nil, err
	}
	slices.SortFunc(to.wrong, func(a, b Mismatch) int { return strings.Compare(a.File, b.File) })
	files := slices.DeleteFunc(slices.Clone(to.wrong), func(w Mismatch) bool { return w.File == manifestName })
	if len(files) == len(to.wrong) {
		return files, nil // the manifest is the same, too
	}
	written, err := m.differences(dir, files)
	if err != nil || len(written)+len(files) == 0 {
		return to.wrong, err // the bytes of the manifest alone differ
	}
	return append(files, written...), nil
}

// againstDisk is a folder with which the files are compared.
type againstDisk struct {
	dir   string
	read  []FileSum // files whose digests are known
	mu    sync.Mutex
	wrong []Mismatch // at most one a file
}

func (a *againstDisk) tell(name, format string, args ...any) {
	a.mu.Lock()
	defer a.mu.Unlock()
	a.wrong = append(a.wrong, Mismatch{File: name, What: fmt.Sprintf(format, args...)})
}

func (a *againstDisk) create(ctx context.Context, name string) (made, error) {
	c := &compared{ctx: ctx, to: a, name: name, differs: -1}
	if i := slices.IndexFunc(a.read, func(f FileSum) bool { return f.Name == name }); i >= 0 {
		c.known = a.read[i].SHA256
	} else {
		c.sum = sha256.New()
	}
	file, err := openFile(filepath.Join(a.dir, name))
	if err != nil {
		c.unreadable(err)
		return c, nil
	}
	c.file, c.got = file, bufio.NewReaderSize(file, 1<<16)
	return c, nil
}

// compared is a file that is made again and compared with the one on the disk as it grows.
type compared struct {
	ctx  context.Context
	to   *againstDisk
	name string

	file *os.File      // nil if it can't be read, which is told
	got  *bufio.Reader // what stands on the disk
	buf  []byte

	known   string    // digest of what stands on the disk, and so of what is made if it is the same
	sum     hash.Hash // of what is made; nil where that is known
	size    int64
	differs int64  // the first byte that differs; -1 for none
	ends    bool   // what stands on the disk ends there
	want    []byte // what is made from there on, the first bytes of it
}

// mostShown is how many bytes of a difference are told.
const mostShown = 40

// Write takes no more once the work is canceled.
func (c *compared) Write(p []byte) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	if c.sum != nil {
		c.sum.Write(p)
	}
	if c.file != nil && c.differs < 0 {
		c.compare(p)
	}
	if c.differs >= 0 && len(c.want) < mostShown {
		from := max(0, c.differs+int64(len(c.want))-c.size)
		c.want = append(c.want, p[from:min(len(p), int(from)+mostShown-len(c.want))]...)
	}
	c.size += int64(len(p))
	return len(p), nil
}

// compare holds the next bytes against the disk.
func (c *compared) compare(p []byte) {
	c.buf = slices.Grow(c.buf[:0], len(p))[:len(p)]
	n, err := io.ReadFull(c.got, c.buf)
	if err = ended(err); err != nil {
		c.unreadable(err)
		return
	}
	c.ends = n < len(p)
	if c.ends || !bytes.Equal(c.buf, p) {
		at := 0
		for at < n && c.buf[at] == p[at] {
			at++
		}
		c.ends = at == n
		c.differs = c.size + int64(at)
	}
}

// unreadable tells that the disk does not give what it holds.
func (c *compared) unreadable(err error) {
	c.to.tell(c.name, "%s", unread(c.name, err).What)
	c.abandon()
}

// close tells the first difference.
func (c *compared) close() (FileSum, error) {
	defer c.abandon()
	sum := FileSum{Name: c.name, SHA256: c.known, Size: c.size}
	if c.sum != nil {
		sum.SHA256 = hex.EncodeToString(c.sum.Sum(nil))
	}
	if c.file == nil {
		return sum, nil
	}
	if c.differs < 0 {
		switch rest, err := io.Copy(io.Discard, c.got); {
		case err != nil:
			c.unreadable(err)
		case rest > 0:
			c.to.tell(c.name, "goes on for %d bytes after its end", rest)
		}
		return sum, nil
	}
	if c.ends {
		c.to.tell(c.name, "ends after %d bytes, want %d", c.differs, c.size)
		return sum, nil
	}
	where, err := c.where()
	if err != nil {
		c.unreadable(err)
		return sum, nil
	}
	c.to.tell(c.name, "%s", where)
	return sum, nil
}

func (c *compared) abandon() {
	if c.file != nil {
		c.file.Close()
		c.file = nil
	}
}
