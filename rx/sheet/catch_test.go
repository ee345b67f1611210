package sheet_test

import (
	"slices"
	"testing"

	"rxsplit/rx"
)

// Without a boom the courses of a catch test are a table, figures to the right. S: Ohio State
// University Extension, Bulletin 817: 204 ft of nozzles 20 in apart, 136 of 30 in, 102 of 40 in.
func TestCoursesOfACatchTest(t *testing.T) {
	sheets, _ := made(t, fourZones(t), termsOf(t, bareLabel, ""), rx.WetBoom)
	s := section(t, oneOf(t, sheets, rx.BoomSheet), "Catch test")
	for spacing, want := range map[string]string{"20 in": "204 ft", "30 in": "136 ft", "40 in": "102 ft"} {
		if got := cell(t, s, spacing, "course"); got != want {
			t.Errorf("nozzles %s apart: %s, want %s", spacing, got, want)
		}
	}
	if slices.Contains(s.Tables[0].Left, true) || len(s.Tables[0].Left) != len(s.Tables[0].Head) {
		t.Errorf("columns of figures stand to the left: %v", s.Tables[0].Left)
	}
}
