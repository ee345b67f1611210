package geojson

import (
	"encoding/json"
	"testing"

	"pgregory.net/rapid"
)

func TestScanFindsTheEnd(t *testing.T) {
	for _, value := range []string{
		`{}`, `[]`, `""`, `{"a":{"b":[]}}`, `[[[1,2],[3]]]`, `"a\"b"`, `"\\"`, `"\\\\\""`, `{"a\\":"}"}`,
		`{"k":"\"}{"}`, `["]",[1],"[["]`, `12.5e3`, `true`, `null`, `"}]"`, `{"[":"]"}`, `{"a":[}`,
	} {
		for _, behind := range []string{",", "]", "}", " ", "\n", "\x1e"} {
			text := []byte(value + behind)
			for cut := 1; cut <= len(text); cut++ { // it goes on after a pause at any place
				var s scanner
				end, whole := s.scan(text[:cut], 0)
				if !whole {
					end, whole = s.scan(text, end)
				}
				if isWord := value[0] > '"' && value[0] < '[' || value[0] >= 'a' && value[0] < '{'; !isWord && cut < len(value) && whole && end < len(value) {
					t.Errorf("%s: ends at %d", text, end)
				}
				if !whole || end != len(value) {
					t.Errorf("%s after a pause at %d: ends at %d, %v; want %d", text, cut, end, whole, len(value))
				}
			}
		}
	}
}

// What encoding/json prints ends where the scanner says.
func TestScanAgreesWithEncodingJSON(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, err := json.Marshal(anyValue(t, 4))
		if err != nil {
			t.Skip(err)
		}
		var s scanner
		if end, _ := s.scan(append(text, ','), 0); end != len(text) {
			t.Errorf("%s: ends at %d of %d", text, end, len(text))
		}
	})
}

// anyValue draws a value that is nested up to depth times.
func anyValue(t *rapid.T, depth int) any {
	kinds := 5
	if depth == 0 {
		kinds = 3
	}
	switch rapid.IntRange(0, kinds-1).Draw(t, "kind") {
	case 0:
		return rapid.Float64().Draw(t, "number")
	case 1:
		return rapid.StringOf(rapid.SampledFrom([]rune(`ab"\{}[],:é😀`+"\n"))).Draw(t, "text")
	case 2:
		return nil
	case 3:
		var list []any
		for range rapid.IntRange(0, 3).Draw(t, "length") {
			list = append(list, anyValue(t, depth-1))
		}
		return list
	default:
		object := make(map[string]any)
		for range rapid.IntRange(0, 3).Draw(t, "members") {
			object[rapid.String().Draw(t, "name")] = anyValue(t, depth-1)
		}
		return object
	}
}
