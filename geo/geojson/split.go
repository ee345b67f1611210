package geojson

import (
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
