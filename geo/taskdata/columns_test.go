package taskdata

import "testing"

// A value that is logged of one element counts for the rate of another where that is below it, or
// above it and the only one; with one rate in the log the only value counts, wherever it is. By the
// example's device: element 1 is the whole machine, 2 a boom of it, 3 and 4 lie below the boom.
func TestWhichColumnCounts(t *testing.T) {
	set, _, err := Decode(Files{Main: []byte(finished)})
	if err != nil {
		t.Fatal(err)
	}
	const rate, other, width = actualMassPerArea, actualVolumePerArea, actualWorkingWidth
	for i, c := range []struct {
		columns []logColumn
		element string
		want    int
	}{
		{[]logColumn{{rate, "DET-3"}, {width, "DET-3"}}, "DET-3", 1},
		{[]logColumn{{rate, "DET-3"}, {width, "DET-2"}}, "DET-3", 1},
		{[]logColumn{{rate, "DET-3"}, {width, "DET-2"}, {width, "DET-3"}}, "DET-3", 2},
		{[]logColumn{{rate, "DET-2"}, {width, "DET-3"}}, "DET-2", 1},
		{[]logColumn{{rate, "DET-2"}, {other, "DET-4"}, {width, "DET-3"}}, "DET-2", 2},
		{[]logColumn{{rate, "DET-2"}, {other, "DET-2"}, {width, "DET-3"}, {width, "DET-4"}}, "DET-2", -1},
		{[]logColumn{{rate, "DET-3"}, {width, "DET-4"}}, "DET-3", 1},
		{[]logColumn{{rate, "DET-3"}, {other, "DET-4"}, {width, "DET-4"}}, "DET-3", -1},
		{[]logColumn{{rate, "DET-3"}, {width, "DET-4"}, {width, "DET-9"}}, "DET-3", -1},
		{[]logColumn{{rate, "DET-3"}}, "DET-3", -1},
	} {
		b := &reading{set: set, log: &timeLog{Columns: c.columns}, element: c.element}
		if got := b.column(width); got != c.want {
			t.Errorf("case %d: %d, want %d", i, got, c.want)
		}
	}
	for i, c := range []struct {
		allocated []allocation
		element   string
		want      string
	}{
		{[]allocation{{"PDT1", "DET-3"}, {"PDT2", "DET-2"}}, "DET-3", "Dry"}, {[]allocation{{"PDT1", "DET-3"}, {"PDT2", "DET-2"}}, "DET-4", "Mix"},
		{[]allocation{{"PDT2", ""}}, "DET-3", "Mix"}, {[]allocation{{"PDT2", ""}, {"PDT1", ""}}, "DET-3", ""}, {[]allocation{{"PDT9", ""}}, "DET-3", ""},
		{[]allocation{{"PDT2", "DET-4"}}, "DET-3", ""}, {nil, "DET-3", ""},
	} {
		b := &reading{set: set, task: &Task{Allocated: c.allocated}, element: c.element}
		if got := b.product(); got != c.want {
			t.Errorf("product %d: %q, want %q", i, got, c.want)
		}
	}
}
