package main

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"slices"
)

// mutator makes damaged copies of files, the same ones from the same seed.
type mutator struct{ *rand.Rand }

func newMutator(seed, batch uint64) mutator { return mutator{rand.New(rand.NewPCG(seed, batch))} }

// damageOf changes a copy of the data by one of the operators, now and then by two
// or three.
func (m mutator) damageOf(data []byte, ops []func(mutator, []byte) []byte) []byte {
	data = slices.Clone(data)
	for range max(1, m.IntN(6)-2) {
		if len(data) == 0 {
			break
		}
		data = ops[m.IntN(len(ops))](m, data)
	}
	return data
}

// anyBytes are the operators that know nothing of a format.
var anyBytes = []func(mutator, []byte) []byte{
	func(m mutator, b []byte) []byte { b[m.IntN(len(b))] ^= 1 << m.IntN(8); return b },
	func(m mutator, b []byte) []byte { b[m.IntN(len(b))] = 0; return b },
	func(m mutator, b []byte) []byte { b[m.IntN(len(b))] = 0xff; return b },
	func(m mutator, b []byte) []byte { return b[:m.IntN(len(b))] },
	func(m mutator, b []byte) []byte { // a block twice
		from, to := m.block(b)
		return slices.Insert(b, to, slices.Clone(b[from:to])...)
	},
	func(m mutator, b []byte) []byte { // a block less
		from, to := m.block(b)
		return slices.Delete(b, from, to)
	},
	func(m mutator, b []byte) []byte { // two blocks in each other's place
		from, to := m.block(b)
		other := m.IntN(len(b))
		n := min(to-from, len(b)-other)
		moved := slices.Clone(b[from : from+n])
		copy(b[from:], slices.Clone(b[other:other+n]))
		copy(b[other:], moved)
		return b
	},
	func(m mutator, b []byte) []byte { return m.number(b, m.IntN(len(b))) },
	func(m mutator, b []byte) []byte { // behind the end
		return append(b, bytes.Repeat([]byte{byte(m.IntN(256))}, 1+m.IntN(300))...)
	},
}

// block returns a run of bytes, seldom a long one.
func (m mutator) block(b []byte) (from, to int) {
	from = m.IntN(len(b))
	return from, min(from+1<<m.IntN(12), len(b))
}

// counts are numbers that counts and lengths lie with.
var counts = []uint64{0, 1, 2, 3, 4, 7, 0x7f, 0x80, 0xff, 0x100, 0x7fff, 0x8000, 0xffff, 0x10000, 1 << 24, 1<<31 - 1, 1 << 31, 1<<32 - 7, 1<<32 - 1, 1 << 32, 1<<63 - 1, 1 << 63, math.MaxUint64}

// number overwrites bytes from a place on with a number of 2, 4 or 8 bytes of
// either order: one of [counts], or the one that is there, a little off.
func (m mutator) number(b []byte, at int) []byte {
	width := 2 << m.IntN(3)
	var order binary.ByteOrder = binary.LittleEndian
	if m.IntN(2) == 0 {
		order = binary.BigEndian
	}
	field := make([]byte, 8)
	v := counts[m.IntN(len(counts))]
	if m.IntN(4) == 0 {
		v = uint64(m.IntN(64))
	}
	switch width {
	case 2:
		order.PutUint16(field, uint16(v))
	case 4:
		order.PutUint32(field, uint32(v))
	case 8:
		order.PutUint64(field, v)
	}
	copy(b[at:], field[:width])
	return b
}
