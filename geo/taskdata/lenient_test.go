package taskdata

import (
	"reflect"
	"strings"
	"testing"
)

// What real sets do beside the rules, and what they still mean.
func TestReadsWhatProgramsReallyWrite(t *testing.T) {
	want, _, err := Decode(example(t))
	if err != nil {
		t.Fatal(err)
	}
	edit := func(from, to string) func(Files) {
		return func(f Files) {
			text := string(f[Main])
			if !strings.Contains(text, from) {
				t.Fatalf("the example has no %q", from)
			}
			f[Main] = []byte(strings.Replace(text, from, to, 1))
		}
	}
	rename := func(from, to string) func(Files) {
		return func(f Files) { f[to] = f[from]; delete(f, from) }
	}
	for name, change := range map[string]func(Files){
		"more decimals":        edit(`C="47.35" D="-90.4"`, `C="47.3500000000000" D="-90.40000000000000"`),
		"exponent":             edit(`C="0.0001"`, `C="1E-4"`),
		"version 3.0":          edit(`VersionMinor="3"`, `VersionMinor="0"`),
		"version 4.4":          edit(`VersionMajor="3" VersionMinor="3"`, `VersionMajor="4" VersionMinor="4"`),
		"open ring":            edit(`<PNT A="2" C="47.35" D="-90.4"/></LSG>`, `</LSG>`),
		"upper-case ending":    rename("GRD00001.bin", "GRD00001.BIN"),
		"lower-case main":      rename(Main, "taskdata.xml"),
		"byte order mark":      func(f Files) { f[Main] = append([]byte("\xef\xbb\xbf"), f[Main]...) },
		"another's attributes": edit(`<TSK A="TSK1"`, `<TSK P123_Color="red" A="TSK1"`),
		"another's elements":   edit(`<DLT A="DFFF" B="31"/>`, `<P094_X A="1"><Y/></P094_X><DLT A="DFFF" B="31"/>`),
		"later attribute":      edit(`<PDT A="PDT1"`, `<PDT F="1" A="PDT1"`),
		"later kind of point":  edit(`<PNT A="2" C="47.3504" D="-90.4"/>`, `<PNT A="10" C="47.3504" D="-90.4"/>`),
		"clutter":              func(f Files) { f["._TASKDATA.XML"], f["other.txt"] = []byte{0, 5, 22, 7}, nil },
		"external file": func(f Files) {
			edit(`<PDT A="PDT1" B="Dry blend" E="004B"/>`, `<XFR A="PDT00001" B="1"/>`)(f)
			edit(` <PDT A="PDT2" B="Liquid mix" E="0048"/>`, ``)(f)
			f["PDT00001.XML"] = []byte(`<XFC><PDT A="PDT1" B="Dry blend" E="004B"/><PDT A="PDT2" B="Liquid mix" E="0048"/></XFC>`)
		},
	} {
		files := example(t)
		change(files)
		got, _, err := Decode(files)
		if err != nil {
			t.Errorf("%s: %v", name, err)
			continue
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: read as\n%+v\nwant\n%+v", name, got, want)
		}
	}
}

// Without a boundary, and with codes of the task that are no zone's, the rates stand.
func TestReadsWithoutBoundaryOrZonesOfTheTask(t *testing.T) {
	files := example(t)
	text := string(files[Main])
	from, to := strings.Index(text, "<PLN"), strings.Index(text, "</PFD>")
	text = text[:from] + text[to:]
	files[Main] = []byte(strings.ReplaceAll(text, `H="0" I="0" J="0"`, `H="77" I="78" J="255"`))
	got, _, err := Decode(files)
	if err != nil || got.Fields[0].Boundary != nil || got.Tasks[0].Default != 77 || got.Tasks[0].Grid.Counts[1] != 11209 {
		t.Errorf("read as %+v (%v)", got, err)
	}
}

// Nothing is expanded, and nothing grows: a document type is refused, and so is depth.
func TestHostileXML(t *testing.T) {
	for name, text := range map[string]string{
		"document type": `<!DOCTYPE a [<!ENTITY b "c">]><ISO11783_TaskData/>`,
		"entity":        `<ISO11783_TaskData A="&b;"/>`,
		"depth":         strings.Repeat("<a>", 100) + strings.Repeat("</a>", 100),
		"two roots":     `<ISO11783_TaskData/><ISO11783_TaskData/>`,
		"other root":    `<html/>`,
		"nothing":       ``,
		"other bytes":   "\x00\x01\x02",
		"no number":     `<ISO11783_TaskData><TSK A="TSK1"><GRD A="0x1p-2" B="1" C="1" D="1" E="1" F="1" I="1" G="GRD00001"/></TSK></ISO11783_TaskData>`,
		"many cells":    `<ISO11783_TaskData><TSK A="TSK1"><GRD A="1" B="1" C="1" D="1" E="268435455" F="268435455" I="1" G="GRD00001"/></TSK></ISO11783_TaskData>`,
	} {
		if set, _, err := Decode(Files{Main: []byte(text)}); err == nil {
			t.Errorf("%s: read as %+v", name, set)
		}
	}
}

func FuzzDecode(f *testing.F) {
	files := Encode(rich())
	f.Add(files[Main], files["GRD00001.bin"])
	f.Add([]byte(`<ISO11783_TaskData><TSK A="TSK1"><TZN A="0"><PLN><LSG A="2"><PNT C="1" D="1"/></LSG></PLN></TZN></TSK></ISO11783_TaskData>`), []byte{})
	f.Fuzz(func(t *testing.T, text, bin []byte) {
		files := Files{Main: text, "GRD00001.bin": bin}
		set, _, err := Decode(files)
		Check(inFolder(files))
		if err == nil && set == nil {
			t.Error("neither a set nor an error")
		}
	})
}
