package geojson

import (
	"bytes"
	"errors"
	"io"
)

// maxElement bounds how much text one value may take: places inside a batch are
// 32 bits wide.
const maxElement = 1 << 30

var errTooLong = errors.New("one value is longer than 1 GiB")

// window is the part of the text that stands in memory. What lies before keep
// may be forgotten when more is read.
type window struct {
	r    io.Reader
	buf  []byte
	pos  int   // the next byte
	keep int   // the first byte that is still needed
	base int64 // offset of buf[0] in the text
	line int   // line of buf[0], from 1
	err  error // what ended the reading: io.EOF at the text's end
}

// offset returns the place of the next byte in the text.
func (w *window) offset() int64 { return w.base + int64(w.pos) }

// lineAt returns the line, from 1, that holds buf[i].
func (w *window) lineAt(i int) int { return w.line + bytes.Count(w.buf[:i], []byte{'\n'}) }

// forget makes room by dropping what lies before keep, and returns how much.
func (w *window) forget() int {
	n := w.keep
	w.moveTo(w.buf)
	return n
}

// moveTo carries what is kept over to the front of another buffer (or the same)
// and leaves what lies before it in the old one, untouched if it is another.
func (w *window) moveTo(buf []byte) {
	w.line = w.lineAt(w.keep)
	w.base += int64(w.keep)
	w.buf = append(buf[:0], w.buf[w.keep:]...)
	w.pos -= w.keep
	w.keep = 0
}

// more reads at least one byte behind those that are there; false means that
// err says why there is none. A full buffer is replaced by one twice as long.
func (w *window) more() bool {
	if w.err != nil {
		return false
	}
	if len(w.buf) == cap(w.buf) {
		if len(w.buf) >= maxElement {
			w.err = errTooLong
			return false
		}
		w.buf = append(make([]byte, 0, 2*cap(w.buf)), w.buf...)
	}
	for range 100 { // as many empty reads as package bufio allows
		n, err := w.r.Read(w.buf[len(w.buf):cap(w.buf)])
		w.buf = w.buf[:len(w.buf)+n]
		w.err = err
		if n > 0 || err != nil {
			return n > 0
		}
	}
	w.err = io.ErrNoProgress
	return false
}
