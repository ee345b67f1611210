package track

import (
	"testing"

	"github.com/paulmach/orb"
)

// A clock that is set back on the way goes on, also where two machines share a log: each by its own
// rows, and nothing of the other is moved. A machine that is elsewhere then, that has no rows around
// it or stands for long, is left as it is.
func TestClocksOfTwoMachinesGoOn(t *testing.T) {
	const step = 0.00003 // degrees: 3.3 m
	log := func(change func(rows []Row) []Row) *Log {
		var rows []Row
		for i := range 20 {
			for m := range int32(2) {
				r := NewRow(orb.Point{-93 + 0.01*float64(m), 42 + step*float64(i)}, int32(len(rows)))
				r.Time, r.Machine = 10_000+float64(i), m
				if m == 0 && i >= 10 {
					r.Time -= 3600
				}
				rows = append(rows, r)
			}
		}
		return &Log{Rows: change(rows)}
	}
	for name, c := range map[string]struct {
		change func(rows []Row) []Row
		want   int
	}{
		"on the way": {func(rows []Row) []Row { return rows }, 1},
		"elsewhere": {func(rows []Row) []Row {
			for i := 20; i < len(rows); i += 2 {
				rows[i].At[1] += 20 * step
			}
			return rows
		}, 0},
		"by a minute":   {func(rows []Row) []Row { return back(rows, 3600-setBack+1) }, 0},
		"by a bit more": {func(rows []Row) []Row { return back(rows, 3600-setBack-2) }, 1},
		"at its end":    {func(rows []Row) []Row { return rows[:21] }, 0},
		"near its end":  {func(rows []Row) []Row { return rows[:23] }, 1},
		"at its begin":  {func(rows []Row) []Row { return append([]Row{rows[18]}, rows[20:]...) }, 0},
		"two before it": {func(rows []Row) []Row { return append([]Row{rows[16], rows[18]}, rows[20:]...) }, 1},
		"stood for long": {func(rows []Row) []Row {
			for i := 22; i < len(rows); i += 2 {
				rows[i].Time += 100
			}
			return rows
		}, 0},
		"there twice": {func(rows []Row) []Row { rows[4].At, rows[4].Time = rows[20].At, rows[20].Time; return rows }, 0},
	} {
		l := log(c.change)
		var other []float64
		for _, r := range l.Rows {
			if r.Machine == 1 {
				other = append(other, r.Time)
			}
		}
		l.GoOn()
		if l.SetBack != c.want {
			t.Errorf("%s: %d, want %d", name, l.SetBack, c.want)
		}
		for _, r := range l.Rows {
			if r.Machine == 1 {
				if r.Time != other[0] {
					t.Errorf("%s: the other machine is moved to %v", name, r.Time)
				}
				other = other[1:]
			}
		}
		if name == "on the way" {
			for i := range 20 {
				if got := l.Rows[2*i].Time; got != 10_000+float64(i) {
					t.Errorf("row %d is at %v", i, got)
				}
			}
		}
	}
}

func back(rows []Row, by float64) []Row {
	for i := range rows {
		if rows[i].Machine == 0 && i >= 20 {
			rows[i].Time += by
		}
	}
	return rows
}

// A row's own width counts before the log's, and that before the sum of its sections; a width that
// is stated as 0 or less is none.
func TestWidths(t *testing.T) {
	row := NewRow(orb.Point{}, 0)
	for i, c := range []struct {
		own, log float64
		sections []float64
		want     float64
	}{{0, 20, nil, 0}, {-1, 20, nil, 0}, {12, 20, []float64{3, 4}, 12}, {nan(), 20, []float64{3, 4}, 20}, {nan(), 0, []float64{3, 4}, 7}, {nan(), -2, []float64{3, 4}, 5}, {0, 0, []float64{3, 4}, 0}, {nan(), 0, nil, 0}} {
		row.Width = c.own
		if got := (&Log{Width: c.log, Sections: c.sections}).WidthAt(&row); got != c.want {
			t.Errorf("case %d: %v, want %v", i, got, c.want)
		}
	}
}

func nan() float64 { r := NewRow(orb.Point{}, 0); return r.Width }
