package taskdata

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/paulmach/orb"

	"rxsplit/geo/track"
)

// written is a record as a terminal would have it, before it is laid out.
type written struct {
	at     time.Time
	place  orb.Point
	up     float64
	status uint8
	values map[int]int32 // by place of the column
}

// fieldSet says which fields of a position a log has: bit 0 is north, as in "ABCDEFGHI".
type fieldSet uint16

const plainFields fieldSet = 0b1111 // north, east, up, status

// templateOf is the header of a log with these fields and columns; those that it has not
// are absent, or constant where fixed has them.
func templateOf(has fieldSet, fixed map[byte]string, columns ...string) []byte {
	var s strings.Builder
	s.WriteString(`<TIM A="" D="4"><PTN`)
	for i, letter := range []byte("ABCDEFGHI") {
		switch text, ok := fixed[letter]; {
		case has>>i&1 == 1:
			fmt.Fprintf(&s, ` %c=""`, letter)
		case ok:
			fmt.Fprintf(&s, ` %c="%s"`, letter, text)
		}
	}
	s.WriteString("/>")
	for _, c := range columns {
		ddi, element, _ := strings.Cut(c, " ")
		fmt.Fprintf(&s, `<DLV A="%s" B="" C="%s"/>`, ddi, element)
	}
	s.WriteString("</TIM>")
	return []byte(s.String())
}

// layOut writes records the way the table of the fields says, by another hand than the
// reader's.
func layOut(has fieldSet, records ...written) (b []byte) {
	le := binary.LittleEndian
	for _, r := range records {
		midnight := time.Date(r.at.Year(), r.at.Month(), r.at.Day(), 0, 0, 0, 0, time.UTC)
		ms := uint32(r.at.Sub(midnight).Milliseconds())
		day := uint16(midnight.Sub(time.Date(1980, 1, 1, 0, 0, 0, 0, time.UTC)).Hours() / 24)
		b = le.AppendUint32(b, ms)
		b = le.AppendUint16(b, day)
		for i := range 9 {
			if has>>i&1 == 0 {
				continue
			}
			switch "ABCDEFGHI"[i] {
			case 'A':
				b = le.AppendUint32(b, uint32(int32(math.Round(r.place[1]*1e7))))
			case 'B':
				b = le.AppendUint32(b, uint32(int32(math.Round(r.place[0]*1e7))))
			case 'C':
				b = le.AppendUint32(b, uint32(int32(math.Round(r.up*1000))))
			case 'D':
				b = append(b, r.status)
			case 'E', 'F':
				b = le.AppendUint16(b, 13)
			case 'G':
				b = append(b, 9)
			case 'H':
				b = le.AppendUint32(b, ms+7)
			case 'I':
				b = le.AppendUint16(b, day)
			}
		}
		b = append(b, byte(len(r.values)))
		for place := range 256 {
			if v, ok := r.values[place]; ok {
				b = append(b, byte(place))
				b = le.AppendUint32(b, uint32(v))
			}
		}
	}
	return b
}

var morning = time.Date(2026, time.May, 4, 9, 30, 0, 0, time.UTC)

func at(second int, east float64, values map[int]int32) written {
	return written{at: morning.Add(time.Duration(second) * time.Second), place: orb.Point{-90.4 + east, 47.35}, up: 200, status: 4, values: values}
}

func mustRead(t *testing.T, template, data []byte) *timeLog {
	t.Helper()
	log, err := readLog(Files{"TLG00001.xml": template, "TLG00001.bin": data}, "TLG00001")
	if err != nil {
		t.Fatal(err)
	}
	return log
}

// Every set of fields: what is in the records is read, what is not shifts nothing.
func TestLogsWithEverySetOfFields(t *testing.T) {
	records := []written{at(0, 0, map[int]int32{0: 16850, 1: 1}), at(1, 0.00005, map[int]int32{0: 16900}), at(2, 0.0001, nil)}
	for has := range fieldSet(1 << 9) {
		fixed := map[byte]string{'A': "47.35", 'B': "-90.4", 'D': "4"}
		log := mustRead(t, templateOf(has, fixed, "0007 DET1", "008D DET1"), layOut(has, records...))
		if len(log.Records) != 3 || log.Short != 0 || log.Dropped != 0 {
			t.Fatalf("fields %09b: %d records, %d bytes short, %d dropped", has, len(log.Records), log.Short, log.Dropped)
		}
		for i, r := range log.Records {
			want := records[i].place
			if has>>1&1 == 0 {
				want[0] = -90.4
			}
			if math.Abs(r.Place[0]-want[0]) > 1e-9 || math.Abs(r.Place[1]-47.35) > 1e-9 || !r.Time.Equal(records[i].at) {
				t.Fatalf("fields %09b: record %d is at %v, %v", has, i, r.Place, r.Time)
			}
			if rate := []int32{16850, 16900, 16900}[i]; r.Values[0] != rate || r.Values[1] != 1 {
				t.Fatalf("fields %09b: record %d has %v", has, i, r.Values)
			}
		}
	}
}

// A value holds until another one comes, through records without any and records without a
// place; before the first one it is not known.
func TestValuesAreCarriedForward(t *testing.T) {
	lost := at(2, 0, map[int]int32{0: 300})
	lost.status = 0
	log := mustRead(t, templateOf(plainFields, nil, "0007 DET1", "0006 DET1"), layOut(plainFields,
		at(0, 0, nil), at(1, 0.1, map[int]int32{0: 200}), lost, at(3, 0.3, nil), at(4, 0.4, map[int]int32{1: 500})))
	if len(log.Records) != 4 || log.Dropped != 1 || log.Lost[0] != 2 || log.Records[2].Index != 3 {
		t.Fatalf("%+v", log)
	}
	for i, want := range [][2]int32{{-1, -1}, {200, -1}, {300, -1}, {300, 500}} {
		for k, v := range want {
			if r := log.Records[i]; r.Known[k] != (v >= 0) || v >= 0 && r.Values[k] != v {
				t.Errorf("record %d: value %d is %d (known: %v), want %d", i, k, r.Values[k], r.Known[k], v)
			}
		}
	}
}

// A place that is none is dropped: not available in either way, 0, 0, out of range, or
// with a status that says so.
func TestPlacesThatAreNone(t *testing.T) {
	const none = -1e-7
	largest := float64(math.MaxInt32) / 1e7
	for name, r := range map[string]written{
		"all bits":      {place: orb.Point{none, none}, status: 4},
		"largest":       {place: orb.Point{largest, largest}, status: 4},
		"origin":        {place: orb.Point{0, 0}, status: 0},
		"beyond a pole": {place: orb.Point{-90, 91}, status: 4},
		"beyond 180":    {place: orb.Point{-181, 47}, status: 4},
		"no fix":        {place: orb.Point{-90, 47}, status: 0},
		"error":         {place: orb.Point{-90, 47}, status: 14},
		"not available": {place: orb.Point{-90, 47}, status: 15},
	} {
		r.at = morning
		if log := mustRead(t, templateOf(plainFields, nil), layOut(plainFields, r, at(1, 0, nil))); len(log.Records) != 1 || log.Dropped != 1 {
			t.Errorf("%s: %d records, %d dropped", name, len(log.Records), log.Dropped)
		}
	}
	for status := uint8(1); status < 9; status++ {
		r := at(0, 0, nil)
		r.status = status
		if log := mustRead(t, templateOf(plainFields, nil), layOut(plainFields, r)); len(log.Records) != 1 {
			t.Errorf("status %d is dropped", status)
		}
	}
}

// Whatever a log ends with that is no whole record is left out; all before it stands.
func TestShortLogs(t *testing.T) {
	data := layOut(plainFields, at(0, 0, map[int]int32{0: 1}), at(1, 0, map[int]int32{0: 2}))
	half := len(data) / 2
	for cut := range half {
		log := mustRead(t, templateOf(plainFields, nil, "0007 DET1"), data[:len(data)-cut])
		if want := 2 - min(cut, 1); len(log.Records) != want || (log.Short > 0) != (cut > 0) {
			t.Errorf("%d bytes less: %d records, %d bytes short", cut, len(log.Records), log.Short)
		}
	}
}

func TestLogsThatCannotBeRead(t *testing.T) {
	template := templateOf(plainFields, nil, "0007 DET1")
	data := layOut(plainFields, at(0, 0, map[int]int32{3: 1}))
	for name, files := range map[string]Files{
		"value at no place": {"TLG00001.xml": template, "TLG00001.bin": data},
		"no template":       {"TLG00001.bin": data},
		"no records":        {"TLG00001.xml": template},
		"other template":    {"TLG00001.xml": []byte("<a/>"), "TLG00001.bin": nil},
		"bad entry":         {"TLG00001.xml": []byte(`<TIM A=""><DLV A="xyz" B=""/></TIM>`), "TLG00001.bin": nil},
		"bad constant":      {"TLG00001.xml": []byte(`<TIM A=""><PTN A="47,3" B="1"/></TIM>`), "TLG00001.bin": nil},
	} {
		if log, err := readLog(files, "TLG00001"); err == nil {
			t.Errorf("%s: read as %+v", name, log)
		}
	}
}

// A value with text in the template is the same in all records.
func TestConstantValues(t *testing.T) {
	template := []byte(`<TIM A=""><PTN A="" B=""/><DLV A="0007" B="" C="DET1"/><DLV A="0043" B="21336" C="DET1"/></TIM>`)
	log := mustRead(t, template, layOut(0b11, at(0, 0, map[int]int32{0: 5})))
	if r := log.Records[0]; r.Values[1] != 21336 || !r.Known[1] {
		t.Errorf("values are %v", r.Values)
	}
}

// Some terminals write all fields whatever the template says: the days of the records tell.
func TestAllFieldsAgainstTheTemplate(t *testing.T) {
	const all fieldSet = 1<<9 - 1
	data := layOut(all, at(0, 0, map[int]int32{0: 1}), at(1, 0.1, map[int]int32{0: 2}), at(2, 0.2, nil))
	log := mustRead(t, templateOf(0b11, nil, "0007 DET1"), data)
	if len(log.Records) != 3 || math.Abs(log.Records[2].Place[0]+90.2) > 1e-9 || log.Records[2].Values[0] != 2 {
		t.Errorf("read as %+v", log.Records)
	}
}

// finished is a set of a done task: a machine with a boom and two bins, and an antenna.
const finished = `<ISO11783_TaskData VersionMajor="3" VersionMinor="3" DataTransferOrigin="2">
<PDT A="PDT1" B="Dry"/><PDT A="PDT2" B="Mix"/>
<DVC A="DVC-1" B="Spreader">
 <DET A="DET-1" B="1" C="1" D="whole" E="0" F="0"/>
 <DET A="DET-2" B="2" C="2" D="boom" E="1" F="1"><DOR A="20"/><DOR A="21"/><DOR A="22"/></DET>
 <DET A="DET-3" B="3" C="3" D="bin" E="2" F="2"/>
 <DET A="DET-4" B="4" C="3" D="tank" E="3" F="2"/>
 <DET A="DET-5" B="5" C="7" D="antenna" E="4" F="1"><DOR A="23"/><DOR A="24"/></DET>
 <DPT A="20" B="0046" C="21336"/><DPT A="21" B="0086" C="-4000"/><DPT A="22" B="0087" C="200"/>
 <DPT A="23" B="0086" C="1500"/><DPT A="24" B="0087" C="0"/>
</DVC>
<TSK A="TSK-1" B="Field 1" G="4"><PAN A="PDT1" E="DET-3"/><PAN A="PDT2" E="DET-2"/><TLG A="TLG00001" C="1"/></TSK>
</ISO11783_TaskData>`

// all wants each track with its rows.
func all(Track) bool { return true }

func tracksOf(t *testing.T, template, data []byte) []Track {
	t.Helper()
	files := Files{Main: []byte(finished), "TLG00001.xml": template, "TLG00001.bin": data}
	set, _, err := Decode(files)
	if err != nil {
		t.Fatal(err)
	}
	list, err := Tracks(set, files, all)
	if err != nil {
		t.Fatal(err)
	}
	return list
}

// Two elements with rates are two products; one that nobody allots to an element is that of
// the element above it. 16850 mg/m² are 16.85 g/m²; 935396 of 0.01 mm³/m² are 9.35396 mL/m².
// By hand: the antenna is 1.5 m ahead of the machine's point of reference, the boom 4 m
// behind it and 0.2 m to its right.
func TestTracksByElement(t *testing.T) {
	template := templateOf(plainFields, nil, "0007 DET-3", "0006 DET-3", "0002 DET-4", "008D DET-2")
	list := tracksOf(t, template, layOut(plainFields,
		at(0, 0, map[int]int32{0: 16850, 1: 16813, 2: 935396}), at(1, 0.1, map[int]int32{3: 1}), at(2, 0.2, map[int]int32{3: 0}), at(3, 0.3, map[int]int32{0: math.MaxInt32, 3: 1})))
	if len(list) != 2 || list[0].Product != "Dry" || list[1].Product != "Mix" || list[0].Log.Amount != track.Mass || list[1].Log.Amount != track.Volume {
		t.Fatalf("tracks are %+v", list)
	}
	dry, mix := list[0].Log, list[1].Log
	if dry.Back != 5.5 || math.Abs(dry.Left-0.2) > 1e-12 || dry.Width != 21.336 || dry.Machines[0] != "Spreader" {
		t.Errorf("back %v, left %v, width %v, of %q", dry.Back, dry.Left, dry.Width, dry.Machines)
	}
	if math.Abs(dry.Rows[0].Rate-16.85) > 1e-12 || math.Abs(dry.Rows[0].Target-16.813) > 1e-12 || math.Abs(mix.Rows[0].Rate-9.35396) > 1e-12 {
		t.Errorf("rates are %v (target %v) and %v", dry.Rows[0].Rate, dry.Rows[0].Target, mix.Rows[0].Rate)
	}
	if !math.IsNaN(mix.Rows[0].Target) {
		t.Errorf("the mix has the dry's target, %v", mix.Rows[0].Target)
	}
	// The state comes with the second record: before it nobody knows that the machine is on.
	for i, on := range []bool{false, true, false, true} {
		if dry.Rows[i].On() != on || mix.Rows[i].On() != on {
			t.Errorf("row %d: on %v and %v, want %v", i, dry.Rows[i].On(), mix.Rows[i].On(), on)
		}
	}
	if !math.IsNaN(dry.Rows[3].Rate) || dry.Rows[2].Time-dry.Rows[0].Time != 2 {
		t.Errorf("last rate %v, seconds %v", dry.Rows[3].Rate, dry.Rows[2].Time-dry.Rows[0].Time)
	}
}

// Sections: two bits each, the lowest the leftmost; 3 is one that the machine has not. By
// hand: 01 00 01 10, then twelve that are not there, from the left: word 0xFFFFFF91.
func TestSections(t *testing.T) {
	word := uint32(0xFFFFFF91) // 1001 0001: sections 0..3 are 01, 00, 01, 10
	template := templateOf(plainFields, nil, "0007 DET-3", "00A1 DET-2", "0043 DET-2")
	list := tracksOf(t, template, layOut(plainFields, at(0, 0, map[int]int32{0: 5, 1: int32(word), 2: 12000}), at(1, 0.1, map[int]int32{1: -256})))
	log := list[0].Log
	if len(log.Sections) != 4 || log.Rows[0].Open != 0b0101 || log.Rows[1].Open != 0 || log.Rows[0].Width != 12 {
		t.Errorf("%d sections, open %b and %b, width %v", len(log.Sections), log.Rows[0].Open, log.Rows[1].Open, log.Rows[0].Width)
	}
}

// More sections than a row tells apart: neighbors are joined, and open where one of them is.
func TestManySectionsAreJoined(t *testing.T) {
	columns := []string{"0007 DET-3"}
	values := map[int]int32{0: 5}
	for i := range 5 { // 80 sections
		columns = append(columns, fmt.Sprintf("%04X DET-2", 0xA1+i))
		values[i+1] = 0
	}
	values[5] = 1 << 30 // the last one, 79, is open
	log := tracksOf(t, templateOf(plainFields, nil, columns...), layOut(plainFields, at(0, 0, values)))[0].Log
	if len(log.Sections) != 40 || log.Rows[0].Open != 1<<39 || log.Sections[39] != 2 {
		t.Errorf("%d sections, open %b", len(log.Sections), log.Rows[0].Open)
	}
}

func FuzzReadLog(f *testing.F) {
	f.Add(templateOf(plainFields, nil, "0007 DET1", "008D DET1"), layOut(plainFields, at(0, 0, map[int]int32{0: 1, 1: 1})))
	f.Add([]byte(exampleHeader), []byte{1, 2, 3})
	f.Add([]byte(`<TIM A="2026-05-04T09:30:00"><PTN A="47" B="-90"/><DLV A="00A1" B=""/></TIM>`), []byte{1, 0, 1, 2, 3, 4})
	f.Fuzz(func(t *testing.T, template, data []byte) {
		files := Files{Main: []byte(finished), "TLG00001.xml": template, "TLG00001.bin": data}
		log, err := readLog(files, "TLG00001")
		if err != nil {
			return
		}
		for _, r := range log.Records {
			if len(r.Values) != len(log.Columns) || math.Abs(r.Place[1]) > 90 || math.Abs(r.Place[0]) > 180 {
				t.Fatalf("record %+v of %d columns", r, len(log.Columns))
			}
		}
		set, _, err := Decode(files)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := Tracks(set, files, all); err != nil {
			t.Fatal(err)
		}
	})
}
