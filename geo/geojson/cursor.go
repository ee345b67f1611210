package geojson

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"math/bits"
	"strconv"

	"github.com/go-faster/jx"
)

// cursor walks over a JSON text. It knows where objects and arrays begin, end
// and continue; every value that is not walked into goes through jx, which is
// strict about the grammar.
type cursor struct {
	text []byte
	pos  int
	jx   jx.Decoder
}

// errSyntax says that the text is no JSON; where and why is sought when it is
// reported, by [syntaxError].
var errSyntax = errors.New("no JSON")

// peek skips white space and returns the next byte without taking it, or 0 at
// the end of the text.
func (c *cursor) peek() byte {
	if c.pos < len(c.text) && c.text[c.pos] > ' ' {
		return c.text[c.pos]
	}
	return c.peekFar()
}

func (c *cursor) peekFar() byte {
	for ; c.pos < len(c.text); c.pos++ {
		switch b := c.text[c.pos]; b {
		case ' ', '\n', '\r', '\t':
		default:
			return b
		}
	}
	return 0
}

// take skips white space and takes one byte.
func (c *cursor) take(b byte) bool {
	if c.peek() != b {
		return false
	}
	c.pos++
	return true
}

// value takes a JSON value of any kind and returns its text.
func (c *cursor) value() ([]byte, error) {
	if c.peek() == '"' {
		if text := plainString(c.text[c.pos:]); text != nil {
			c.pos += len(text)
			return text, nil
		}
	}
	c.jx.ResetBytes(c.text[c.pos:])
	raw, err := c.jx.Raw()
	if err != nil {
		return nil, errSyntax
	}
	c.pos += len(raw)
	return raw, nil
}

// plainString returns the string, quotes included, that text begins with, if it
// ends there and holds nothing that jx would have to look at. Most names and
// values are such, and short.
func plainString(text []byte) []byte {
	for i := 1; i < len(text); i++ {
		switch b := text[i]; {
		case b == '"':
			return text[:i+1]
		case b < ' ' || b == '\\':
			return nil
		}
	}
	return nil
}

// member takes the name of an object's next member and the colon. It returns nil
// behind the object's end. first tells whether it is the object's first one.
func (c *cursor) member(first bool) ([]byte, error) {
	if more, err := c.another(first, '}'); !more {
		return nil, err
	}
	if c.peek() != '"' {
		return nil, errSyntax
	}
	name, err := c.value()
	if err != nil || !c.take(':') {
		return nil, errSyntax
	}
	return name, nil
}

// another reports whether one more element must follow in an object or an array,
// taking the comma before it or the bracket that ends it.
func (c *cursor) another(first bool, end byte) (bool, error) {
	switch b := c.peek(); {
	case b == end:
		c.pos++
		return false, nil
	case first:
		return true, nil
	case b == ',':
		c.pos++
		return true, nil
	}
	return false, errSyntax
}

// unquote appends the characters of a string that [cursor.value] returned.
func (c *cursor) unquote(dst, quoted []byte) []byte {
	inner := quoted[1 : len(quoted)-1]
	if bytes.IndexByte(inner, '\\') < 0 {
		return append(dst, inner...)
	}
	c.jx.ResetBytes(quoted)
	dst, _ = c.jx.StrAppend(dst) // the value was checked
	return dst
}

// syntaxError returns where a text stops being one JSON value, and why;
// len(text) if it only ends too early.
func syntaxError(text []byte) (at int, why string) {
	var value json.RawMessage
	err := json.NewDecoder(bytes.NewReader(text)).Decode(&value)
	var syntax *json.SyntaxError
	switch {
	case errors.As(err, &syntax):
		return int(syntax.Offset) - 1, fmt.Sprintf("not JSON: %v", syntax)
	case errors.Is(err, io.ErrUnexpectedEOF), errors.Is(err, io.EOF):
		return len(text), "not JSON: the text ends too early"
	}
	return 0, "not JSON"
}

// isNull reports whether a value's text is null.
func isNull(value []byte) bool { return string(value) == "null" }

// number reads the JSON number (RFC 8259 §6) that starts at text[i] and returns
// its value, rounded as [strconv.ParseFloat] rounds it, and the place behind it.
// ok is false if there is no number or none that is finite.
func number(text []byte, i int) (v float64, end int, ok bool) {
	start := i
	if i < len(text) && text[i] == '-' {
		i++
	}
	first := i
	var m uint64
	for ; i < len(text) && isDigit(text[i]); i++ {
		m = m*10 + uint64(text[i]-'0')
	}
	digits := i - first
	if digits == 0 || digits > 1 && text[first] == '0' {
		return 0, i, false
	}
	decimals := 0
	if i < len(text) && text[i] == '.' {
		i++
		point := i
		for ; i < len(text) && isDigit(text[i]); i++ {
			m = m*10 + uint64(text[i]-'0')
		}
		if decimals = i - point; decimals == 0 {
			return 0, i, false
		}
	}
	if i < len(text) && text[i]|0x20 == 'e' || digits+decimals > maxDigits {
		return slowNumber(text, start, i)
	}
	if v = decimal(m, decimals); text[start] == '-' {
		v = -v
	}
	return v, i, true
}

func isDigit(c byte) bool { return c-'0' <= 9 }

// slowNumber reads numbers with an exponent or with many digits; text[:i] has
// been found to be a number as far as it goes.
func slowNumber(text []byte, start, i int) (v float64, end int, ok bool) {
	if i < len(text) && text[i]|0x20 == 'e' {
		i++
		if i < len(text) && (text[i] == '+' || text[i] == '-') {
			i++
		}
		exponent := i
		for i < len(text) && isDigit(text[i]) {
			i++
		}
		if i == exponent {
			return 0, i, false
		}
	}
	v, err := strconv.ParseFloat(string(text[start:i]), 64)
	return v, i, err == nil
}

// maxDigits is the longest decimal that always fits 64 bits.
const maxDigits = 19

var powersOf10 = [maxDigits + 1]uint64{1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9,
	1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19}

// decimal returns the float nearest to m / 10^decimals, halves to even. It is
// exact because the division is. Where both operands are floats without error they
// are divided as such (Clinger, "How to Read Floating Point Numbers Accurately",
// 1990). Else 128 by 64 bits are divided as integers. The lowest bit then says
// whether something remains; it is at least nine below the one that is rounded.
func decimal(m uint64, decimals int) float64 {
	if m < 1<<53 && decimals < 16 {
		return float64(m) / float64(powersOf10[decimals])
	}
	d := powersOf10[decimals]
	up, down := bits.LeadingZeros64(m), bits.LeadingZeros64(d)
	m, d = m<<up, d<<down
	q, rest := bits.Div64(m>>1, m<<63, d)
	if rest != 0 {
		q |= 1
	}
	return float64(q) * math.Float64frombits(uint64(1023-63-up+down)<<52)
}
