package crs

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// node is one KEYWORD[value, value, ...] of well-known text.
type node struct {
	keyword string // in upper case
	values  []value
}

// value is a quoted string, a number, a bare word or a node.
type value struct {
	kind   valueKind
	text   string
	number float64
	node   *node
}

type valueKind uint8

const (
	stringValue valueKind = iota
	numberValue
	wordValue
	nodeValue
)

// maxDepth is how deep nodes may lie in each other; real texts stay below 8.
const maxDepth = 16

// maxWord is the longest keyword or bare word that is read, in bytes.
const maxWord = 40

// reader reads the nodes of one text.
type reader struct {
	text string
	at   int
}

// readNodes reads the nodes of a text, separated by commas: ESRI sets a vertical
// system behind the horizontal one.
func readNodes(text string) ([]*node, *RefusedError) {
	r := &reader{text: text}
	var nodes []*node
	for {
		v, err := r.value(0)
		if err != nil {
			return nil, err
		}
		if v.kind != nodeValue {
			return nil, r.bad("a keyword with brackets is missing")
		}
		nodes = append(nodes, v.node)
		switch r.next() {
		case 0:
			return nodes, nil
		case ',':
			r.at++
		default:
			return nil, r.bad("something stands behind the last bracket")
		}
	}
}

// next skips blanks and returns the next byte; 0 at the end.
func (r *reader) next() byte {
	for r.at < len(r.text) && strings.IndexByte(" \t\r\n", r.text[r.at]) >= 0 {
		r.at++
	}
	if r.at == len(r.text) {
		return 0
	}
	return r.text[r.at]
}

func (r *reader) bad(why string) *RefusedError {
	rest := r.text[r.at:]
	return refuse(badSyntax, fmt.Sprintf("byte %d: %s", r.at, quote(rest[:min(len(rest), 20)])), why)
}

func (r *reader) value(depth int) (value, *RefusedError) {
	switch c := r.next(); {
	case c == '"':
		return r.quoted()
	case '0' <= c && c <= '9', c == '-', c == '+', c == '.':
		return r.number()
	case letter(c):
		return r.word(depth)
	}
	return value{}, r.bad("a name, a number or a keyword is missing")
}

func letter(c byte) bool { return 'A' <= c && c <= 'Z' || 'a' <= c && c <= 'z' }

// quoted reads a string; two quotes inside stand for one.
func (r *reader) quoted() (value, *RefusedError) {
	var s strings.Builder
	for i := r.at + 1; i < len(r.text); i++ {
		if r.text[i] != '"' {
			s.WriteByte(r.text[i])
			continue
		}
		if i+1 < len(r.text) && r.text[i+1] == '"' {
			s.WriteByte('"')
			i++
			continue
		}
		r.at = i + 1
		return value{kind: stringValue, text: s.String()}, nil
	}
	return value{}, r.bad("the quote does not end")
}

func (r *reader) number() (value, *RefusedError) {
	end := r.at
	for end < len(r.text) && strings.IndexByte("0123456789+-.eE", r.text[end]) >= 0 {
		end++
	}
	digits := r.text[r.at:end]
	number, err := strconv.ParseFloat(digits, 64)
	if err != nil {
		return value{}, r.bad("not a number")
	}
	r.at = end
	return value{kind: numberValue, text: digits, number: number}, nil
}

// word reads a bare word, or a node if a bracket follows.
func (r *reader) word(depth int) (value, *RefusedError) {
	end := r.at
	for end < len(r.text) && (letter(r.text[end]) || r.text[end] == '_' || '0' <= r.text[end] && r.text[end] <= '9') {
		end++
	}
	if end-r.at > maxWord {
		return value{}, r.bad("a word too long")
	}
	word := strings.ToUpper(r.text[r.at:end])
	r.at = end
	open := r.next()
	if open != '[' && open != '(' {
		return value{kind: wordValue, text: word}, nil
	}
	if depth == maxDepth {
		return value{}, refuse(tooBig, word, "nested too deep for a coordinate system")
	}
	n := &node{keyword: word}
	for r.at++; ; r.at++ {
		v, err := r.value(depth + 1)
		if err != nil {
			return value{}, err
		}
		n.values = append(n.values, v)
		switch c := r.next(); {
		case c == ',':
		case open == '[' && c == ']', open == '(' && c == ')':
			r.at++
			return value{kind: nodeValue, node: n}, nil
		default:
			return value{}, r.bad("a comma or a closing bracket is missing")
		}
	}
}

// name returns the node's first value, which has to be a string.
func (n *node) name() (string, *RefusedError) {
	if n.values[0].kind != stringValue {
		return "", refuse(badSyntax, n.keyword, "its name is missing")
	}
	return n.values[0].text, nil
}

// number returns the value at an index, which has to be a number.
func (n *node) number(index int) (float64, *RefusedError) {
	if index >= len(n.values) || n.values[index].kind != numberValue {
		return 0, refuse(badSyntax, n.label(), "its number is missing")
	}
	return n.values[index].number, nil
}

// label is the node as an error names it.
func (n *node) label() string {
	if n.values[0].kind == stringValue {
		return n.keyword + " " + quote(n.values[0].text)
	}
	return n.keyword
}

// all returns the inner nodes with a keyword.
func (n *node) all(keyword string) []*node {
	var found []*node
	for _, v := range n.values {
		if v.kind == nodeValue && v.node.keyword == keyword {
			found = append(found, v.node)
		}
	}
	return found
}

// one returns the only inner node with a keyword.
func (n *node) one(keyword string) (*node, *RefusedError) {
	found := n.all(keyword)
	if len(found) != 1 {
		why := "its " + keyword + " is missing"
		if len(found) > 1 {
			why = "it has more than one " + keyword
		}
		return nil, refuse(badSyntax, n.label(), why)
	}
	return found[0], nil
}

// onlyParts refuses inner nodes other than those with the keywords, and values
// beyond the given number of plain ones: whatever is not understood could change
// what the text means. AUTHORITY and METADATA never do.
func (n *node) onlyParts(plain int, keywords ...string) *RefusedError {
	for i, v := range n.values {
		if v.kind != nodeValue {
			if i >= plain {
				return refuse(badSyntax, n.label(), "a value too many: "+quote(v.text))
			}
			continue
		}
		k := v.node.keyword
		if k != "AUTHORITY" && k != "METADATA" && !slices.Contains(keywords, k) {
			return refuse(unknownPart, n.keyword+": "+v.node.label(), "a part that is not understood here")
		}
	}
	return nil
}

// authority returns the EPSG code that the node carries; 0 if there is none.
func (n *node) authority() int {
	for _, a := range n.all("AUTHORITY") {
		if len(a.values) != 2 || fold(a.values[0].text) != "epsg" {
			continue
		}
		code := 0
		for _, c := range []byte(a.values[1].text) {
			if c < '0' || c > '9' || code > 1e6 {
				return 0
			}
			code = code*10 + int(c-'0')
		}
		return code
	}
	return 0
}
