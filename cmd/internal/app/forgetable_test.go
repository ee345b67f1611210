package app_test

import (
	"bytes"
	"encoding/binary"
)

// dbfForgeries change the table of a shapefile.
func dbfForgeries() []forgery {
	return []forgery{
		{"a rate of a shapefile changed", "*.dbf", "is \".*\", want", func(f *folder) bool { return f.table(func(d *dbf) { d.cell(0, 0)[d.width(0)-1] ^= 1 }) }},
		{"rates typed as text", "*.dbf", "the list of columns|field", func(f *folder) bool { return f.table(func(d *dbf) { d.field(0)[11] = 'C' }) }},
		{"rates with other decimals", "*.dbf", "decimals; want", func(f *folder) bool { return f.table(func(d *dbf) { d.field(0)[17]++ }) }},
		{"reserved bytes of a column", "*.dbf", "the list of columns", func(f *folder) bool { return f.table(func(d *dbf) { d.field(0)[20] = 1 }) }},
		{"a column renamed", "*.dbf", "has no field", func(f *folder) bool { return f.table(func(d *dbf) { d.field(0)[0] = 'Q' }) }},
		{"a column added", "*.dbf", "header", func(f *folder) bool { return f.table(func(d *dbf) { d.add("SPARE", '7') }) }},
		{"a column doubled", "*.dbf", "header|field|can't be read", func(f *folder) bool { return f.table(func(d *dbf) { d.add(d.name(0), '7') }) }},
		{"the date of the table", "*.dbf", "header", func(f *folder) bool { return f.table(func(d *dbf) { d.data[1]++ }) }},
		{"the language of the table", "*.dbf", "header", func(f *folder) bool { return f.table(func(d *dbf) { d.data[29] = 0x57 }) }},
		{"a row marked as deleted", "*.dbf", "record|row|want|can't be read", func(f *folder) bool { return f.table(func(d *dbf) { d.row(0)[0] = '*' }) }},
		{"bytes after the table's end", "*.dbf", "has .* bytes, want", func(f *folder) bool { return f.table(func(d *dbf) { d.data = append(d.data, "hidden"...) }) }},
		{"a table without its end", "*.dbf", "has .* bytes, want", func(f *folder) bool { return f.table(func(d *dbf) { d.data = d.data[:len(d.data)-1] }) }},
		{"a number spelled otherwise", "*.dbf", "zone 1: .*want|record 1", func(f *folder) bool {
			return f.table(func(d *dbf) {
				if cell := d.cell(0, 0); cell[0] == ' ' {
					cell[0] = '0'
				} else {
					copy(cell, append(bytes.TrimRight(cell[1:], " "), ' '))
				}
			})
		}},
		{"the cells of two rows exchanged", "dry.dbf", "zone 1: ", func(f *folder) bool {
			if _, ok := f.sums()["dry.dbf"]; !ok {
				return false
			}
			f.layer = "dry"
			return f.table(func(d *dbf) {
				kept := bytes.Clone(d.row(0))
				copy(d.row(0), d.row(1))
				copy(d.row(1), kept)
			})
		}},
		{"two columns exchanged by name", "*.dbf", "is \".*\", want|list of columns", func(f *folder) bool {
			return f.table(func(d *dbf) {
				kept := bytes.Clone(d.field(0)[:11])
				copy(d.field(0)[:11], d.field(1)[:11])
				copy(d.field(1)[:11], kept)
			})
		}},
		{"a last row added to the count", "*.dbf", "header|cut short", func(f *folder) bool { return f.table(func(d *dbf) { d.data[4]++ }) }},
	}
}

// dbf is a table whose parts can be changed.
type dbf struct{ data []byte }

// table changes the layer's table.
func (f *folder) table(change func(d *dbf)) bool {
	d := &dbf{f.bytes(f.layer + ".dbf")}
	change(d)
	return f.put(f.layer+".dbf", d.data)
}

func (d *dbf) first() int           { return int(binary.LittleEndian.Uint16(d.data[8:])) }
func (d *dbf) each() int            { return int(binary.LittleEndian.Uint16(d.data[10:])) }
func (d *dbf) field(i int) []byte   { return d.data[32+32*i : 64+32*i] }
func (d *dbf) width(i int) int      { return int(d.field(i)[16]) }
func (d *dbf) row(i int) []byte     { return d.data[d.first()+i*d.each():][:d.each()] }
func (d *dbf) name(i int) string    { return string(bytes.TrimRight(d.field(i)[:11], "\x00")) }
func (d *dbf) cell(r, i int) []byte { return d.row(r)[1+d.offset(i):][:d.width(i)] }

func (d *dbf) offset(i int) (at int) {
	for k := range i {
		at += d.width(k)
	}
	return at
}

// add appends a column of one digit.
func (d *dbf) add(name string, digit byte) {
	column := make([]byte, 32)
	copy(column, name)
	column[11], column[16] = 'N', 1
	var out bytes.Buffer
	out.Write(d.data[:d.first()-1])
	out.Write(column)
	out.WriteByte(0x0d)
	for i := range int(binary.LittleEndian.Uint32(d.data[4:])) {
		out.Write(d.row(i))
		out.WriteByte(digit)
	}
	out.WriteByte(0x1a)
	first, each := d.first()+32, d.each()+1
	d.data = out.Bytes()
	binary.LittleEndian.PutUint16(d.data[8:], uint16(first))
	binary.LittleEndian.PutUint16(d.data[10:], uint16(each))
}
