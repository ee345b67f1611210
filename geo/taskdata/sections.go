package taskdata

import "rxsplit/geo/track"

// perEntry is how many sections one entry of the dictionary holds.
const perEntry = 16

// openness tells which sections of a machine are open.
type openness struct {
	state   int   // column of the work state; -1 for none
	columns []int // of the entries for sections, from the left; -1 where one is missing
	count   int   // of sections that the machine has; 0 for none
	joined  int   // how many of them a bit of a row stands for
}

// openness looks which columns say it, and how many sections there are.
func (b *reading) openness() openness {
	o := openness{state: b.column(actualWorkState), joined: 1}
	for ddi := actualSections; ddi <= lastSections; ddi++ {
		o.columns = append(o.columns, b.column(ddi))
	}
	for i := range b.log.Records {
		r := &b.log.Records[i]
		for k, c := range o.columns {
			if c < 0 || !r.Known[c] {
				continue
			}
			for s := range perEntry {
				if section(r.Values[c], s) != missing {
					o.count = max(o.count, k*perEntry+s+1)
				}
			}
		}
	}
	for o.count > o.joined*track.MaxSections {
		o.joined++
	}
	return o
}

// What two bits say of a section.
const (
	opened  = 1
	missing = 3
)

func section(word int32, s int) uint32 { return uint32(word) >> (2 * s) & 3 }

// widths are equal shares of a machine's width; nil without sections.
func (o openness) widths() (list []float64) {
	for from := 0; from < o.count; from += o.joined {
		list = append(list, float64(min(o.joined, o.count-from)))
	}
	return list
}

// of returns the open sections of a record as a row has them: none while the machine is
// off, or has not yet said that it is on.
func (o openness) of(r *Record) (open uint64) {
	if o.state >= 0 && !(r.Known[o.state] && r.Values[o.state] == opened) {
		return 0
	}
	if o.count == 0 {
		return 1
	}
	for k, c := range o.columns {
		if c < 0 || !r.Known[c] {
			continue
		}
		for s := range perEntry {
			if section(r.Values[c], s) == opened {
				open |= 1 << ((k*perEntry + s) / o.joined)
			}
		}
	}
	return open
}
