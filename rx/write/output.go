package write

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash/maphash"
	"io"
	"os"
	"sync"

	"rxsplit/internal/cores"
)

// onDisk is a folder in which the files are made.
type onDisk struct {
	root *os.Root
	mu   sync.Mutex
	made map[string]*output // whole, not yet read back
}

func newOnDisk(root *os.Root) *onDisk { return &onDisk{root: root, made: map[string]*output{}} }

// output is a file on the disk. It is [cores.Sealed]: each block goes to the disk with a
// seal, a fast hash that was taken when it was proved, and is held against that once it
// is read back.
type output struct {
	ctx   context.Context
	disk  *onDisk
	name  string
	file  *os.File
	seed  maphash.Seed
	small []byte // that is not yet worth a block of its own
	seals []seal
}

// seal is of one block of a file.
type seal struct {
	size int
	sum  uint64
}

// smallBlock is how many bytes are gathered to a block.
const smallBlock = 1 << 16

func (d *onDisk) create(ctx context.Context, name string) (made, error) {
	if !isPlanFile(name) {
		return nil, fmt.Errorf("%q is no name of a file", name)
	}
	if err := d.makeFolder(name); err != nil {
		return nil, err
	}
	file, err := d.root.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, err
	}
	return &output{ctx: ctx, disk: d, name: name, file: file, seed: maphash.MakeSeed()}, nil
}

// Write takes no more once the work is canceled.
func (o *output) Write(p []byte) (int, error) {
	if len(o.small)+len(p) > smallBlock {
		if err := o.flush(); err != nil {
			return 0, err
		}
	}
	if len(p) > smallBlock {
		return len(p), o.WriteSealed(p, o.Seal(p))
	}
	o.small = append(o.small, p...)
	return len(p), o.ctx.Err()
}

// Seal returns the seal of a block.
func (o *output) Seal(block []byte) uint64 { return maphash.Bytes(o.seed, block) }

// WriteSealed writes a block behind what was written before.
func (o *output) WriteSealed(block []byte, sum uint64) error {
	if err := o.flush(); err != nil {
		return err
	}
	return o.write(block, sum)
}

func (o *output) flush() error {
	block := o.small
	o.small = o.small[:0]
	if len(block) == 0 {
		return o.ctx.Err()
	}
	return o.write(block, o.Seal(block))
}

func (o *output) write(block []byte, sum uint64) error {
	if err := o.ctx.Err(); err != nil {
		return err
	}
	o.seals = append(o.seals, seal{len(block), sum})
	_, err := o.file.Write(block)
	return err
}

// close brings the file to the disk. Its digest is that of what is read back.
func (o *output) close() (FileSum, error) {
	defer o.abandon()
	if err := o.flush(); err != nil {
		return FileSum{}, err
	}
	o.small = nil
	if err := o.file.Sync(); err != nil {
		return FileSum{}, err
	}
	file := o.file
	o.file = nil
	if err := file.Close(); err != nil {
		return FileSum{}, err
	}
	o.disk.mu.Lock()
	defer o.disk.mu.Unlock()
	o.disk.made[o.name] = o
	return FileSum{Name: o.name, Size: int64(o.size())}, nil
}

// settle reads files back, several at a time, and fills in their digests.
func (d *onDisk) settle(files []FileSum) error {
	errs := make([]error, len(files))
	cores.Each(len(files), func(i int) {
		files[i].SHA256, errs[i] = d.made[files[i].Name].readBack()
	})
	return cmp.Or(errs...)
}

// readBack holds a file against the seals of its blocks, and returns the digest of what it
// reads.
func (o *output) readBack() (digest string, err error) {
	file, err := o.disk.root.Open(o.name)
	if err != nil {
		return "", o.differs(err)
	}
	defer file.Close()
	all := sha256.New()
	buf := make([]byte, min(smallBlock, 1+o.size()))
	var hash maphash.Hash
	hash.SetSeed(o.seed)
	for _, s := range o.seals {
		hash.Reset()
		for left := s.size; left > 0; {
			if err := o.ctx.Err(); err != nil {
				return "", err
			}
			n, err := file.Read(buf[:min(left, len(buf))])
			if n == 0 && err != nil {
				return "", o.differs(err)
			}
			hash.Write(buf[:n])
			all.Write(buf[:n])
			left -= n
		}
		if hash.Sum64() != s.sum {
			return "", o.differs(nil)
		}
	}
	if n, err := file.Read(buf[:1]); n > 0 || err != io.EOF {
		return "", o.differs(err)
	}
	return hex.EncodeToString(all.Sum(nil)), nil
}

// size returns the bytes of a file.
func (o *output) size() (bytes int) {
	for _, s := range o.seals {
		bytes += s.size
	}
	return bytes
}

// differs says that a file does not read back as it was proved.
func (o *output) differs(err error) error {
	m := Mismatch{File: o.name, What: "reads back otherwise than it was written: the disk, its cable or the memory of this machine is failing"}
	if err != nil && err != io.EOF {
		m = unread(o.name, err)
	}
	return &VerifyError{Mismatches: []Mismatch{m}}
}

// abandon closes a file that failed; after close it does nothing.
func (o *output) abandon() {
	if o.file != nil {
		o.file.Close()
		o.file = nil
	}
}

// sink takes the files of a plan as they are made: onto the disk, where they are written, or
// against the disk, where they are proved. Both go by the one list of files, that of [Job.make].
type sink interface {
	create(ctx context.Context, name string) (made, error)
	settle(files []FileSum) error // once they are made: fills in what close left out
}

// made is one file in the making.
type made interface {
	io.Writer
	close() (FileSum, error) // once all of it is written; the digest may come later
	abandon()                // where that failed; after close it does nothing
}
