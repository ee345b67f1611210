package read_test

import (
	"archive/zip"
	"bytes"
	"encoding/binary"
	"errors"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"rxsplit/geo/shapefile"
	"rxsplit/geo/taskdata"
	"rxsplit/geo/track"
	"rxsplit/rx/read"
)

// workedSet is a set as a terminal sends it back: two products on a machine 21.336 m wide
// (70 ft), its log with one record a second going east, and a grid whose file is not there.
func workedSet() taskdata.Files {
	const main = `<ISO11783_TaskData VersionMajor="3" VersionMinor="3" DataTransferOrigin="2">
<PDT A="PDT1" B="Dry"/><PDT A="PDT2" B="Mix"/>
<DVC A="DVC-1" B="Spreader"><DET A="DET-1" B="1" C="1" E="0" F="0"><DOR A="9"/></DET><DET A="DET-2" B="2" C="3" E="1" F="1"/><DET A="DET-3" B="3" C="3" E="2" F="1"/><DPT A="9" B="0043" C="21336"/></DVC>
<TSK A="TSK-1" G="4"><TZN A="0"><PDV A="0006" B="0"/></TZN><GRD A="47" B="-90" C="0.1" D="0.1" E="1" F="1" G="GRD00001" I="2" J="0"/>
<PAN A="PDT1" E="DET-2"/><PAN A="PDT2" E="DET-3"/><TLG A="TLG00001"/></TSK></ISO11783_TaskData>`
	const template = `<TIM A="" D="4"><PTN A="" B="" D=""/><DLV A="0007" B="" C="DET-2"/><DLV A="0002" B="" C="DET-3"/><DLV A="008D" B="" C="DET-1"/></TIM>`
	le := binary.LittleEndian
	var b []byte
	for i := range 4 {
		b = le.AppendUint32(b, uint32(34200000+1000*i)) // 09:30 and so on
		b = le.AppendUint16(b, 16925)                   // 2026-05-04
		b = le.AppendUint32(b, 473500000)
		b = le.AppendUint32(b, uint32(int32(-904000000+600*i)))
		b = append(b, 4)
		if i > 0 {
			b = append(b, 0)
			continue
		}
		b = append(b, 3, 0)
		b = le.AppendUint32(b, 22417)
		b = append(b, 1)
		b = le.AppendUint32(b, 935396)
		b = append(b, 2)
		b = le.AppendUint32(b, 1)
	}
	return taskdata.Files{taskdata.Main: []byte(main), "TLG00001.xml": []byte(template), "TLG00001.bin": b}
}

func logMap(t *testing.T, text string) *read.LogMap {
	t.Helper()
	m, err := read.ParseLogMap("map.yaml", []byte(text))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// By hand: 22417 mg/m² are 22.417 g/m²; 935396 of 0.01 mm³/m² are 9.35396 mL/m².
func TestReadsLogsOfTaskData(t *testing.T) {
	dir := stick(t, workedSet())
	for _, c := range []struct {
		product, unit string
		amount        track.Amount
		rate          float64
	}{{"Dry", "lb/ac", track.Mass, 22.417}, {"mix", "gal/ac", track.Volume, 9.35396}, {"DET-3", "L/ha", track.Volume, 9.35396}} {
		f, err := read.Log(dir, logMap(t, "columns: {rate: "+c.product+"}\nrate-unit: "+c.unit+"\nwidth: 1 ft\nback: 10 ft\n"), read.FileOptions{})
		if err != nil {
			t.Fatal(err)
		}
		log := f.Log
		if len(log.Rows) != 4 || log.Amount != c.amount || log.Width != 21.336 || math.Abs(log.Back-3.048) > 1e-9 {
			t.Errorf("%s: %d rows, %v, width %v, back %v", c.product, len(log.Rows), log.Amount, log.Width, log.Back)
		}
		for i, r := range log.Rows {
			if math.Abs(r.Rate-c.rate) > 1e-9 || !r.On() || math.Abs(r.At[0]-(-90.4+6e-5*float64(i))) > 1e-9 || r.Time-log.Rows[0].Time != float64(i) {
				t.Errorf("%s: row %d is %+v", c.product, i, r)
			}
		}
		if len(f.Source.Files) != 3 || f.Source.Format != "task data" {
			t.Errorf("source is %+v", f.Source)
		}
	}
	text, err := read.NewLogMapOf(dir, read.FileOptions{})
	if err != nil || !strings.Contains(text, "#   Dry, Mix\n") {
		t.Errorf("the map is %s (%v)", text, err)
	}
	filled := strings.NewReplacer("  # rate: #", "  rate: Dry #", "rate-unit: ", "rate-unit: lb/ac ").Replace(text)
	if _, err := read.Log(dir, logMap(t, filled), read.FileOptions{}); err != nil {
		t.Errorf("by its own map: %v", err)
	}
}

// packed packs files into an archive, each under its name in it.
func packed(t *testing.T, files map[string][]byte) string {
	t.Helper()
	var buf bytes.Buffer
	w := zip.NewWriter(&buf)
	for name, data := range files {
		part, err := w.Create(name)
		if err == nil {
			_, err = part.Write(data)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	path := filepath.Join(t.TempDir(), "worked.ZIP")
	if err := errors.Join(w.Close(), os.WriteFile(path, buf.Bytes(), 0o666)); err != nil {
		t.Fatal(err)
	}
	return path
}

// Logs of a zipped folder are those of the folder; the archive is what was read, and its bounds hold.
func TestReadsLogsOfZippedTaskData(t *testing.T) {
	files := map[string][]byte{"readme.txt": []byte("hello")}
	for name, data := range workedSet() {
		files["stick/TASKDATA/"+name] = data
	}
	at, m := packed(t, files), "columns: {rate: Dry}\nrate-unit: lb/ac\nwidth: 1 ft\n"
	f, err := read.Log(at, logMap(t, m), read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if len(f.Log.Rows) != 4 || math.Abs(f.Log.Rows[3].Rate-22.417) > 1e-9 || len(f.Source.Files) != 1 || f.Source.Files[0].Name != "worked.ZIP" || f.Source.Records != 4 {
		t.Errorf("%d rows of %+v", len(f.Log.Rows), f.Source)
	}
	limits := shapefile.DefaultLimits()
	limits.MaxEntries = len(files)
	if _, err := read.Log(at, logMap(t, m), read.FileOptions{Archive: limits}); err != nil {
		t.Errorf("with as many entries as are allowed: %v", err)
	}
	limits.MaxEntries--
	if _, err := read.Log(at, logMap(t, m), read.FileOptions{Archive: limits}); err == nil || !strings.Contains(err.Error(), "worked.ZIP") || !strings.Contains(err.Error(), "4 entries, more than the 3 allowed") {
		t.Errorf("with one entry too many: %v", err)
	}
	for name, data := range workedSet() {
		files["other/TASKDATA/"+name] = data
	}
	if _, err := read.Open(packed(t, files), read.FileOptions{}); err == nil || !strings.Contains(err.Error(), "several sets of task data: other/TASKDATA/TASKDATA.XML, stick/TASKDATA/TASKDATA.XML") {
		t.Errorf("two sets: %v", err)
	}
}

// What a set doesn't say itself, the map has to; of one product alone it knows which is meant.
func TestTaskDataSaysLess(t *testing.T) {
	files := workedSet()
	one := strings.NewReplacer(`<DPT A="9" B="0043" C="21336"/>`, "", `<PAN A="PDT2" E="DET-3"/>`, "", `<PDT A="PDT2" B="Mix"/>`, "").Replace(string(files[taskdata.Main]))
	files[taskdata.Main] = []byte(one)
	dir, m := stick(t, files), "columns: {rate: Dry}\nrate-unit: lb/ac\n"
	if _, err := read.Log(dir, logMap(t, m+"sections: [10 ft]\n"), read.FileOptions{}); err == nil || !strings.Contains(err.Error(), "does not say how wide it works") {
		t.Errorf("without a width: %v", err)
	}
	f, err := read.Log(dir, logMap(t, m+"width: 70 ft\nfront: 10 ft\ndelay: 2 s\nrecord: leading\n"), read.FileOptions{})
	if err != nil {
		t.Fatal(err)
	}
	if log := f.Log; math.Abs(log.Width-21.336) > 1e-9 || math.Abs(log.Back+3.048) > 1e-9 || math.Abs(log.Delay-2) > 1e-9 || log.Records != track.Leading {
		t.Errorf("width %v, back %v, delay %v, records %v", log.Width, log.Back, log.Delay, log.Records)
	}
}

// A map that names what the log has not, or says what the log says itself, is refused with
// what to write.
func TestMapsOfTaskDataThatAreRefused(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"another product": {"columns: {rate: Lime}\nrate-unit: lb/ac\nwidth: 1 ft\n", "has no log of Lime"},
		"a column":        {"columns: {rate: Dry, on: X}\nrate-unit: lb/ac\nwidth: 1 ft\n", "says itself what its values are"},
		"another unit":    {"columns: {rate: Dry}\nrate-unit: gal/ac\nwidth: 1 ft\n", "is counted in g"},
	} {
		_, err := read.Log(stick(t, workedSet()), logMap(t, c.text), read.FileOptions{})
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want %q", name, err, c.want)
		}
	}
	files := workedSet()
	delete(files, "TLG00001.bin")
	if _, err := read.Log(stick(t, files), logMap(t, "columns: {rate: Dry}\nrate-unit: lb/ac\nwidth: 1 ft\n"), read.FileOptions{}); err == nil || !strings.Contains(err.Error(), "TLG00001.bin: is missing") {
		t.Errorf("without records: %v", err)
	}
	if _, err := read.Log(stick(t, taskdata.Encode(terminalSet())), logMap(t, "columns: {rate: Urea}\nrate-unit: lb/ac\nwidth: 1 ft\n"), read.FileOptions{}); err == nil || !strings.Contains(err.Error(), "has no log of an actual rate") {
		t.Errorf("a prescription: %v", err)
	}
}
