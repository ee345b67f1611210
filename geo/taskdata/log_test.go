package taskdata

import (
	"encoding/hex"
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
