package read

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"hash"
	"io"
	"io/fs"
)

// sideHash digests on a goroutine of its own what passes through a reader.
type sideHash struct {
	blocks chan []byte
	done   chan struct{}
	sum    hash.Hash
	size   int64
}

func newHash() *sideHash {
	h := &sideHash{blocks: make(chan []byte, 4), done: make(chan struct{}), sum: sha256.New()}
	go func() {
		defer close(h.done)
		for b := range h.blocks {
			h.sum.Write(b)
		}
	}()
	return h
}

// Write takes a copy: the reader's buffer is used again.
func (h *sideHash) Write(b []byte) (int, error) {
	h.size += int64(len(b))
	h.blocks <- append([]byte(nil), b...)
	return len(b), nil
}

func (h *sideHash) close() (sum string, size int64) {
	close(h.blocks)
	<-h.done
	return hex.EncodeToString(h.sum.Sum(nil)), h.size
}

// hashed reads what it hashes, and is as long as what it reads.
type hashed struct {
	r    io.Reader
	hash *sideHash
	ctx  context.Context // cancels the reading; nil for never
}

func (h *hashed) Read(b []byte) (int, error) {
	if h.ctx != nil && h.ctx.Err() != nil {
		return 0, h.ctx.Err()
	}
	n, err := h.r.Read(b)
	if n > 0 {
		h.hash.Write(b[:n]) // it never fails
	}
	return n, err
}

// Stat describes the file that is read; a stream has none.
func (h *hashed) Stat() (fs.FileInfo, error) {
	if file, ok := h.r.(interface{ Stat() (fs.FileInfo, error) }); ok {
		return file.Stat()
	}
	return nil, fs.ErrInvalid
}
