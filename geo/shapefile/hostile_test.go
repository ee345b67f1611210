package shapefile

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
)

// hostileBase is three records: a square, a square with a hole, a null shape.
// Byte 100 begins record 1, byte 236 record 2, byte 456 record 3.
func hostileBase(t testing.TB) Files {
	s := &geo.Shapes{}
	s.Append(orb.MultiPolygon{{square(0, 0, 10)}})
	s.Append(orb.MultiPolygon{{square(20, 0, 10), reversed(square(22, 2, 3))}})
	s.Append(nil)
	return encoded(t, "zones", s, rates())
}

// clone copies the parts that tests change.
func (f Files) clone() Files {
	f.Shp, f.Shx, f.Dbf = bytes.Clone(f.Shp), bytes.Clone(f.Shx), bytes.Clone(f.Dbf)
	return f
}

func putBig(b []byte, at int, v uint32)    { binary.BigEndian.PutUint32(b[at:], v) }
func putLittle(b []byte, at int, v uint32) { binary.LittleEndian.PutUint32(b[at:], v) }
func putFloat(b []byte, at int, v float64) {
	binary.LittleEndian.PutUint64(b[at:], math.Float64bits(v))
}

const negative = 1<<32 - 7 // -7 in 32 bits

var hostile = []struct {
	name   string
	change func(f *Files)
	record int    // as reported, from 0
	why    string // a part of the reason
}{
	{"no .shp", func(f *Files) { f.Shp = nil }, -1, "is missing or empty"},
	{"no .dbf", func(f *Files) { f.Dbf = nil }, -1, "is missing or empty"},
	{"half a header", func(f *Files) { f.Shp = f.Shp[:50] }, -1, "is cut short: 50 bytes"},
	{"other file code", func(f *Files) { putBig(f.Shp, 0, 1234) }, -1, "file code 1234"},
	{"other version", func(f *Files) { putLittle(f.Shp, 28, 1) }, -1, "format version 1"},
	{"negative file length", func(f *Files) { putBig(f.Shp, 24, negative) }, -1, "negative length"},
	{"file length 0", func(f *Files) { putBig(f.Shp, 24, 0) }, -1, "less than itself"},
	{"4 GB file length", func(f *Files) { putBig(f.Shp, 24, 1<<31-1) }, -1, "header states 4294967294 bytes"},
	{"two bytes short", func(f *Files) { f.Shp = f.Shp[:len(f.Shp)-2] }, -1, "header states 468 bytes, there are 466"},
	{"points", func(f *Files) { putLittle(f.Shp, 32, 1) }, -1, "point (type 1)"},
	{"lines", func(f *Files) { putLittle(f.Shp, 32, 3) }, -1, "line (type 3)"},
	{"multipatch", func(f *Files) { putLittle(f.Shp, 32, 31) }, -1, "multipatch (type 31)"},
	{"unknown type", func(f *Files) { putLittle(f.Shp, 32, 77) }, -1, "unknown kind (type 77)"},

	{"negative content length", func(f *Files) { putBig(f.Shp, 104, negative) }, 0, "content length of -7 words"},
	{"content length 0", func(f *Files) { putBig(f.Shp, 240, 0) }, 1, "content length of 0 words"},
	{"content past the end", func(f *Files) { putBig(f.Shp, 460, 3) }, 2, "runs past the end"},
	{"bytes for no record", func(f *Files) { f.Shp, f.Shx = append(f.Shp, make([]byte, 10)...), nil; putBig(f.Shp, 24, 239) }, 3, "10 bytes are left at byte 468"},
	{"4 GB content", func(f *Files) { putBig(f.Shp, 240, 1<<31-1) }, 1, "runs past the end"},
	{"a point among polygons", func(f *Files) { putLittle(f.Shp, 108, 1) }, 0, "point (type 1), not a polygon"},
	{"short polygon", func(f *Files) { putLittle(f.Shp, 464, 5) }, 2, "4 bytes, a polygon has at least 44"},
	{"negative parts", func(f *Files) { putLittle(f.Shp, 144, negative) }, 0, "states -7 parts"},
	{"negative points", func(f *Files) { putLittle(f.Shp, 148, negative) }, 0, "-7 points"},
	{"2 G parts", func(f *Files) { putLittle(f.Shp, 144, 1<<31-1) }, 0, "which take 8589934712 bytes"},
	{"2 G points, 34 GB", func(f *Files) { putLittle(f.Shp, 148, 1<<31-1) }, 0, "which take 34359738400 bytes"},
	{"one point too many", func(f *Files) { putLittle(f.Shp, 148, 6) }, 0, "which take 144 bytes; it has 128"},
	{"no part", func(f *Files) { putLittle(f.Shp, 144, 0) }, 0, "5 points and no ring"},
	{"Z that is not there", func(f *Files) { putLittle(f.Shp, 108, 15) }, 0, "which take 184 bytes; it has 128"},
	{"first part not at 0", func(f *Files) { putLittle(f.Shp, 288, 1) }, 1, "ring 1 begins at point 1"},
	{"part past the points", func(f *Files) { putLittle(f.Shp, 292, 10) }, 1, "ring 2 begins at point 10 of 10"},
	{"negative part", func(f *Files) { putLittle(f.Shp, 292, negative) }, 1, "ring 2 begins at point -7"},
	{"empty part", func(f *Files) { putLittle(f.Shp, 292, 0) }, 1, "ring 1 has 0 points"},
	{"parts of 9 and 1", func(f *Files) { putLittle(f.Shp, 292, 9) }, 1, "ring 2 has 1 point"},
	{"parts of 8 and 2", func(f *Files) { putLittle(f.Shp, 292, 8) }, 1, "ring 2 has 2 points"},
	{"a ring there and back", func(f *Files) { copy(f.Shp[188:], f.Shp[156:188]) }, 0, "has 5 points, only 2 of them distinct"},
	{"NaN", func(f *Files) { putFloat(f.Shp, 156, math.NaN()) }, 0, "ring 1 point 1 has x = NaN"},
	{"infinity", func(f *Files) { putFloat(f.Shp, 156+16*2+8, math.Inf(-1)) }, 0, "ring 1 point 3 has y = -Inf"},

	{"areas overflow", func(f *Files) { putFloat(f.Shp, 156+16, 1e200); putFloat(f.Shp, 156+32+8, 1e200) }, 0, "ring 1 point 2 has x = 1e+200"},

	{"half a DBF header", func(f *Files) { f.Dbf = f.Dbf[:20] }, -1, "is cut short: 20 bytes, the header alone has 33"},
	{"rows of 0 bytes", func(f *Files) { binary.LittleEndian.PutUint16(f.Dbf[10:], 0) }, -1, "rows of 0 bytes"},
	{"4 G rows", func(f *Files) { putLittle(f.Dbf, 4, 1<<32-1) }, -1, "take 85899345997 bytes"},
	{"one row more", func(f *Files) { putLittle(f.Dbf, 4, 4) }, -1, "is cut short: 4 rows"},
	{"one row less", func(f *Files) { putLittle(f.Dbf, 4, 2) }, -1, "has 3 records, but zones.dbf has 2 rows"},
	{"DBF header of 32", func(f *Files) { binary.LittleEndian.PutUint16(f.Dbf[8:], 32) }, -1, "less than any has"},
	{"DBF header of 65535", func(f *Files) { binary.LittleEndian.PutUint16(f.Dbf[8:], 65535) }, -1, "there are 158 in all"},
	{"DBF header too short", func(f *Files) { binary.LittleEndian.PutUint16(f.Dbf[8:], 96) }, -1, "no end mark (0x0D)"},
	{"DBF header too long", func(f *Files) { binary.LittleEndian.PutUint16(f.Dbf[8:], 98) }, -1, "behind the end mark"},
	{"no end of fields", func(f *Files) { f.Dbf[96] = ' ' }, -1, "no end mark (0x0D)"},
	{"other width", func(f *Files) { f.Dbf[48]++ }, -1, "take 21"},
	{"smaller width", func(f *Files) { f.Dbf[48]-- }, -1, "take 19"},
	{"one byte of the last row short", func(f *Files) { f.Dbf = f.Dbf[:len(f.Dbf)-2] }, -1, "take 157 bytes, there are 156"},
	{"row flag", func(f *Files) { f.Dbf[97+20] = 'x' }, 1, "no deletion flag (0x78)"},
	{"dBASE II", func(f *Files) { f.Dbf[0] = 0x02 }, -1, "dBASE II"},
	{"dBASE 7", func(f *Files) { f.Dbf[0] = 0x04 }, -1, "dBASE 7"},
}

func TestHostileFilesAreRefusedForTheirReason(t *testing.T) {
	base := hostileBase(t)
	mustDecode(t, base)
	for _, h := range hostile {
		t.Run(h.name, func(t *testing.T) {
			f := base.clone()
			h.change(&f)
			var err error
			bytes := allocated(func() { _, err = Decode(f) })
			var bad *geo.BadFileError
			if !errors.As(err, &bad) || len(bad.Bad) != 1 {
				t.Fatalf("got %v, want one bad record", err)
			}
			if bad.Bad[0].Record != h.record || !strings.Contains(bad.Bad[0].Why, h.why) {
				t.Errorf("got record %d: %s; want record %d: %s", bad.Bad[0].Record, bad.Bad[0].Why, h.record, h.why)
			}
			checkAllocated(t, f, bytes)
		})
	}
}

// allocated returns the bytes that f takes from the heap.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// checkAllocated wants no more than eight times the input and 1 MB.
func checkAllocated(t testing.TB, f Files, bytes uint64) {
	t.Helper()
	input := len(f.Shp) + len(f.Shx) + len(f.Dbf) + len(f.Prj) + len(f.Cpg)
	if limit := uint64(8*input + 1<<20); bytes > limit {
		t.Errorf("took %d bytes for an input of %d, more than %d", bytes, input, limit)
	}
}

func TestAllocationStaysInProportion(t *testing.T) {
	many := &geo.Shapes{}
	for i := range 20_000 {
		many.Append(orb.MultiPolygon{{square(float64(2*i), 0, 1)}, {square(float64(2*i), 5, 1)}})
	}
	nulls := &geo.Shapes{ShapeEnds: make([]int32, 200_000)}
	for name, s := range map[string]*geo.Shapes{"cells": grid(50_000), "pairs": many, "nulls": nulls} {
		f := encoded(t, name, s, rates()[:1])
		for i := range s.Len() { // every remark and every deleted row there can be
			putBig(f.Shp, headerSize+int(contentSize(s, i)+8)*i, 7)
			if name == "nulls" {
				f.Dbf[len(f.Dbf)-1-8*(i+1)] = rowDeleted
			}
		}
		f.Shx = nil
		checkAllocated(t, f, allocated(func() { mustDecode(t, f) }))
	}
}

func TestTruncatedAtEveryTwentieth(t *testing.T) {
	base := encoded(t, "zones", grid(100), rates())
	for i := range 20 {
		shp, dbf, shx := base.clone(), base.clone(), base.clone()
		shp.Shp = shp.Shp[:len(shp.Shp)*i/20]
		if _, err := Decode(shp); err == nil {
			t.Errorf(".shp cut at %d/20: no error", i)
		}
		dbf.Dbf = dbf.Dbf[:len(dbf.Dbf)*i/20]
		if _, err := Decode(dbf); err == nil {
			t.Errorf(".dbf cut at %d/20: no error", i)
		}
		shx.Shx = shx.Shx[:len(shx.Shx)*i/20]
		want := "shx-differs"
		if i == 0 {
			want = "shx-missing"
		}
		if got := rules(mustDecode(t, shx).Remarks); !slices.Equal(got, []string{want}) {
			t.Errorf(".shx cut at %d/20: remarks %v, want %s", i, got, want)
		}
	}
}

func TestEveryBadRecordIsListedInOnePass(t *testing.T) {
	f := encoded(t, "zones", grid(10_000), rates())
	for i := range 30 {
		putFloat(f.Shp, headerSize+136*(300*i)+52+4, math.NaN())
	}
	f.Dbf[97+20*77] = 'x'
	_, err := Decode(f)
	var bad *geo.BadFileError
	if !errors.As(err, &bad) {
		t.Fatal(err)
	}
	if len(bad.Bad) != geo.MaxBadRecords || bad.More != 11 || bad.File != "zones.shp" {
		t.Errorf("%s: %d listed, %d more; want %d and 11", bad.File, len(bad.Bad), bad.More, geo.MaxBadRecords)
	}
	for i, b := range bad.Bad {
		if b.Record != 300*i {
			t.Errorf("bad record %d is %d, want %d", i, b.Record, 300*i)
		}
	}
}

func TestMutatedFilesNeverPanic(t *testing.T) {
	base := hostileBase(t)
	for at := range base.Shp {
		for _, v := range []byte{0, 1, 0x7F, 0x80, 0xFF} {
			f := base.clone()
			f.Shp[at] = v
			checkAllocated(t, f, allocated(func() { Decode(f) }))
		}
	}
	for at := range base.Dbf {
		for _, v := range []byte{0, 1, 0x0D, 0x7F, 0x80, 0xFF} {
			f := base.clone()
			f.Dbf[at] = v
			Decode(f)
		}
	}
}

func ExampleDecode() {
	_, err := Decode(Files{Name: "zones", Shp: []byte("PK\x03\x04")})
	fmt.Println(err)
	// Output:
	// zones.shp: is cut short: 4 bytes, the header alone has 100
	// zones.shp: in the .dbf: is missing or empty
}
