package taskdata

import (
	"encoding/hex"
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"
)

const exampleHeader = `<?xml version="1.0" encoding="UTF-8"?>
<TIM A="" D="4"><PTN A="" B="" C="" D=""/>
<DLV A="0007" B="" C="DET1"/><DLV A="0006" B="" C="DET1"/><DLV A="008D" B="" C="DET1"/><DLV A="0043" B="" C="DET1"/></TIM>`

// exampleRecord is a record worked out by hand: 2026-05-04, 09:30:00.250, 47.35, -90.4,
// 201 m, RTK fixed; actual 16850 mg/m², target 16813, on, 21336 mm.
func exampleRecord(t *testing.T) []byte {
	t.Helper()
	b, err := hex.DecodeString("bada09021d426009391c000e1eca281103000404" + "00d2410000" + "01ad410000" + "0201000000" + "0358530000")
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func TestReadsTheExampleLog(t *testing.T) {
	log, err := readLog(Files{"TLG00001.xml": []byte(exampleHeader), "TLG00001.bin": exampleRecord(t)}, "TLG00001")
	if err != nil {
		t.Fatal(err)
	}
	if len(log.Records) != 1 || log.Short != 0 || log.Dropped != 0 {
		t.Fatalf("log is %+v", log)
	}
	r := log.Records[0]
	if want := time.Date(2026, time.May, 4, 9, 30, 0, 250e6, time.UTC); !r.Time.Equal(want) {
		t.Errorf("time is %v, want %v", r.Time, want)
	}
	if r.Place != (orb.Point{-90.4, 47.35}) {
		t.Errorf("place is %v", r.Place)
	}
	for i, want := range []int32{16850, 16813, 1, 21336} {
		if r.Values[i] != want || !r.Known[i] {
			t.Errorf("value %d is %d, want %d", i, r.Values[i], want)
		}
	}
	if log.Columns[0] != (logColumn{actualMassPerArea, "DET1"}) {
		t.Errorf("first column is %v", log.Columns[0])
	}
}

// A log whose parts are missing or say what nobody can read is refused for that part.
func TestLogsThatNobodyCanRead(t *testing.T) {
	for _, c := range []struct{ from, to, want string }{
		{"", "", "<nil>"},
		{exampleHeader, "", "TLG00001.xml: line 1: holds no element"},
		{"<TIM", "<TOM", "TLG00001.xml: line 3: is no whole XML: element <TOM> closed by </TIM>"},
		{`A="0006" B=""`, `A="0006" B="1.5"`, `TLG00001.xml: line 3: DLV@B is "1.5", no whole number`},
		{`A="0006" B=""`, `A="0006" B="2147483648"`, `TLG00001.xml: line 3: DLV@B is "2147483648", no whole number`},
		{`A="0006" B=""`, `A="0006" B="-2147483648"`, "<nil>"},
		{`A="0006"`, `A="G006"`, `TLG00001.xml: line 3: DLV@A is "G006", no entry of the data dictionary`},
	} {
		files := Files{"TLG00001.xml": []byte(strings.Replace(exampleHeader, c.from, c.to, 1)), "TLG00001.bin": exampleRecord(t)}
		log, err := readLog(files, "TLG00001")
		if got := fmt.Sprint(err); got != c.want || (log == nil) != (err != nil) {
			t.Errorf("%s for %s: %v, want %s", c.to, c.from, got, c.want)
		}
	}
	const again = "copy the whole folder as it is on the stick"
	for _, part := range []string{".xml", ".bin"} {
		files := Files{"TLG00001.xml": []byte(exampleHeader), "TLG00001.bin": exampleRecord(t)}
		delete(files, "TLG00001"+part)
		log, err := readLog(files, "TLG00001")
		var told *FileError
		if log != nil || !errors.As(err, &told) || told.File != "TLG00001"+part || !strings.HasPrefix(told.Why, "is missing") || told.Hint != again {
			t.Errorf("without %s: %+v, %v", part, log, err)
		}
	}
}

// An element that says one of its two ways alone lies on the other's axis; one that says none lies nowhere.
func TestOffsetOfOneWay(t *testing.T) {
	at := func(p map[DDI]int32) *device { return &device{Elements: []deviceElement{{Properties: p}}} }
	for _, c := range []struct {
		p     map[DDI]int32
		want  [2]float64
		known bool
	}{
		{map[DDI]int32{offsetForward: 1500}, [2]float64{1.5, 0}, true}, {map[DDI]int32{offsetRight: -250}, [2]float64{0, -0.25}, true},
		{map[DDI]int32{offsetForward: 1500, offsetRight: -250}, [2]float64{1.5, -0.25}, true}, {nil, [2]float64{}, false},
	} {
		if got, known := offset(at(c.p), 0); got != c.want || known != c.known {
			t.Errorf("%v: %v, %v", c.p, got, known)
		}
	}
}

// Counts of 1e-7 degree are a place up to the poles and the meridian of 180 degrees; what stands for
// none in either is none.
func TestCountsThatAreAPlace(t *testing.T) {
	for _, c := range []struct {
		north, east int64
		want        bool
	}{
		{47e7, -90e7, true}, {90e7, 180e7, true}, {-90e7, -180e7, true}, {90e7 + 1, 1, false}, {-90e7 - 1, 1, false}, {1, 180e7 + 1, false}, {1, -180e7 - 1, false},
		{0, 0, false}, {0, 5, true}, {5, 0, true}, {-1, 5, false}, {5, -1, false}, {1<<31 - 1, 5, false}, {5, 1<<31 - 1, false}, {-2, 5, true},
	} {
		if got := isPlace(c.north, c.east); got != c.want {
			t.Errorf("%d, %d: %v", c.north, c.east, got)
		}
	}
	for _, c := range []struct {
		b      []byte
		signed bool
		want   int64
	}{
		{[]byte{0xff}, true, 255}, {[]byte{0xff, 0x01}, true, 511}, {[]byte{0xfe, 0xff, 0xff, 0xff}, true, -2}, {[]byte{0xfe, 0xff, 0xff, 0xff}, false, 1<<32 - 2},
	} {
		if got := littleEndian(c.b, c.signed); got != c.want {
			t.Errorf("%x: %d, want %d", c.b, got, c.want)
		}
	}
	for status := int64(-1); status < 20; status++ {
		if want := status == 0 || status == 14 || status == 15; noFix(status) != want {
			t.Errorf("status %d: no fix is %v", status, !want)
		}
	}
}
