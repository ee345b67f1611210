package rx_test

import (
	"strings"
	"testing"

	"rxsplit/rx"
)

func TestWhatIsSaidOfAnApproval(t *testing.T) {
	for text, ok := range map[string]bool{
		"A. Nobody (invented)": true, "Ö": true, "": false, "  ": false, "two\nlines": false, "\x1b[1m": false, "a\u202eb": false, "\xff": false,
		strings.Repeat("a", 400): true, strings.Repeat("a", 401): false,
	} {
		if err := (rx.Approval{By: text}).Check(); (err == nil) != ok {
			t.Errorf("by %q: %v", text, err)
		}
		if text == "" || text == "  " {
			continue
		}
		if err := (rx.Approval{By: "A", Note: text}).Check(); (err == nil) != ok {
			t.Errorf("note %q: %v", text, err)
		}
		if err := (rx.Approval{By: "A", License: text}).Check(); (err == nil) != ok {
			t.Errorf("license %q: %v", text, err)
		}
	}
}
