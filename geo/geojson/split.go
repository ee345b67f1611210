package geojson

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"slices"
)

// recordSeparator stands before each text of a sequence (RFC 8142 §2.2).
const recordSeparator = 0x1e

// splitter cuts a GeoJSON text into batches of whole features and keeps what
// surrounds them, the frame: the text without what lies between the brackets of
// its "features". It checks no more grammar than it needs to find them.
type splitter struct {
	window
	jobs  chan *batch // for whoever decodes
	order chan *batch // the same in the order of the file
	free  chan *batch // bounds how far the splitter runs ahead
	stop  chan struct{}
	block int    // usual length of a batch's text
	now   *batch // being filled

	inside bool // among the features

	// Found by the time that order is closed:
	readErr    error
	broken     *flaw // where the text breaks off or isn't what it must be
	frame      []byte
	frameAt    flaw // where the frame begins
	gap        gap
	collection bool // a "features" array was read
	marked     bool // the text begins with a byte order mark
	count      int  // features
}

// gap is what the frame leaves out.
type gap struct {
	at    int   // place in the frame
	bytes int64 // left out there
	lines int
}

// flaw is a place in the text and what is wrong there.
type flaw struct {
	offset int64
	line   int
	record int // from 0; -1 if outside of the features
	why    string
}

var errStopped = errors.New("stopped")

func newSplitter(r io.Reader, block, ahead int) *splitter {
	s := &splitter{
		window: window{r: r, line: 1},
		jobs:   make(chan *batch),
		order:  make(chan *batch, ahead),
		free:   make(chan *batch, ahead),
		stop:   make(chan struct{}),
		block:  block,
	}
	for range ahead {
		s.free <- &batch{done: make(chan *part, 1)}
	}
	return s
}

// run splits the whole text. It returns early when stop is closed.
func (s *splitter) run() {
	defer close(s.order)
	defer close(s.jobs)
	if s.now = s.take(); s.now == nil {
		return
	}
	s.buf = s.now.text
	err := s.document()
	if err != errStopped {
		s.flush() // also what stands before a flaw; being stopped is no news
	}
	var broken *flaw
	switch {
	case err == nil, err == errStopped:
	case errors.As(err, &broken):
		s.broken = broken
	default:
		s.readErr = err
	}
}

// take waits for a free batch; nil means that the reading has been stopped.
func (s *splitter) take() *batch {
	select {
	case b := <-s.free:
		if b.text == nil {
			b.text = make([]byte, 0, s.block)
		}
		return b
	case <-s.stop:
		return nil
	}
}

// reuse gives a batch back. A buffer that grew for one long value is dropped.
func (s *splitter) reuse(b *batch) {
	b.features = b.features[:0]
	if cap(b.text) > 2*s.block {
		b.text = nil
	}
	s.free <- b
}

// flush hands the features found so far to the decoders and goes on in another
// buffer with what is kept.
func (s *splitter) flush() error {
	if len(s.now.features) == 0 {
		return nil
	}
	full, next := s.now, s.take()
	if next == nil {
		return errStopped
	}
	full.text, full.base, full.line, full.loose = s.buf, s.base, s.line, !s.collection
	s.now = next
	s.moveTo(next.text)
	select { // order has room for all batches there are
	case s.jobs <- full:
		s.order <- full
		return nil
	case <-s.stop:
		return errStopped
	}
}

// fill reads more text, and makes room for it when the buffer is full. value is
// the one that is being scanned, if any.
func (s *splitter) fill(value *scanner) error {
	if len(s.buf) == cap(s.buf) {
		kept := s.keep
		if len(s.now.features) > 0 {
			if err := s.flush(); err != nil {
				return err
			}
		} else {
			s.forget()
		}
		if value != nil {
			value.moved(kept)
		}
	}
	if !s.more() {
		if s.err == errTooLong {
			return s.flawed(s.pos, s.err.Error())
		}
		return s.err
	}
	return nil
}

// next skips white space and returns the byte behind it without taking it. At
// the end of the text the error is io.EOF.
func (s *splitter) next() (byte, error) {
	for {
		for ; s.pos < len(s.buf); s.pos++ {
			switch c := s.buf[s.pos]; c {
			case ' ', '\n', '\r', '\t':
			default:
				return c, nil
			}
		}
		if err := s.fill(nil); err != nil {
			return 0, err
		}
	}
}

// value takes the value that begins at the next byte; it stands in
// buf[keep:pos] at the end if keep was its beginning.
func (s *splitter) value() error {
	var v scanner
	for {
		end, whole := v.scan(s.buf, s.pos)
		if s.pos = end; whole {
			return nil
		}
		if err := s.fill(&v); err != nil {
			return err
		}
	}
}

// flawed describes the place buf[at].
func (s *splitter) flawed(at int, why string) error {
	record := -1
	if s.inside {
		record = s.count
	}
	return &flaw{s.base + int64(at), s.lineAt(at), record, why}
}

// unexpected says that the next byte is not what stands at this place.
func (s *splitter) unexpected(want string) error {
	return s.flawed(s.pos, fmt.Sprintf("want %s, found %q", want, s.buf[s.pos]))
}

func (f *flaw) Error() string {
	return fmt.Sprintf("byte %d, line %d: %s", f.offset, f.line, f.why)
}

// addToFrame moves what is kept into the frame.
func (s *splitter) addToFrame() {
	s.frame = append(slices.Grow(s.frame, s.pos-s.keep), s.buf[s.keep:s.pos]...)
	s.keep = s.pos
}

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
