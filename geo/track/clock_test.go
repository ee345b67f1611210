package track

import (
	"testing"

	"github.com/paulmach/orb"
)

// drive logs rows 4 m apart, a second apart, to the north of a place.
func drive(l *Log, south, from float64, rows int) {
	for i := range rows {
		r := NewRow(orb.Point{-93, south + 4*float64(i)/111_200}, int32(len(l.Rows)))
		r.Time = from + float64(i)
		l.Rows = append(l.Rows, r)
	}
}

// A clock that was set back while the machine drives on goes on; rows that go on elsewhere, or are
// there twice, or are many, are left to be sorted.
func TestClockThatIsSetBack(t *testing.T) {
	const step = 4 / 111_200.0
	for _, c := range []struct {
		name string
		rows func(l *Log)
		want int
	}{
		{"in order", func(l *Log) { drive(l, 42, 1000, 50) }, 0},
		{"set back", func(l *Log) { drive(l, 42, 10_000, 50); drive(l, 42+50*step, 6450, 50) }, 1},
		{"set back twice", func(l *Log) {
			drive(l, 42, 10_000, 50)
			drive(l, 42+50*step, 6450, 50)
			drive(l, 42+100*step, 3000, 50)
		}, 2},
		{"by seconds", func(l *Log) { drive(l, 42, 10_000, 50); drive(l, 42+50*step, 9995, 50) }, 0},
		{"another part of the field", func(l *Log) { drive(l, 42, 10_000, 50); drive(l, 42.01, 6450, 50) }, 0},
		{"there twice", func(l *Log) {
			for range 2 {
				drive(l, 42, 10_000, 50)
				drive(l, 42+50*step, 10_090, 1) // stands beside where it began
				l.Rows[len(l.Rows)-1].At = orb.Point{-93, 42 - step}
			}
		}, 0},
		{"out of order", func(l *Log) {
			for i := range 20 {
				drive(l, 42+float64(5*i)*step, 10_000-100*float64(i), 5)
			}
		}, 0},
	} {
		l := &Log{}
		c.rows(l)
		times := make([]float64, len(l.Rows))
		for i := range l.Rows {
			times[i] = l.Rows[i].Time
		}
		l.GoOn()
		if l.SetBack != c.want {
			t.Errorf("%s: set back %d times, want %d", c.name, l.SetBack, c.want)
		}
		for i := 1; i < len(l.Rows); i++ {
			if c.want > 0 && l.Rows[i].Time != l.Rows[i-1].Time+1 {
				t.Errorf("%s: row %d is at %v, after %v", c.name, i, l.Rows[i].Time, l.Rows[i-1].Time)
			}
			if c.want == 0 && l.Rows[i].Time != times[i] {
				t.Errorf("%s: row %d was moved", c.name, i)
			}
		}
	}
}
