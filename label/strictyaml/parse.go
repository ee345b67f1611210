package strictyaml

import (
	"bytes"
	"errors"
	"fmt"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"
)

// maxSize is how many bytes a file may have. The files are written by hand; the
// parser's time grows with the square of a hostile one.
const maxSize = 32 << 10

// maxBrackets bounds how deep flow collections can nest.
const maxBrackets = 1000

// maxDashes bounds how deep lists can nest on one line, "- - - x": the parser's
// memory grows with the square of it. Lists that nest over lines are indented, so
// that maxSize bounds them.
const maxDashes = 20

// body returns the root of the file's one document.
func body(data []byte) (ast.Node, *Error) {
	if len(data) > maxSize {
		return nil, &Error{What: fmt.Sprintf("is longer than %d kB: this is not a file for this use", maxSize>>10)}
	}
	if bytes.Count(data, []byte("["))+bytes.Count(data, []byte("{")) > maxBrackets {
		return nil, &Error{What: "has too many brackets: this is not a file for this use"}
	}
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	if what := otherText(data); what != "" {
		return nil, &Error{What: what}
	}
	if line := dashedLine(data); line > 0 {
		return nil, &Error{Line: line, Column: 1, What: "has too many dashes: this is not a file for this use"}
	}
	file, err := guarded(func() (*ast.File, error) { return parser.ParseBytes(data, 0, parser.AllowDuplicateMapKey()) })
	if err != nil {
		return nil, syntaxError(err)
	}
	if len(file.Docs) > 1 {
		return nil, at(file.Docs[1].Body, "starts a second document: one file holds one")
	}
	if len(file.Docs) == 0 || file.Docs[0] == nil || file.Docs[0].Body == nil {
		return nil, &Error{What: "says nothing: it is empty, or every line begins with #"}
	}
	return file.Docs[0].Body, nil
}

// otherText says what a file is that people give for YAML by mistake: a text in UTF-16, or
// a table; empty if it is neither.
func otherText(data []byte) string {
	first, _, _ := bytes.Cut(bytes.TrimLeft(data, "\r\n"), []byte{'\n'})
	cells := bytes.Count(first, []byte{','}) + bytes.Count(first, []byte{';'}) + bytes.Count(first, []byte{'\t'})
	switch {
	case bytes.HasPrefix(data, []byte{0xff, 0xfe}), bytes.HasPrefix(data, []byte{0xfe, 0xff}), bytes.IndexByte(first, 0) >= 0:
		return "is text in UTF-16, not UTF-8: save it again as UTF-8"
	case cells > 0 && !bytes.ContainsAny(first, ":#{[-"):
		return "is a table (CSV), not YAML: want a line for each key, such as name: value"
	}
	return ""
}

// dashedLine returns the first line, from 1, that begins with more than maxDashes
// marks of list elements; 0 if none does.
func dashedLine(data []byte) int {
	number := 0
	for line := range bytes.Lines(data) {
		number++
		for part := range bytes.SplitSeq(line, []byte{'\r'}) { // which ends lines too
			marks := 0
			for word := range bytes.FieldsSeq(part) {
				if string(word) == "-" || string(word) == "?" {
					marks++
				} else if word[0] != '!' && word[0] != '&' { // a tag or an anchor before the next
					break
				}
			}
			if marks > maxDashes {
				return number
			}
		}
	}
	return 0
}

// guarded turns a panic of the library, which its own fuzzing may yet find, into
// an error: what a file holds must not end the program.
func guarded(parse func() (*ast.File, error)) (file *ast.File, err error) {
	defer func() {
		if r := recover(); r != nil {
			file, err = nil, fmt.Errorf("is not YAML that can be read (%v)", r)
		}
	}()
	return parse()
}

func syntaxError(err error) *Error {
	var syntax *yaml.SyntaxError
	if !errors.As(err, &syntax) {
		return &Error{What: err.Error(), Err: err}
	}
	e := &Error{What: "is not YAML: " + syntax.Message, Err: err}
	if syntax.Token != nil && syntax.Token.Position != nil {
		e.Line, e.Column = syntax.Token.Position.Line, syntax.Token.Position.Column
	}
	return e
}

// at returns an error at the place of a node, which may be nil.
func at(n ast.Node, what string) *Error {
	e := &Error{What: what}
	if m, ok := n.(*ast.MappingNode); ok && !m.IsFlowStyle && len(m.Values) > 0 {
		n = m.Values[0].Key // the token of a block mapping is its first colon
	}
	if n != nil && n.GetToken() != nil && n.GetToken().Position != nil {
		e.Line, e.Column = n.GetToken().Position.Line, n.GetToken().Position.Column
	}
	return e
}
