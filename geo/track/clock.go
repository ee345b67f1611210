package track

import (
	"math"

	"github.com/paulmach/orb"

	"rxsplit/internal/samebits"
)

// A clock that was set back falls by more than a minute while the machine drives on. More falls
// than a few are rows out of order.
const (
	setBack   = 60 // s
	mostFalls = 10
)

// GoOn has the times of a log go on where its clock was set back, as a terminal does that loses
// its zone or its date, and counts how often in SetBack. Rows that were put out of order are left
// as they are: those go on elsewhere, or are there twice.
func (l *Log) GoOn() {
	var falls []int
	last := map[int32]int{}
	for i := range l.Rows {
		r := &l.Rows[i]
		if k, seen := last[r.Machine]; seen && r.Time < l.Rows[k].Time-setBack {
			if falls = append(falls, i); len(falls) > mostFalls {
				return
			}
		}
		last[r.Machine] = i
	}
	for _, i := range falls {
		l.goOn(i)
	}
}

// goOn moves the times of a machine from a row on, if the machine is where it was before.
func (l *Log) goOn(i int) {
	rows, machine := l.Rows, l.Rows[i].Machine
	var near []int // up to two rows of the machine before it, then one behind
	for k := i - 1; k >= 0 && len(near) < 2; k-- {
		if rows[k].Machine == machine {
			near = append(near, k)
		}
	}
	behind := i + 1
	for behind < len(rows) && rows[behind].Machine != machine {
		behind++
	}
	if len(near) < 2 || behind == len(rows) {
		return
	}
	way, usual := Meters(rows[near[0]].At, rows[i].At), max(Meters(rows[near[1]].At, rows[near[0]].At), Meters(rows[i].At, rows[behind].At))
	step := rows[behind].Time - rows[i].Time
	if way > 2*usual+5 || !(step > 0 && step <= setBack) {
		return
	}
	for k := range rows[:i] {
		if rows[k].At == rows[i].At && rows[k].Time == rows[i].Time {
			return // of a part that is there twice
		}
	}
	shift := rows[near[0]].Time + step - rows[i].Time
	for k := i; k < len(rows); k++ {
		if rows[k].Machine == machine {
			rows[k].Time += shift
		}
	}
	l.SetBack++
}

// Meters returns nearly how far two places are apart.
func Meters(a, b orb.Point) float64 {
	return samebits.Hypot((b[0]-a[0])*samebits.Cos(a[1]*math.Pi/180), b[1]-a[1]) * 111_200
}
