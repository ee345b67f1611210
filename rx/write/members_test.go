package write

import "testing"

// What one of two manifests alone has is a difference, on whichever side it stands.
func TestMembersOfOneSide(t *testing.T) {
	for _, c := range []struct{ got, want, first string }{
		{`{"a":{"x":1}}`, `{"a":{"x":1}}`, ""},
		{`{"a":{}}`, `{"a":{"x":1}}`, "a.x"},
		{`{"a":{"x":1,"y":2}}`, `{"a":{"x":1}}`, "a.y"},
		{`{"a":{"b":[{}]}}`, `{"a":{"b":[{"z":null,"c":""}]}}`, "a.b[0].c"},
	} {
		what := difference("a", membersOf([]byte(c.got))["a"], membersOf([]byte(c.want))["a"])
		if len(what) < len(c.first) || what[:len(c.first)] != c.first || c.first == "" && what != "" {
			t.Errorf("%s and %s: %q, want %q first", c.got, c.want, what, c.first)
		}
	}
	if all := both(membersOf([]byte(`{"a":1}`)), membersOf([]byte(`{"b":2}`))); len(all) != 2 {
		t.Errorf("both have %v", all)
	}
}
