package geojson

import (
	"bytes"
	"encoding/binary"
	"math/bits"
)

// scanner finds the end of one JSON value by its strings and brackets alone. It
// can stop at the end of the bytes that are there and go on when there are more.
// It doesn't check the grammar: that is for the decoder of the value.
type scanner struct {
	open, close byte // brackets that are counted; 0 for a string or a word
	depth       int
	inString    bool
	text        int // where the string began
	begun       bool
}

// scan goes on at buf[pos:] and returns the position behind the value, or
// len(buf) and false if the value goes on. Bytes before pos must still be there,
// as the value's beginning.
func (s *scanner) scan(buf []byte, pos int) (int, bool) {
	if !s.begun {
		s.begin(buf[pos], pos)
		pos++
	}
	for {
		if s.inString {
			end := stringEnd(buf, s.text, pos)
			if end < 0 {
				return len(buf), false
			}
			s.inString = false
			if pos = end; s.depth == 0 {
				return pos, true
			}
		}
		if s.depth == 0 {
			return s.word(buf, pos)
		}
		if pos = s.brackets(buf, pos); pos < 0 {
			return len(buf), false
		}
		if !s.inString {
			return pos, true
		}
		s.text = pos
	}
}

// begin takes the value's first byte.
func (s *scanner) begin(first byte, pos int) {
	s.begun = true
	switch first {
	case '"':
		s.inString, s.text = true, pos+1
	case '{', '[':
		s.open, s.close, s.depth = first, first+2, 1
	}
}

// moved tells the scanner that the value now begins n bytes earlier in its buffer.
func (s *scanner) moved(n int) { s.text -= n }

// stringEnd returns the position behind the quote that ends the string whose
// characters start at buf[from]; everything before pos is known to be inside.
func stringEnd(buf []byte, from, pos int) int {
	for {
		i := bytes.IndexByte(buf[pos:], '"')
		if i < 0 {
			return -1
		}
		pos += i
		b := pos
		for b > from && buf[b-1] == '\\' {
			b--
		}
		if pos++; (pos-1-b)%2 == 0 {
			return pos
		}
	}
}

// word ends a number, true, false or null.
func (s *scanner) word(buf []byte, pos int) (int, bool) {
	for ; pos < len(buf); pos++ {
		switch buf[pos] {
		case ',', ']', '}', ' ', '\t', '\n', '\r', recordSeparator:
			return pos, true
		}
	}
	return pos, false
}

// brackets returns the position behind the bracket that ends the value, or
// behind a quote with inString set, or -1 if neither is in buf.
func (s *scanner) brackets(buf []byte, pos int) int {
	for ; ; pos++ {
		if pos = s.nextMark(buf, pos); pos == len(buf) {
			return -1
		}
		switch buf[pos] {
		case '"':
			s.inString = true
			return pos + 1
		case s.open:
			s.depth++
		case s.close:
			if s.depth--; s.depth == 0 {
				return pos + 1
			}
		}
	}
}

const (
	ones  = 0x0101010101010101
	highs = 0x8080808080808080
)

// nextMark returns the place of the next quote or bracket that counts, or
// len(buf). It looks at eight bytes at a time: x-ones &^ x & highs has a bit
// set at each byte of x that is zero, and perhaps at some above the lowest one.
func (s *scanner) nextMark(buf []byte, pos int) int {
	quote, open, closed := uint64('"')*ones, uint64(s.open)*ones, uint64(s.close)*ones
	for ; pos+8 <= len(buf); pos += 8 {
		w := binary.LittleEndian.Uint64(buf[pos:])
		q, o, c := w^quote, w^open, w^closed
		if hit := ((q-ones)&^q | (o-ones)&^o | (c-ones)&^c) & highs; hit != 0 {
			return pos + bits.TrailingZeros64(hit)/8
		}
	}
	for ; pos < len(buf); pos++ {
		if b := buf[pos]; b == '"' || b == s.open || b == s.close {
			break
		}
	}
	return pos
}
