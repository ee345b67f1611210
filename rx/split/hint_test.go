package split_test

import (
	"errors"
	"testing"

	"rxsplit/rx"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// What to do where a way is refused: leave zones off if that makes it possible, and not where they are
// left off already or it doesn't; where a season has no room in zones, that comes first.
func TestWhatToDoAboutARefusal(t *testing.T) {
	const see, off = "see the ways that are possible with: rxsplit check", "allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them"
	const full = "the season has no room in some of the zones: --leave-off lets these stay untreated, by wet boom"
	for _, c := range []struct {
		name, label string
		way         rx.WayName
		leave       bool
		full        []int
		want        string
	}{
		{"one load", "", rx.OneLoad, false, nil, off},
		{"one load, zones left off", rxtest.HowTo, rx.OneLoad, true, nil, ""},
		{"nothing that a ton takes up", "max-liquid: 0.1 gal/ton\n", rx.OneLoad, false, nil, see},
		{"likewise, zones left off", "max-liquid: 0.1 gal/ton\n", rx.OneLoad, true, nil, see},
		{"a full season", "max-liquid: 0.1 gal/ton\n", rx.OneLoad, false, []int{1}, full},
		{"a full season, zones left off", "max-liquid: 0.1 gal/ton\n", rx.OneLoad, true, []int{1}, see},
	} {
		p, a := fourZones(t, c.label)
		a.Terms.LeaveOff, a.Terms.NoRoom = c.leave, c.full
		_, err := split.For(p, a, nil).Plan(c.way)
		got := ""
		var no *split.Refusal
		if errors.As(err, &no) {
			got = no.Hint
		}
		if got != c.want {
			t.Errorf("%s: %v: %q, want %q", c.name, err, got, c.want)
		}
	}
}
