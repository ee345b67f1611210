package main

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// damage changes bytes of a file: damage FILE OP ARGS...
//
//	truncate N             keeps the first N bytes, or leaves out the last -N
//	flip N                 changes byte N; a negative one counts from the end
//	put N HEX              overwrites bytes from byte N on
//	replace OLD NEW        replaces a text, which must be there, once
//	cell RECORD FIELD TEXT overwrites a cell of a .dbf
//	delete RECORD          marks a row of a .dbf as deleted
//	type FIELD LETTER      declares another type for a field of a .dbf
//	point RECORD N X Y     overwrites a point of a record of a .shp
//	encrypt                sets the flag of encryption on every entry of a .zip
//
// Records, as people count them, start from 1; bytes and points from 0.
func damage(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: damage FILE OP ARGS...")
	}
	path := ts.MkAbs(args[0])
	data, err := os.ReadFile(path)
	ts.Check(err)
	op, known := damages[args[1]]
	if !known || len(args)-2 != op.args {
		ts.Fatalf("damage %s takes %d arguments", args[1], op.args)
	}
	changed, err := op.do(slices.Clone(data), args[2:])
	ts.Check(err)
	if bytes.Equal(data, changed) {
		ts.Fatalf("damage changes nothing")
	}
	ts.Check(os.WriteFile(path, changed, 0o666))
}

type damageOp struct {
	args int
	do   func(data []byte, args []string) ([]byte, error)
}

var damages = map[string]damageOp{
	"truncate": {1, truncate},
	"flip":     {1, flip},
	"put":      {2, put},
	"replace":  {2, replace},
	"cell":     {3, cell},
	"delete":   {1, deleteRow},
	"type":     {2, declare},
	"point":    {4, point},
	"encrypt":  {0, encrypt},
}

// offset reads a place in the data; a negative one counts from the end.
func offset(data []byte, text string) (int, error) {
	n, err := strconv.Atoi(text)
	if n < 0 {
		n += len(data)
	}
	if err == nil && (n < 0 || n >= len(data)) {
		err = fmt.Errorf("byte %s of %d", text, len(data))
	}
	return n, err
}

func truncate(data []byte, args []string) ([]byte, error) {
	n, err := offset(data, args[0])
	if err != nil {
		return nil, err
	}
	return data[:n], nil
}

func flip(data []byte, args []string) ([]byte, error) {
	n, err := offset(data, args[0])
	if err != nil {
		return nil, err
	}
	data[n] ^= 0xff
	return data, nil
}

func put(data []byte, args []string) ([]byte, error) {
	n, err := offset(data, args[0])
	if err != nil {
		return nil, err
	}
	value, err := hex.DecodeString(args[1])
	copy(data[n:], value)
	return data, err
}

func replace(data []byte, args []string) ([]byte, error) {
	if n := strings.Count(string(data), args[0]); n != 1 {
		return nil, fmt.Errorf("%q stands there %d times", args[0], n)
	}
	return []byte(strings.Replace(string(data), args[0], args[1], 1)), nil
}

// dbfField returns where the descriptor of a field stands, and where its cells
// stand in a row. Descriptors of 32 bytes follow a header of 32: name at 0, type
// at 11, width at 16; a row begins with its deletion flag (dBASE III).
func dbfField(data []byte, name string) (descriptor, at, width int, err error) {
	at = 1
	for descriptor = 32; data[descriptor] != '\r'; descriptor += 32 {
		width = int(data[descriptor+16])
		if strings.TrimRight(string(data[descriptor:descriptor+11]), "\x00") == name {
			return descriptor, at, width, nil
		}
		at += width
	}
	return 0, 0, 0, fmt.Errorf("there is no field %s", name)
}

func dbfRow(data []byte, record string) (int, error) {
	n, err := strconv.Atoi(record)
	head, size := int(binary.LittleEndian.Uint16(data[8:])), int(binary.LittleEndian.Uint16(data[10:]))
	return head + (n-1)*size, err
}

func cell(data []byte, args []string) ([]byte, error) {
	row, err := dbfRow(data, args[0])
	if err != nil {
		return nil, err
	}
	_, at, width, err := dbfField(data, args[1])
	if err != nil {
		return nil, err
	}
	if len(args[2]) > width {
		return nil, fmt.Errorf("%q is wider than the field, %d", args[2], width)
	}
	copy(data[row+at:], fmt.Sprintf("%*s", width, args[2]))
	return data, nil
}

func deleteRow(data []byte, args []string) ([]byte, error) {
	row, err := dbfRow(data, args[0])
	if err == nil {
		data[row] = '*'
	}
	return data, err
}

func declare(data []byte, args []string) ([]byte, error) {
	descriptor, _, _, err := dbfField(data, args[0])
	if err == nil {
		data[descriptor+11] = args[1][0]
	}
	return data, err
}

// point overwrites a point: behind a header of 100 bytes, records have one of 8
// with their length in words at 4; counts of parts and points stand at 36 and 40
// of a polygon, parts at 44, then the points (ESRI Shapefile Technical Description,
// July 1998).
func point(data []byte, args []string) ([]byte, error) {
	record, err := strconv.Atoi(args[0])
	if err != nil {
		return nil, err
	}
	at := 100
	for range record - 1 {
		at += 8 + 2*int(binary.BigEndian.Uint32(data[at+4:]))
	}
	at += 8
	n, err := strconv.Atoi(args[1])
	if err != nil {
		return nil, err
	}
	at += 44 + 4*int(binary.LittleEndian.Uint32(data[at+36:])) + 16*n
	for i, text := range args[2:] {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil {
			return nil, err
		}
		binary.LittleEndian.PutUint64(data[at+8*i:], math.Float64bits(v))
	}
	return data, nil
}

// encrypt sets bit 0 of the flags, which stand at byte 6 of a local header and at
// byte 8 of a central one (APPNOTE.TXT 4.4.4).
func encrypt(data []byte, _ []string) ([]byte, error) {
	for i := range len(data) - 10 {
		switch {
		case bytes.HasPrefix(data[i:], []byte("PK\x03\x04")):
			data[i+6] |= 1
		case bytes.HasPrefix(data[i:], []byte("PK\x01\x02")):
			data[i+8] |= 1
		}
	}
	return data, nil
}

// entry is a file of an archive.
type entry struct {
	name string
	data []byte
}

// writeArchive writes a zip archive: archive FILE ENTRY..., where an entry is a
// file, NAME=FILE, or NAME=zeros:N for N zero bytes.
func writeArchive(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: archive FILE ENTRY...")
	}
	var entries []entry
	for _, arg := range args[1:] {
		name, from, ok := strings.Cut(arg, "=")
		if !ok {
			from = name
		}
		if count, zeros := strings.CutPrefix(from, "zeros:"); zeros {
			n, err := strconv.Atoi(count)
			ts.Check(err)
			entries = append(entries, entry{name, make([]byte, n)})
			continue
		}
		data, err := os.ReadFile(ts.MkAbs(from))
		ts.Check(err)
		entries = append(entries, entry{name, data})
	}
	data, err := zipped(entries)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), data, 0o666))
}

func zipped(entries []entry) ([]byte, error) {
	var buf bytes.Buffer
	z := zip.NewWriter(&buf)
	for _, e := range entries {
		w, err := z.Create(e.name)
		if err != nil {
			return nil, err
		}
		if _, err := w.Write(e.data); err != nil {
			return nil, err
		}
	}
	err := z.Close()
	return buf.Bytes(), err
}
