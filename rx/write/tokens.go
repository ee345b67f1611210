package write

import (
	"bytes"
	"errors"
	"fmt"
	"io"

	"github.com/go-json-experiment/json/jsontext"
)

// tokens reads a text of JSON token by token. The first thing wrong with it stays as err,
// and ends all reading.
type tokens struct {
	decoder *jsontext.Decoder
	from    bytes.Buffer // which the decoder takes as it is, without a copy
	err     error

	name, cell []byte
	flat       []float64 // x and y of each position that was read
	ends       []int     // in flat, of each ring
	views      [][]float64
}

func newTokens() *tokens {
	r := &tokens{}
	r.decoder = jsontext.NewDecoder(&r.from)
	return r
}

func (r *tokens) begin(text []byte) {
	r.from = *bytes.NewBuffer(text)
	r.decoder.Reset(&r.from)
	r.err = nil
}

// end wants nothing to follow.
func (r *tokens) end() {
	if r.err == nil {
		if _, err := r.decoder.ReadToken(); err != io.EOF {
			r.err = errors.New("it goes on behind its end")
		}
	}
}

// value goes on behind the next value and returns its text, until more is read.
func (r *tokens) value() []byte {
	if r.err != nil {
		return nil
	}
	text, err := r.decoder.ReadValue()
	r.err = err
	return text
}

// take goes on behind a token of a kind.
func (r *tokens) take(kind jsontext.Kind) (t jsontext.Token) {
	if r.err != nil {
		return t
	}
	if t, r.err = r.decoder.ReadToken(); r.err == nil && t.Kind() != kind {
		r.err = fmt.Errorf("%v stands where %v should", t.Kind(), kind)
	}
	return t
}

// more reports whether a member or an element comes before the closing mark.
func (r *tokens) more(closing jsontext.Kind) bool {
	return r.err == nil && r.decoder.PeekKind() != closing
}

// text returns the next string, until more is read.
func (r *tokens) text() []byte {
	quoted := r.value()
	if n := len(quoted) - 1; n > 0 && quoted[0] == '"' && bytes.IndexByte(quoted, '\\') < 0 {
		return quoted[1:n]
	}
	if r.err == nil {
		r.name, r.err = jsontext.AppendUnquote(r.name[:0], quoted)
	}
	if r.err != nil {
		return nil
	}
	return r.name
}

func (r *tokens) number() float64 {
	if t := r.take('0'); r.err == nil {
		return t.Float()
	}
	return 0
}

// members goes through an object: what is done with a name must read its value.
func (r *tokens) members(yield func(name []byte) bool) {
	r.take('{')
	for r.more('}') {
		if name := r.text(); r.err != nil || !yield(name) {
			return
		}
	}
	r.take('}')
}

// elements goes through an array: each must be read.
func (r *tokens) elements(yield func() bool) {
	r.take('[')
	for r.more(']') {
		if !yield() {
			return
		}
	}
	r.take(']')
}

// polygon reads the rings of a polygon, positions of two numbers each.
func (r *tokens) polygon() {
	for range r.elements {
		for range r.elements {
			r.position()
		}
		r.ends = append(r.ends, len(r.flat))
	}
}

// position reads the two numbers of a position.
func (r *tokens) position() {
	text := r.value()
	if r.err != nil {
		return
	}
	before, after, _ := bytes.Cut(text[1:max(1, len(text)-1)], []byte(","))
	x, isX := parsed(before)
	y, isY := parsed(after)
	if text[0] != '[' || !isX || !isY {
		r.err = fmt.Errorf("%s stands where a position of two numbers should", text)
	}
	r.flat = append(r.flat, x, y)
}

// rings returns the rings that were read, until more is read.
func (r *tokens) rings() [][]float64 {
	r.views = r.views[:0]
	from := 0
	for _, end := range r.ends {
		r.views = append(r.views, r.flat[from:end])
		from = end
	}
	return r.views
}
