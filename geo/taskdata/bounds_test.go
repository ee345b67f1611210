package taskdata

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/raster"
)

// A small archive can hold a grid that no field has: it is refused before it is drawn.
func TestGridsThatNoFieldHas(t *testing.T) {
	for _, c := range []struct {
		name          string
		columns, rows int
		code          func(cell int) byte
		want          string // of the refusal; empty for none
	}{
		{"as many cells as are taken, all alike", 1 << 10, 1 << 10, func(int) byte { return 1 }, ""},
		{"a row more", 1 << 10, 1<<10 + 1, func(int) byte { return 1 }, "cells"},
		{"each cell by itself", 640, 640, func(cell int) byte { return byte((cell + cell/640) % 2) }, "409600 pieces"},
	} {
		g := &Grid{South: 47, West: -90, Height: 1e-5, Width: 1e-5, Columns: c.columns, Rows: c.rows, File: "GRD00001", Type: 1, Zone: None, Codes: make([]byte, c.columns*c.rows)}
		for i := range g.Codes {
			g.Codes[i] = c.code(i)
		}
		rate := func(n int32) []Value { return []Value{{DDI: 6, Count: n, Product: "PDT1"}} }
		set := &Set{Products: []Product{{ID: "PDT1", Name: "urea"}}, Tasks: []Task{{ID: "TSK1", Grid: g, Zones: []Zone{{Code: 0, Values: rate(20000)}, {Code: 1, Values: rate(10000)}}}}}
		layer, err := Prescription(set, "")
		var told *FileError
		switch {
		case c.want == "" && (err != nil || layer.Shapes.Len() != 1):
			t.Errorf("%s: %v", c.name, err)
		case c.want != "" && (!errors.As(err, &told) || told.File != "GRD00001.BIN" || told.Hint == "" || !strings.Contains(told.Why, c.want)):
			t.Errorf("%s: %v, want it refused for %s", c.name, err, c.want)
		}
	}
}

// What all grids of a set take is bounded: any number of tasks can name the same file.
func TestGridsOfManyTasks(t *testing.T) {
	task := func(id string, columns, rows int, file string) string {
		return fmt.Sprintf(`<TSK A="%s" G="1"><TZN A="1"><PDV A="0006" B="20000" C="PDT1"/></TZN><GRD A="47" B="-90" C="0.00001" D="0.00001" E="%d" F="%d" G="%s" I="1"/></TSK>`, id, columns, rows, file)
	}
	one, most := task("TSK1", 1, 1, "GRD00001"), task("TSK2", 1<<13, mostGrids>>13, "GRD00002")
	for tasks, want := range map[string]string{one: "", most: "GRD00002.bin: is missing", one + one + one: "TSK@A: \"TSK1\" is there twice", one + most: "grids of its tasks"} {
		text := `<ISO11783_TaskData VersionMajor="3" VersionMinor="3"><PDT A="PDT1" B="urea"/>` + tasks + "</ISO11783_TaskData>"
		_, _, err := Decode(Files{Main: []byte(text), "GRD00001.bin": {1}})
		if want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%v, want %q", err, want)
		}
	}
}

// Each attribute is held against those before it, so that their number is bounded.
func TestAttributesThatNoElementHas(t *testing.T) {
	for _, c := range []struct {
		attrs int
		want  string
	}{{mostAttrs, ""}, {mostAttrs + 1, "<CTR> has 257 attributes"}} {
		text := "<ISO11783_TaskData><CTR"
		for i := range c.attrs {
			text += fmt.Sprintf(" a%d=\"1\"", i)
		}
		root, err := parse(Main, []byte(text+"/></ISO11783_TaskData>"))
		if c.want == "" && (err != nil || len(root.children[0].attrs) != c.attrs) || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%d attributes: %v", c.attrs, err)
		}
	}
	root, err := parse(Main, []byte("<ISO11783_TaskData>"+strings.Repeat("some text<!-- -->", 1000)+"</ISO11783_TaskData>"))
	if err != nil || len(root.text) > mostText+len("some text") || !strings.HasPrefix(root.text, "some textsome text") {
		t.Errorf("text of %d bytes is kept, %v", len(root.text), err)
	}
}

// Elements and attributes are counted in files of XML, ends of elements not.
func TestSignsOfElementsAreCounted(t *testing.T) {
	files := Files{
		Main:           []byte(`<ISO11783_TaskData A="1" B="2"><TSK/><TZN A=""></TZN></ISO11783_TaskData>`), // 3 and 3
		"pdt00001.xml": []byte("<XFC/>"), "GRD00001.BIN": []byte("<<<==="),
	}
	if n := files.Elements(); n != 7 {
		t.Errorf("%d elements and attributes, want 7", n)
	}
}

// A file that is named again and again is read once, and all files of a set share the bound on
// elements: forty thousand names of one of twenty thousand elements are some kilobytes.
func TestFilesThatAreNamedOften(t *testing.T) {
	main := `<ISO11783_TaskData VersionMajor="3">` + strings.Repeat(`<XFR A="PDT00001" B="1"/>`, 1000) + `</ISO11783_TaskData>`
	root, err := tree(Files{Main: []byte(main), "PDT00001.XML": []byte(`<XFC><PDT A="PDT1" B="urea"/><PDT A="PDT2" B="sulfate"/></XFC>`)})
	if err != nil || len(root.all("PDT")) != 2 {
		t.Errorf("%d products, %v, want 2", len(root.all("PDT")), err)
	}
	elements := mostElements - 2
	if _, err := parseAfter(Main, []byte("<XFC><PDT/></XFC>"), &elements); err != nil || elements != mostElements {
		t.Errorf("%v after %d elements, want as many as may be", err, elements)
	}
	if _, err := parseAfter(Main, []byte("<XFC/>"), &elements); err == nil || !strings.Contains(err.Error(), "elements") {
		t.Errorf("an element more: %v", err)
	}
}

// A pattern that repeats packs into nothing, and costs as much as a field: a comb is refused
// before it is drawn, noise of as many borders is not.
func TestBordersThatNoArchiveHolds(t *testing.T) {
	r := rand.New(rand.NewPCG(2, 9))
	cells := raster.Grid{Columns: 7, Rows: 5}
	var counts [][]int32
	for cell := range 35 {
		counts = append(counts, []int32{int32(cell % 7 % 2)}) // 6 borders in each of 5 rows
	}
	counts[0] = []int32{1} // one less to the east, one more to the north
	if n := bordersOf(cells, counts); n != 30 {
		t.Errorf("%d borders, want 30", n)
	}
	rate := func(n int32) []Value { return []Value{{DDI: 6, Count: n, Product: "PDT1"}} }
	for _, c := range []struct {
		name    string
		perByte int
		code    func(cell int) byte
		want    string
	}{
		{"a comb", 16, func(cell int) byte { return byte(cell % 400 % 2) }, "GRD00001.BIN: has 159600 sides"},
		{"a comb of a folder", 0, func(cell int) byte { return byte(cell % 400 % 2) }, ""},
		{"strips of two cells", 16, func(cell int) byte { return byte(cell % 400 / 2 % 2) }, ""}, // 79,600
		{"noise", 16, func(int) byte { return byte(r.IntN(2)) }, ""},
	} {
		g := &Grid{South: 47, West: -90, Height: 1e-5, Width: 1e-5, Columns: 400, Rows: 400, File: "GRD00001", Type: 1, Zone: None}
		for cell := range 160_000 {
			g.Codes = append(g.Codes, c.code(cell))
		}
		set := &Set{BordersPerByte: c.perByte, Products: []Product{{ID: "PDT1", Name: "urea"}}, Tasks: []Task{{ID: "TSK1", Grid: g, Zones: []Zone{{Code: 0, Values: rate(20000)}, {Code: 1, Values: rate(10000)}}}}}
		if _, err := Prescription(set, ""); c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
}

// Two rates of one product for one zone leave open which is meant; the same one twice doesn't.
func TestTwoRatesOfOneProduct(t *testing.T) {
	for value, want := range map[string]string{
		`A="0006" B="20000" C="PDT1"`: "", `A="0006" B="30000" C="PDT1"`: "another rate of the same product", `A="0006" B="30000" C="PDT2"`: "",
	} {
		text := `<ISO11783_TaskData VersionMajor="3" VersionMinor="3"><PDT A="PDT1" B="urea"/><PDT A="PDT2" B="sulfate"/><TSK A="TSK1" G="1"><TZN A="1"><PDV A="0006" B="20000" C="PDT1"/><PDV ` + value + `/></TZN></TSK></ISO11783_TaskData>`
		if _, _, err := Decode(Files{Main: []byte(text)}); want == "" && err != nil || want != "" && (err == nil || !strings.Contains(err.Error(), want)) {
			t.Errorf("%s: %v, want %q", value, err, want)
		}
	}
}

// Where cells say the rates, what stands in their zone is none.
func TestTwoRatesOfAGridsZone(t *testing.T) {
	zone := Zone{Code: 1, Values: []Value{{DDI: 6, Count: 1, Product: "PDT1"}, {DDI: 6, Count: 2, Product: "PDT1"}}}
	for grid, want := range map[*Grid]int{nil: 1, {Type: 1, Zone: 1}: 1, {Type: 2, Zone: 1}: 0, {Type: 2, Zone: 2}: 1} {
		d := decoder{s: Set{Tasks: []Task{{Zones: []Zone{zone}, Grid: grid}}}}
		if d.twice(); len(d.bad) != want {
			t.Errorf("%+v: %v, want %d", grid, d.bad, want)
		}
	}
}

// As many elements as a file may have are read, and none more: 8 times 1,048,576.
func TestElementsAreCounted(t *testing.T) {
	for _, c := range []struct {
		before int // elements that were counted already
		want   string
	}{{8_388_606, ""}, {8_388_607, "has more than 8388608 elements"}} {
		p := parser{name: Main, count: c.before, line: 1}
		err := p.begin(xml.StartElement{Name: xml.Name{Local: "A"}})
		if err == nil {
			err = p.begin(xml.StartElement{Name: xml.Name{Local: "B"}})
		}
		if c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("after %d: %v, want %q", c.before, err, c.want)
		}
	}
}

// Rates up to 40,000 lb/ac and 20,000 gal/ac are rates, 4,483,405 mg/m² and 1,870,791,246 mm³/m²,
// counted in mg and in hundredths of a mm³; what is a tenth beyond was not meant.
func TestRatesThatNobodyMeans(t *testing.T) {
	for _, c := range []struct {
		ddi   DDI
		count int32
		odd   bool
	}{
		{SetpointMassPerArea, 4_483_405, false}, {SetpointMassPerArea, 4_940_000, true}, {SetpointMassPerArea, -1, true},
		{SetpointVolumePerArea, 1_870_791_246, false}, {SetpointVolumePerArea, 2_060_000_000, true}, {SetpointVolumePerArea, 0, false},
	} {
		if why := implausible([]int32{c.count}, []DDI{c.ddi}); (why != "") != c.odd {
			t.Errorf("a count of %d for DDI %d: %q", c.count, c.ddi, why)
		}
	}
}

// A cell has both sizes.
func TestCellsWithoutASize(t *testing.T) {
	for _, size := range []string{"C", "D"} {
		files := flat(sound(t))
		text := string(files[Main])
		from := strings.Index(text, "<GRD ")
		_, after, _ := strings.Cut(text[from:], " "+size+`="`)
		old, _, _ := strings.Cut(after, `"`)
		files[Main] = []byte(text[:from] + strings.Replace(text[from:], " "+size+`="`+old+`"`, " "+size+`="0"`, 1))
		if _, _, err := Decode(files); err == nil || !strings.Contains(err.Error(), "without a size") {
			t.Errorf("%s of 0 for %s: %v", size, old, err)
		}
	}
}

// A log's rates are a track each, for each task that names it: what a small set comes to is bounded,
// and so is what its values take that go on from record to record.
func TestTracksThatNoMachineDrives(t *testing.T) {
	placed := []byte{0, 0x20, 0x70, 0x18, 0, 0x4b, 0x6b, 0xc6, 0} // 41 N, 96.6 W, and no values
	set := func(rates, names, records int, record []byte) error {
		files := Files{
			Main:           []byte("<ISO11783_TaskData><TSK A=\"TSK1\">" + strings.Repeat(`<TLG A="TLG00001"/>`, names) + "</TSK></ISO11783_TaskData>"),
			"TLG00001.XML": []byte(`<TIM A=""><PTN A="" B=""/>` + strings.Repeat(`<DLV A="0007" C="DET-1"/>`, rates) + "</TIM>"),
			"TLG00001.BIN": bytes.Repeat(append(make([]byte, 6), record...), records),
		}
		set, err := DecodeForLogs(files)
		if err == nil {
			_, err = Tracks(set, files, all)
		}
		return err
	}
	for _, c := range []struct {
		name                  string
		rates, names, records int
		want                  string
	}{
		{"a boom with a rate for each of 48 nozzles", 48, 1, 5000, ""},
		{"as many values as a record can have", mostColumns, 1, 100, ""},
		{"more values than a record can have", mostColumns + 1, 1, 1, "more than 255 values"},
		{"a log of many rates that stay as they are", mostColumns, 1, 6000, "more rates for its records"},
		{"a log that many tasks name", 1, 1000, 2000, "more rates for its records"},
		{"a small log that some tasks name", 1, 4, 20_000, ""},
	} {
		if err := set(c.rates, c.names, c.records, placed); c.want == "" && err != nil || c.want != "" && (err == nil || !strings.Contains(err.Error(), c.want)) {
			t.Errorf("%s: %v, want %q", c.name, err, c.want)
		}
	}
	// A log without a place comes to no row, and is read as often as it is named all the same.
	if err := set(1, 1000, 2000, make([]byte, 9)); err == nil || !strings.Contains(err.Error(), "named by too many tasks") {
		t.Errorf("a log without a place that many tasks name: %v", err)
	}
}

// What goes on from record to record is kept once, and counted once.
func TestValuesThatGoOnAreKeptOnce(t *testing.T) {
	h := &header{present: [fieldCount]bool{north: true, east: true}, columns: make([]logColumn, mostColumns)}
	place := []byte{0, 0x20, 0x70, 0x18, 0, 0x4b, 0x6b, 0xc6}
	alike, same := append(slices.Clone(place), 0), append(slices.Clone(place), 1, 0, 7, 0, 0, 0)
	log, err := h.read(bytes.Repeat(alike, mostValues/mostColumns+2))
	if err != nil || len(log.Records) != mostValues/mostColumns+2 {
		t.Fatal(err)
	}
	var differs []byte
	for i := range mostValues/mostColumns + 2 {
		differs = append(append(differs, place...), 1, 0, byte(i), 1, 0, 0)
	}
	if testing.Short() {
		differs = nil // 200 MB of them
	} else if log, err := h.read(differs); log != nil || err == nil || !strings.HasPrefix(err.Error(), "has more than 50000000 values") {
		t.Errorf("values that all change: %v", err)
	}
	for name, c := range map[string]struct {
		data []byte
		want []int32 // the first value of each record
		kept int
	}{
		"a value that comes again": {slices.Concat(alike, same, same, alike), []int32{0, 7, 7, 7}, 2},
		"a value that changes":     {slices.Concat(same, append(slices.Clone(place), 1, 0, 8, 0, 0, 0), same), []int32{7, 8, 7}, 3},
	} {
		log, err := h.read(c.data)
		if err != nil {
			t.Fatal(err)
		}
		kept := map[*int32]bool{}
		for i, r := range log.Records {
			kept[&r.Values[0]] = true
			if r.Values[0] != c.want[i] || r.Known[0] != (c.want[i] > 0) || r.Known[1] {
				t.Errorf("%s: record %d has %d (%v), want %d", name, i, r.Values[0], r.Known[0], c.want[i])
			}
		}
		if len(kept) != c.kept {
			t.Errorf("%s: kept %d times, want %d", name, len(kept), c.kept)
		}
	}
}

// Tracks that are not wanted are named, and have no rows.
func TestTracksWithoutRows(t *testing.T) {
	template := templateOf(plainFields, nil, "0007 DET-3", "0002 DET-4")
	files := Files{Main: []byte(finished), "TLG00001.xml": template, "TLG00001.bin": layOut(plainFields, at(0, 0, map[int]int32{0: 16850, 1: 935396}))}
	set, err := DecodeForLogs(files)
	if err != nil {
		t.Fatal(err)
	}
	list, err := Tracks(set, files, func(t Track) bool { return t.Product == "Mix" })
	if err != nil || len(list) != 2 || list[0].Called() != "Dry" || len(list[0].Log.Rows) != 0 || len(list[1].Log.Rows) != 1 {
		t.Errorf("%+v, %v", list, err)
	}
}

// A task whose polygons have no rates, or whose rates have no polygon, is no prescription.
func TestTasksWithoutGroundOrRates(t *testing.T) {
	ground := orb.MultiPolygon{{{{-90, 47}, {-89.9, 47}, {-89.9, 47.1}, {-90, 47}}}}
	rate := []Value{{DDI: SetpointMassPerArea, Count: 20000, Product: "PDT1"}}
	for what, zones := range map[string][]Zone{"no ground": {{Code: 1, Values: rate}}, "no rates": {{Code: 1, Ground: ground}}, "one of each": {{Code: 1, Values: rate}, {Code: 2, Ground: ground}}} {
		set := &Set{Products: []Product{{ID: "PDT1", Name: "urea"}}, Tasks: []Task{{ID: "TSK1", Zones: zones}}}
		if layer, err := Prescription(set, ""); err == nil || err.Error() != "has 1 tasks, and none of them has rates by place" {
			t.Errorf("%s: %v, %v", what, layer, err)
		}
	}
}
