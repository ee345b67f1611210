package main

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
)

// inText are the operators for JSON and YAML.
var inText = slices.Concat(anyBytes, []func(mutator, []byte) []byte{
	swapDigit, swapDigit, swapDigit, swapDigit, swapToken, swapToken, swapToken, nestDeep, swapLines,
	func(m mutator, b []byte) []byte { // a place with a line of another
		lines := bytes.SplitAfter(b, []byte("\n"))
		return slices.Insert(b, m.IntN(len(b)), lines[m.IntN(len(lines))]...)
	},
})

var (
	tokens = regexp.MustCompile(`-?[0-9][0-9.eE+-]*|"[^"\n]*"|[A-Za-z_-]+|[\[\]{},:]`)
	values = []string{
		"null", "true", "NaN", "-Infinity", "1e999", "-1e999", "1e-999", "0", "-0", "-1", "1e308", "1e22", "4e-324", "01", "0x10", `""`, `"1"`, `"\ud800"`, `"\u0000"`,
		"[]", "{}", "[[]]", "[null]", "180.5", "-91", "~", "''", "*a", "&a b", "!!int 1", "| x", "- x", "<<: {}", "\x1b[31m", "\ufeff", "\u2028", "0 lb/ac", "-5 %", "100 %", "1e300 fl oz/ac", "1 L/ha",
	}
)

// swapDigit puts another digit, a point or a sign in the place of a digit: what the
// readers take, the rules have to cope with.
func swapDigit(m mutator, b []byte) []byte {
	from := m.IntN(len(b))
	if at := bytes.IndexAny(b[from:], "0123456789"); at >= 0 {
		b[from+at] = "01234567899999.-"[m.IntN(16)]
	}
	return b
}

// swapToken puts another value, many digits or another token of the text in the
// place of a token.
func swapToken(m mutator, b []byte) []byte {
	all := tokens.FindAllIndex(b, 2000)
	if len(all) == 0 {
		return b
	}
	at := all[m.IntN(len(all))]
	var with string
	switch m.IntN(4) {
	case 0:
		other := all[m.IntN(len(all))]
		with = string(b[other[0]:other[1]])
	case 1:
		with = strings.Repeat(string(rune('0'+m.IntN(10))), 1<<m.IntN(14))
		if m.IntN(2) == 0 {
			with = "0." + with + "e" + with[:min(len(with), 5)]
		}
	default:
		with = values[m.IntN(len(values))]
	}
	return slices.Replace(b, at[0], at[1], []byte(with)...)
}

// nestDeep opens brackets, and may close them again.
func nestDeep(m mutator, b []byte) []byte {
	open := []string{"[", "{\"a\":", "- ", "{a: ", "[[", "? ", "\n a:"}[m.IntN(7)]
	n := 1 << m.IntN(15)
	deep := strings.Repeat(open, n)
	if m.IntN(2) == 0 {
		deep += strings.Repeat(string(" ]} }] "[m.IntN(7)]), n)
	}
	return slices.Insert(b, m.IntN(len(b)), []byte(deep)...)
}

func swapLines(m mutator, b []byte) []byte {
	lines := bytes.SplitAfter(b, []byte("\n"))
	i, j := m.IntN(len(lines)), m.IntN(len(lines))
	lines[i], lines[j] = lines[j], lines[i]
	return bytes.Join(lines, nil)
}
