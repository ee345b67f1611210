package text

import (
	"strings"
	"testing"

	"rxsplit/geo"
	"rxsplit/rx"
	"rxsplit/rx/write"
)

// A plan that a second reader has read in part says so; one that it has read whole needs
// no word of it.
func TestVerifiedTextTellsHowFarIsReadTwice(t *testing.T) {
	for records, want := range map[int]string{50_000: "", 50_007: "read 50,000 of its 50,007 records as well"} {
		plan := &rx.Plan{Layers: []rx.Layer{{Product: rx.Liquid, Pieces: &geo.Shapes{ShapeEnds: make([]int32, records)}}}}
		m := &write.Manifest{Records: write.ReadTwice(nil, plan)}
		var out strings.Builder
		if err := Verified(&out, "plan", m, nil); err != nil {
			t.Fatal(err)
		}
		got := strings.Join(strings.Fields(out.String()), " ")
		if want == "" && strings.Contains(got, "decoders") || !strings.Contains(got, want) {
			t.Errorf("%d records: got %q, want %q", records, got, want)
		}
	}
}
