package shapefile

import (
	"encoding/binary"
	"fmt"
	"unicode/utf8"

	"rxsplit/geo"
	"rxsplit/internal/cores"
)

// rowScan is what one pass over all rows found.
type rowScan struct {
	bad      badList
	deleted  []int
	kinds    []kindSet // of each column
	notASCII bool      // in some text cell
	notUTF8  []int     // records with a text cell that is no valid UTF-8

	starred map[int][]int // by column, the records whose number was wider than it
}

// kindSet is a set of [geo.Kind]: bit k for kind k.
type kindSet uint16

func (s kindSet) has(k geo.Kind) bool { return s&(1<<k) != 0 }

// scan looks at every row's flag and every cell's kind, on all cores.
func (t *table) scan() *rowScan {
	parts := cores.Map(t.count, cores.Block, func(from, to int) *rowScan {
		part := &rowScan{kinds: make([]kindSet, len(t.columns))}
		for i := from; i < to; i++ {
			part.row(t, i)
		}
		return part
	})
	all := &rowScan{kinds: make([]kindSet, len(t.columns))}
	for _, part := range parts {
		all.join(part)
	}
	return all
}

func (s *rowScan) join(other *rowScan) {
	s.bad.join(other.bad)
	s.deleted = append(s.deleted, other.deleted...)
	s.notASCII = s.notASCII || other.notASCII
	s.notUTF8 = append(s.notUTF8, other.notUTF8...)
	for f, k := range other.kinds {
		s.kinds[f] |= k
		if list := other.starred[f]; list != nil {
			if s.starred == nil {
				s.starred = map[int][]int{}
			}
			s.starred[f] = append(s.starred[f], list...)
		}
	}
}

func (s *rowScan) row(t *table, i int) {
	row := t.row(i)
	switch row[0] {
	case rowKept:
	case rowDeleted:
		s.deleted = append(s.deleted, i)
	default:
		s.bad.add(geo.BadRecord{Record: i, Value: string(row[:1]), Why: fmt.Sprintf("is no deletion flag (0x%02X): the rows don't begin where the header says", row[0])})
		return
	}
	if row[0] == rowDeleted {
		return
	}
	for f := range t.columns {
		c := &t.columns[f]
		if c.kind == 'C' && s.kinds[f].has(geo.Text) {
			continue // nothing to learn from another text
		}
		kind, _ := c.read(row)
		s.kinds[f] |= 1 << kind
		if kind == geo.Null && c.overflows(row) {
			if s.starred == nil {
				s.starred = map[int][]int{}
			}
			s.starred[f] = append(s.starred[f], i)
		}
	}
	if !isASCII(row) {
		s.encoding(t, i, row)
	}
}

func (s *rowScan) encoding(t *table, i int, row []byte) {
	for f := range t.columns {
		c := &t.columns[f]
		if kind, text := c.read(row); kind == geo.Text && !isASCII(text) {
			s.notASCII = true
			if !utf8.Valid(text) {
				s.notUTF8 = append(s.notUTF8, i)
				return
			}
		}
	}
}

// isASCII looks at eight bytes a step.
func isASCII(b []byte) bool {
	const high = 0x8080808080808080
	for ; len(b) >= 8; b = b[8:] {
		if binary.LittleEndian.Uint64(b)&high != 0 {
			return false
		}
	}
	for _, c := range b {
		if c >= utf8.RuneSelf {
			return false
		}
	}
	return true
}
