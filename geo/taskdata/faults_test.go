package taskdata

import (
	"bytes"
	"errors"
	"maps"
	"math/bits"
	"path"
	"reflect"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo"
)

// sound is a set without a fault, with both types of grid, polygons and a log, as it lies
// on a stick.
func sound(t *testing.T) map[string][]byte {
	t.Helper()
	files := Encode(rich())
	files["TLG00001.xml"] = []byte(exampleHeader)
	files["TLG00001.bin"] = exampleRecord(t)
	stick := inFolder(files)
	swap(`<TSK A="TSK3" C="CTR1" D="FRM1" E="PFD1" G="1" H="0" I="0" J="0">`,
		`<TSK A="TSK3" C="CTR1" D="FRM1" E="PFD1" G="4" H="0" I="0" J="0"><TLG A="TLG00001" B="40" C="1"/>`)(stick)
	if faults := Check(stick); len(faults) > 0 {
		t.Fatal(faults)
	}
	return stick
}

// outcome is what becomes of a faulty set where it is read as a prescription.
type outcome int

const (
	refused outcome = iota
	same            // its rates are read as they were meant; the check names the fault
	nothing         // there is nothing to read
)

// faulty makes one kind of fault.
type faulty struct {
	name string
	rule string // that the check must name; empty where it is legal
	read outcome
	make func(files map[string][]byte)
}

const main = Folder + "/" + Main

// swap replaces a text in the main file.
func swap(from, to string) func(map[string][]byte) {
	return func(files map[string][]byte) {
		text := string(files[main])
		if !strings.Contains(text, from) {
			panic("there is no " + from)
		}
		files[main] = []byte(strings.Replace(text, from, to, 1))
	}
}

func move(from, to string) func(map[string][]byte) {
	return func(files map[string][]byte) { files[to] = files[from]; delete(files, from) }
}

func remove(name string) func(map[string][]byte) {
	return func(files map[string][]byte) { delete(files, Folder+"/"+name) }
}

func edit(name string, change func([]byte) []byte) func(map[string][]byte) {
	return func(files map[string][]byte) { files[Folder+"/"+name] = change(bytes.Clone(files[Folder+"/"+name])) }
}

func shorter(b []byte) []byte { return b[:len(b)-1] }

// otherOrder turns every number of four bytes around.
func otherOrder(b []byte) []byte {
	for i := 0; i+4 <= len(b); i += 4 {
		slices.Reverse(b[i : i+4])
	}
	return b
}

var faults = []faulty{
	{"required attribute missing", "attribute-missing", same, swap(` B="Dry" E="004B"`, ` E="004B"`)},
	{"unknown attribute", "attribute-unknown", same, swap(`<PDT A="PDT1"`, `<PDT A="PDT1" Z="1"`)},
	{"id twice", "id-twice", refused, swap(`<PDT A="PDT2"`, `<PDT A="PDT1"`)},
	{"binary file of a grid missing", "file-missing", refused, remove("GRD00001.bin")},
	{"type 2 of a wrong size", "file-size", refused, edit("GRD00001.bin", shorter)},
	{"type 1 of a wrong size", "file-size", refused, edit("GRD00002.bin", shorter)},
	{"main file not in upper case", "name-case", same, move(main, Folder+"/TaskData.xml")},
	{"ending .BIN", "ending-case", same, move(Folder+"/GRD00001.bin", Folder+"/GRD00001.BIN")},
	{"log ends early", "log-short", same, edit("TLG00001.bin", shorter)},
	{"log of another length", "file-size", same, swap(`<TLG A="TLG00001" B="40"`, `<TLG A="TLG00001" B="41"`)},
	{"log without template", "file-missing", same, remove("TLG00001.xml")},
	{"log without records", "file-missing", same, remove("TLG00001.bin")},
	{"length wrong", "length-wrong", same, swap(`H="16"`, `H="17"`)},
	{"code of type 1 without zone", "zone-missing", same, swap(`<TZN A="7">`, `<TZN A="8">`)},
	{"grid's zone missing", "zone-missing", refused, swap(`I="2" J="1"`, `I="2" J="9"`)},
	{"default zone missing", "zone-missing", same, swap(`H="0" I="0" J="0"`, `H="9" I="0" J="0"`)},
	{"zone for a lost position missing", "zone-missing", same, swap(`H="0" I="0" J="0"`, `H="0" I="9" J="0"`)},
	{"zone outside of the field missing", "zone-missing", same, swap(`H="0" I="0" J="0"`, `H="0" I="0" J="9"`)},
	{"code twice", "zone-twice", refused, swap(`<TZN A="1" B="grid">`, `<TZN A="0" B="grid">`)},
	{"two grids", "several-grids", refused, swap(`<GRD `, `<GRD A="1" B="1" C="1" D="1" E="1" F="1" G="GRD00002" I="1"/><GRD `)},
	{"product missing", "reference-missing", same, swap(`<PDT A="PDT2"`, `<PDT A="PDT3"`)},
	{"field missing", "reference-missing", same, swap(`<PFD A="PFD1"`, `<PFD A="PFD2"`)},
	{"not a number", "value-bad", refused, swap(`C="0.0001"`, `C="abc"`)},
	{"out of range", "value-bad", refused, swap(`<GRD A="47"`, `<GRD A="147"`)},
	{"comma for a point", "value-bad", refused, swap(`C="0.0001"`, `C="0,0001"`)},
	{"text too long", "value-bad", same, swap(`B="Dry"`, `B="`+strings.Repeat("d", 33)+`"`)},
	{"bad id", "value-bad", same, swap(`<VPN A="VPN1"`, `<VPN A="VP1"`)},
	{"bad choice", "value-bad", refused, swap(`I="2" J="1"`, `I="3" J="1"`)},
	{"unknown element", "element-unknown", same, swap(`<DLT `, `<XYZ A="1"/><DLT `)},
	{"dictionary entry not in four digits", "value-bad", same, swap(`A="0006" B="22417"`, `A="6" B="22417"`)},
	{"version 3.0", "version", same, swap(`VersionMinor="3"`, `VersionMinor="0"`)},
	{"text inside", "text-inside", same, swap(`<DLT `, `some text<DLT `)},
	{"latitude and longitude swapped", "value-bad", refused, swap(`C="47" D="-90.02"`, `C="-90.02" D="47"`)},
	{"not well-formed", "not-well-formed", refused, swap(`</TSK>`, `</TSX>`)},
	{"no end", "not-well-formed", refused, edit(Main, func(b []byte) []byte { return b[:len(b)/2] })},
	{"two roots", "not-well-formed", refused, edit(Main, func(b []byte) []byte { return append(b, "<ISO11783_TaskData/>"...) })},
	{"another folder", "folder", same, func(files map[string][]byte) {
		for _, name := range slices.Sorted(maps.Keys(files)) {
			move(name, "Field/"+path.Base(name))(files)
		}
	}},
	{"bytes in the other order", "rates-implausible", refused, edit("GRD00001.bin", otherOrder)},
	{"open ring", "", same, swap(`<PNT A="2" C="47" D="-90.02"/>`+"\n   </LSG>", "</LSG>")},
	{"root without children", "", nothing, edit(Main, func([]byte) []byte {
		return []byte(`<ISO11783_TaskData VersionMajor="3" VersionMinor="3" ManagementSoftwareManufacturer="a" ManagementSoftwareVersion="1" DataTransferOrigin="1"/>`)
	})},
	{"value of a log at no place", "log-unreadable", same, edit("TLG00001.bin", func(b []byte) []byte { b[20] = 200; return b })},
}

// What the check says of each kind, where it is and what.
func TestFaultsAreTold(t *testing.T) {
	var said []string
	for _, f := range faults {
		files := sound(t)
		f.make(files)
		for _, got := range Check(files) {
			if got.Rule == f.rule {
				said = append(said, f.name+": "+got.String())
				break
			}
		}
	}
	if got := strings.Join(said, "\n"); got != faultsTold {
		t.Errorf("said is\n%s\nwant\n%s", got, faultsTold)
	}
}

const faultsTold = `required attribute missing: PDT@B is missing
unknown attribute: PDT@Z is no attribute there
id twice: PDT@A "PDT1" is there twice
binary file of a grid missing: GRD00001.bin is missing
type 2 of a wrong size: GRD00001.bin has 15 bytes, want 16
type 1 of a wrong size: GRD00002.bin has 3 bytes, want 4
main file not in upper case: TASKDATA/TaskData.xml must be called TASKDATA.XML
ending .BIN: TASKDATA/GRD00001.BIN must end with .bin
log ends early: TLG00001.bin ends with 39 bytes that are no whole record
log of another length: TLG00001.bin has 40 bytes, want 41
log without template: TLG00001.xml is missing
log without records: TLG00001.bin is missing
length wrong: TSK1: GRD@H says 17 bytes, want 16
code of type 1 without zone: TSK2: GRD has cells of code 7, which is no zone of the task
grid's zone missing: TSK1: GRD@J "9" is no zone of the task
default zone missing: TSK1: TSK@H "9" is no zone of the task
zone for a lost position missing: TSK1: TSK@I "9" is no zone of the task
zone outside of the field missing: TSK1: TSK@J "9" is no zone of the task
code twice: TSK1: TZN@A "0" is there twice
two grids: TSK1: GRD is there twice, and a task has one grid
product missing: PDV@C names "PDT2", which is not there
field missing: TSK@E names "PFD1", which is not there
not a number: GRD@C "abc" is no number
out of range: GRD@A "147" is not between -90 and 90
comma for a point: GRD@C "0,0001" is no number
text too long: PDT@B "ddddddddddddddddddddddddddddddddd" is longer than 32 characters
bad id: VPN@A "VP1" is no ID such as VPN1
bad choice: GRD@I "3" is not 1 or 2
unknown element: TSK/XYZ may not stand there
dictionary entry not in four digits: PDV@A "6" is no entry of the data dictionary in four hexadecimal digits
version 3.0: ISO11783_TaskData has version 3.0, not 3.3
text inside: TSK has text inside, "some text": all data stand in attributes
latitude and longitude swapped: PNT@C "-90.02" is not between -90 and 90
not well-formed: TASKDATA.XML line 46: is no whole XML: element <TSK> closed by </TSX>
no end: TASKDATA.XML line 38: is no whole XML: unexpected EOF
two roots: TASKDATA.XML line 83: has a second root, <ISO11783_TaskData>
another folder: Field/TASKDATA.XML must lie in a folder called TASKDATA
bytes in the other order: GRD00001.bin holds rates that nobody means in 2 of its cells, such as -919928832: its bytes stand in the other order than the standard's
value of a log at no place: TLG00001 TLG00001.bin: record 1 has a value at place 200, and its template names 4`

// What is refused is told with its file, its line or its place, and what to do.
func TestRefusalsAreTold(t *testing.T) {
	var said []string
	for _, f := range faults {
		files := sound(t)
		f.make(files)
		if _, _, err := Decode(flat(files)); err != nil {
			told := f.name + ": " + err.Error()
			if e := (*FileError)(nil); errors.As(err, &e) && e.Hint != "" {
				told += " -> " + e.Hint
			}
			if e := (*geo.BadFileError)(nil); errors.As(err, &e) && e.Hint != "" {
				told += " -> " + e.Hint
			}
			said = append(said, told)
		}
	}
	if got := strings.Join(said, "\n"); got != refusalsTold {
		t.Errorf("said is\n%s\nwant\n%s", got, refusalsTold)
	}
}

const refusalsTold = `id twice: TASKDATA.XML: field PDT@A: "PDT1" is there twice -> export the task data again where it was made; what is doubtful is not guessed
binary file of a grid missing: GRD00001.bin: is missing, and it holds the rates of TSK1 -> copy the whole folder as it is on the stick
type 2 of a wrong size: GRD00001.bin: has 15 bytes; 2 columns and 1 rows of type 2 take 16 -> copy the folder again; a file of another size can't be read right
type 1 of a wrong size: GRD00002.bin: has 3 bytes; 2 columns and 2 rows of type 1 take 4 -> copy the folder again; a file of another size can't be read right
grid's zone missing: TASKDATA.XML: TSK1: the zone that its grid refers to is not there, so that nobody can know what its cells count -> export the task data again where it was made
code twice: TASKDATA.XML: field TSK1: TZN@A: "0" is there twice -> export the task data again where it was made; what is doubtful is not guessed
two grids: TASKDATA.XML: field TSK1: GRD: is there twice, and a task has one grid (line 45) -> export the task data again where it was made; what is doubtful is not guessed
not a number: TASKDATA.XML: field TSK1: GRD@C: "abc" is not a number (line 45)
TASKDATA.XML: field TSK1: GRD@C: "abc" makes cells without a size (line 45) -> export the task data again where it was made; what is doubtful is not guessed
out of range: TASKDATA.XML: field TSK1: GRD@A: "147" is not between -90 and 90 (line 45)
TASKDATA.XML: field TSK1: GRD@A: "147" makes a grid that passes the pole (line 45) -> export the task data again where it was made; what is doubtful is not guessed
comma for a point: TASKDATA.XML: field TSK1: GRD@C: "0,0001" is not a number: its decimals must stand behind a point (line 45)
TASKDATA.XML: field TSK1: GRD@C: "0,0001" makes cells without a size (line 45) -> export the task data again where it was made; what is doubtful is not guessed
bad choice: TASKDATA.XML: field TSK1: GRD@I: "3" is not between 1 and 2 (line 45) -> export the task data again where it was made; what is doubtful is not guessed
latitude and longitude swapped: TASKDATA.XML: field PNT@C: "-90.02" is not between -90 and 90 (line 24) -> export the task data again where it was made; what is doubtful is not guessed
not well-formed: TASKDATA.XML: line 46: is no whole XML: element <TSK> closed by </TSX> -> copy the folder again, or export it again
no end: TASKDATA.XML: line 38: is no whole XML: unexpected EOF -> copy the folder again, or export it again
two roots: TASKDATA.XML: line 83: has a second root, <ISO11783_TaskData>
bytes in the other order: GRD00001.bin: holds rates that nobody means in 2 of its cells, such as -919928832: its bytes stand in the other order than the standard's -> export the task data again where it was made`

// Each kind of fault is named by the check, and read as it was meant or not at all.
func TestFaults(t *testing.T) {
	if len(faults) < 38 {
		t.Errorf("%d kinds of faults", len(faults))
	}
	clean := sound(t)
	want := read(t, clean)
	for _, f := range faults {
		t.Run(f.name, func(t *testing.T) {
			files := sound(t)
			f.make(files)
			if reflect.DeepEqual(files, clean) {
				t.Fatal("nothing was changed")
			}
			found := Check(files)
			if f.rule == "" && len(found) > 0 || f.rule != "" && !slices.ContainsFunc(found, func(got fault) bool { return got.Rule == f.rule }) {
				t.Errorf("the check finds %v, want %q", found, f.rule)
			}
			set, _, err := Decode(flat(files))
			switch {
			case f.read == refused && err == nil:
				t.Errorf("read as %+v, want it refused", set)
			case f.read == refused:
			case err != nil:
				t.Errorf("refused: %v", err)
			case f.read == nothing && len(set.Tasks) > 0:
				t.Errorf("read as %+v", set)
			case f.read == same:
				compareRates(t, set, want, f.name == "code of type 1 without zone")
			}
		})
	}
}

func flat(files map[string][]byte) Files {
	out := Files{}
	for name, data := range files {
		out[path.Base(name)] = data
	}
	return out
}

func read(t *testing.T, files map[string][]byte) *Set {
	t.Helper()
	set, _, err := Decode(flat(files))
	if err != nil {
		t.Fatal(err)
	}
	return set
}

// compareRates holds the rates of all cells and polygons against those that were meant;
// without are cells that may have lost theirs.
func compareRates(t *testing.T, got, want *Set, without bool) {
	t.Helper()
	for i := range want.Tasks {
		a, b := &got.Tasks[i], &want.Tasks[i]
		if b.Grid == nil {
			if !reflect.DeepEqual(a.Zones, b.Zones) {
				t.Errorf("%s: zones are %+v, want %+v", b.ID, a.Zones, b.Zones)
			}
			continue
		}
		for cell := range b.Grid.Cells() {
			x, ok := a.Count(cell/b.Grid.Columns, cell%b.Grid.Columns, 0)
			y, _ := b.Count(cell/b.Grid.Columns, cell%b.Grid.Columns, 0)
			if x != y && !(without && !ok) {
				t.Errorf("%s: cell %d is %d, want %d", b.ID, cell, x, y)
			}
		}
	}
}

func TestOtherOrderIsNamed(t *testing.T) {
	counts := []int32{0, 11209, 16813}
	for i, n := range counts {
		counts[i] = int32(bits.ReverseBytes32(uint32(n)))
	}
	if why := implausible(counts, []DDI{SetpointMassPerArea}); !strings.Contains(why, "other order") {
		t.Errorf("it says %q", why)
	}
	if why := implausible([]int32{-5}, []DDI{SetpointMassPerArea}); why == "" || strings.Contains(why, "other order") {
		t.Errorf("it says %q", why)
	}
}
