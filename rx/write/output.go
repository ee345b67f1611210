package write

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"hash"
	"hash/maphash"
	"io"
	"os"
	"slices"
	"sync"
)

// onDisk is a folder in which the files are made.
type onDisk struct{ root *os.Root }

func newOnDisk(root *os.Root) *onDisk { return &onDisk{root} }

// output is a file on the disk. It is [cores.Sealed]: each block goes to the disk with a
// seal, a fast hash that was taken when it was proved. A reader follows the writer, and
// holds each block against its seal.
type output struct {
	ctx     context.Context
	name    string
	file    *os.File
	seed    maphash.Seed
	small   []byte     // that is not yet worth a block of its own
	fresh   int        // bytes that the disk was not asked to take up yet
	synced  chan error // what came of that the last time; empty while it goes on
	written chan seal  // of blocks that are to be read back
	reading sync.WaitGroup
	digest  hash.Hash // of what was read back
	size    int64     // of that
	wrong   error     // what was found then
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
	file, err := d.root.OpenFile(name, os.O_RDWR|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, err
	}
	return newOutput(ctx, name, file), nil
}

func newOutput(ctx context.Context, name string, file *os.File) *output {
	o := &output{ctx: ctx, name: name, file: file, synced: make(chan error, 1), seed: maphash.MakeSeed(), written: make(chan seal, 16), digest: sha256.New()}
	o.synced <- nil
	o.reading.Go(o.readBack)
	return o
}

// Write takes no more once the work is canceled.
func (o *output) Write(p []byte) (int, error) {
	if len(o.small)+len(p) > smallBlock {
		if err := o.flush(); err != nil {
			return 0, err
		}
	}
	if len(p) >= smallBlock {
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
	if _, err := o.file.Write(block); err != nil {
		return err
	}
	o.written <- seal{len(block), sum}
	if o.fresh += len(block); o.fresh < syncedAtOnce {
		return nil
	}
	select {
	case err := <-o.synced:
		o.fresh = 0
		file := o.file
		go func() { o.synced <- cmp.Or(err, file.Sync()) }()
	default: // the disk is behind
	}
	return nil
}

// syncedAtOnce is how many bytes are written before the disk is asked to take them up, beside
// the writing: a large file that is left to it as a whole is waited for at the end.
const syncedAtOnce = 32 << 20

// close brings the file to the disk, and waits until it is read back: the digest is of that.
func (o *output) close() (FileSum, error) {
	defer o.abandon()
	if err := o.flush(); err != nil {
		return FileSum{}, err
	}
	if err := cmp.Or(<-o.synced, o.file.Sync()); err != nil {
		return FileSum{}, err
	}
	if err := o.end(); err != nil {
		return FileSum{}, err
	}
	return FileSum{o.name, hex.EncodeToString(o.digest.Sum(nil)), o.size}, o.wrong
}

// readBack reads each block once it is written, and at last that there is no more.
func (o *output) readBack() {
	var buf []byte
	for s := range o.written {
		if o.wrong = cmp.Or(o.wrong, o.ctx.Err()); o.wrong == nil {
			buf = slices.Grow(buf[:0], min(smallBlock, s.size))
			o.wrong = o.readBlock(s, buf[:cap(buf)])
		}
	}
	if n, err := o.file.ReadAt(make([]byte, 1), o.size); o.wrong == nil && (n > 0 || err != io.EOF) {
		o.wrong = o.differs(err)
	}
}

// readBlock holds the next block against its seal.
func (o *output) readBlock(s seal, buf []byte) error {
	var sum maphash.Hash
	sum.SetSeed(o.seed)
	for left := s.size; left > 0; {
		n, err := o.file.ReadAt(buf[:min(left, len(buf))], o.size)
		if n == 0 && err != nil {
			return o.differs(err)
		}
		sum.Write(buf[:n])
		o.digest.Write(buf[:n])
		left, o.size = left-n, o.size+int64(n)
	}
	if sum.Sum64() != s.sum {
		return o.differs(nil)
	}
	return nil
}

// differs says that a file does not read back as it was proved.
func (o *output) differs(err error) error {
	m := Mismatch{File: o.name, What: "reads back otherwise than it was written: the disk, its cable or the memory of this machine is failing"}
	if err != nil && err != io.EOF {
		m = unread(o.name, err)
	}
	return &VerifyError{Mismatches: []Mismatch{m}}
}

// end waits for the reader and closes the file.
func (o *output) end() error {
	close(o.written)
	o.reading.Wait()
	file := o.file
	o.file = nil
	return file.Close()
}

// abandon closes a file that failed; after close it does nothing.
func (o *output) abandon() {
	if o.file != nil {
		o.end()
	}
}

// sink takes the files of a plan as they are made: onto the disk, where they are written, or
// against the disk, where they are proved. Both go by the one list of files, that of [Job.make].
type sink interface {
	create(ctx context.Context, name string) (made, error)
}

// made is one file in the making.
type made interface {
	io.Writer
	close() (FileSum, error) // once all of it is written
	abandon()                // where that failed; after close it does nothing
}
