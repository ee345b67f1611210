package taskdata

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo"
)

// What is wrong is told with its task, element and attribute; the ends of a range are in it.
func TestWrongIsToldByItsPlace(t *testing.T) {
	const grid = `<GRD A="47" B="-90" C="0.0001" D="0.00012" E="2" F="1" G="GRD00001" H="16" I="2" J="1"/>`
	in := func(from, to string) func(map[string][]byte) {
		return swap(grid, strings.Replace(grid, from, to, 1))
	}
	for _, c := range []struct {
		change func(map[string][]byte)
		want   string // empty where it is read
	}{
		{in(`A="47"`, `A=""`), "TSK1: GRD@A: is missing"},
		{in(`A="47"`, `A="90"`), ""}, // a hundredth of a second beyond the pole is let be
		{in(`A="47"`, `A="90.001"`), `TSK1: GRD@A: "90.001" is not between -90 and 90`},
		{in(`A="47"`, `A="-90"`), ""}, {in(`A="47"`, `A="-90.001"`), `TSK1: GRD@A: "-90.001" is not between -90 and 90`},
		{in(`A="47"`, `A="89.9" F="1"`), "has its attribute F twice"},
		{in(`B="-90"`, `B="-180"`), ""}, {in(`B="-90"`, `B="180"`), ""}, {in(`B="-90"`, `B="180.1"`), `TSK1: GRD@B: "180.1" is not between -180 and 180`},
		{in(`C="0.0001"`, `C="1"`), ""}, {in(`C="0.0001"`, `C="1.1"`), `TSK1: GRD@C: "1.1" is not between 0 and 1`}, {in(`C="0.0001"`, `C="0"`), "makes cells without a size"},
		{in(`D="0.00012"`, `D="0"`), "makes cells without a size"}, {in(`D="0.00012"`, `D="-0.1"`), `TSK1: GRD@D: "-0.1" is not between 0 and 1`},
		{in(`C="0.0001"`, `C="1e-4"`), ""}, {in(`C="0.0001"`, `C="0x1p-4"`), `TSK1: GRD@C: "0x1p-4" is not a number`}, {in(`C="0.0001"`, `C="NaN"`), `TSK1: GRD@C: "NaN" is not a number`},
		{in(`C="0.0001"`, `C="1_0"`), `TSK1: GRD@C: "1_0" is not a number`}, {in(`C="0.0001"`, `C="0,0001"`), "its decimals must stand behind a point"},
		{in(`E="2"`, `E=""`), "TSK1: GRD@E: is missing"}, {in(`E="2"`, `E="two"`), `TSK1: GRD@E: "two" is no whole number`}, {in(`E="2"`, `E="2.0"`), `TSK1: GRD@E: "2.0" is no whole number`}, {in(`E="2"`, `E="0"`), `TSK1: GRD@E: "0" is not between 1 and 268435456`},
		{in(`E="2"`, `E="268435456"`), "more than 128 MB together"}, {in(`E="2" F="1"`, `E="268435456" F="2"`), "makes more than 268435456 cells"},
		{in(`I="2"`, `I="0"`), `TSK1: GRD@I: "0" is not between 1 and 2`}, {in(`I="2"`, `I="3"`), `TSK1: GRD@I: "3" is not between 1 and 2`},
		{in(`J="1"`, `J="256"`), `TSK1: GRD@J: "256" is not between 0 and 255`}, {in(`J="1"`, `J="-1"`), `TSK1: GRD@J: "-1" is not between 0 and 255`},
		{in(`A="47"`, `A="`+strings.Repeat("x", 41)+`"`), `TSK1: GRD@A: "` + strings.Repeat("x", 37) + `..." is not a number`},
		{in(`A="47"`, `A="`+strings.Repeat("x", 40)+`"`), `TSK1: GRD@A: "` + strings.Repeat("x", 40) + `" is not a number`},
		{swap(`A="0006" B="22417"`, `A="0G06" B="22417"`), `TSK2: PDV@A: "0G06" is no entry of the data dictionary`},
		{swap(`A="0006" B="22417"`, `A="0006" B="2147483648"`), `TSK2: PDV@B: "2147483648" is not between -2147483648 and 2147483647`},
		{swap(`A="0006" B="22417"`, `A="0006" B=""`), "TSK2: PDV@B: is missing"},
		{swap(`<LSG A="2">`, `<LSG A="3">`), `field LSG@A: "3" is no outline of a polygon`},
		{swap(`G="GRD00001"`, `G="GRD00009"`), "GRD00009.bin"},
		{remove(Main), "TASKDATA.XML: is missing"},
		{edit(Main, func([]byte) []byte { return []byte("<Task/>") }), "is no task data: its root is <Task>"},
		{edit(Main, func([]byte) []byte { return []byte("<!-- -->") }), "holds no element"},
		{edit(Main, func([]byte) []byte { return []byte("<!DOCTYPE a><a/>") }), "line 1: has a document type"},
		{swap(`<DLT `, `<XFR A="PDT00001" B="1"/><DLT `), ""},
	} {
		files := sound(t)
		clean := string(files[main])
		func() {
			defer func() {
				if r := recover(); r != nil {
					t.Fatalf("%v in\n%s", r, clean)
				}
			}()
			c.change(files)
		}()
		_, _, err := Decode(flat(files))
		if got := fmt.Sprint(err); (err == nil) != (c.want == "") || err != nil && !strings.Contains(got, c.want) {
			t.Errorf("%v, want %q", err, c.want)
		}
	}
}

// What the check says where there is nothing to check, of a maker's own elements, and of others.
func TestChecked(t *testing.T) {
	for _, c := range []struct {
		change func(map[string][]byte)
		want   string
	}{
		{remove(Main), "main-missing"},
		{edit(Main, func(b []byte) []byte { return []byte(strings.ReplaceAll(string(b), "ISO11783_TaskData", "TaskData")) }), "element-unknown"},
		{swap(`<DLT `, `<P123_Own A="1"><Any/></P123_Own><DLT `), ""}, {swap(`<DLT `, `<P_Own A="1"/><DLT `), "element-unknown"}, {swap(`<DLT `, `<Own A="1"/><DLT `), "element-unknown"},
		{swap(`<PDT A="PDT1"`, `<PDT P123_Own="1" A="PDT1"`), ""}, {swap(`<PDT A="PDT1"`, `<PDT P_Own="1" A="PDT1"`), "attribute-unknown"},
		{swap(`VersionMajor="3"`, `VersionMajor="4"`), ""}, {swap(`VersionMajor="3"`, `VersionMajor="2"`), "value-bad"},
	} {
		files := sound(t)
		c.change(files)
		found := Check(files)
		if (len(found) == 0) != (c.want == "") || c.want != "" && !slices.ContainsFunc(found, func(f fault) bool { return f.Rule == c.want }) {
			t.Errorf("%v, want %q", found, c.want)
		}
	}
}

// Faults are one remark with three of them; those of logs, which hold no prescription, are none.
func TestFaultsAreOneRemark(t *testing.T) {
	files := sound(t)
	if got := Faults(files); got != nil {
		t.Errorf("%v", got)
	}
	remove("TLG00001.xml")(files)
	if got := Faults(files); got != nil {
		t.Errorf("of a log: %v", got)
	}
	for _, name := range []string{"X", "Y", "Z", "W"} {
		swap(`<DLT `, `<`+name+` A="1"/><DLT `)(files)
	}
	got := Faults(files)
	if len(got) != 1 || got[0].Rule != "task-data-faults" || got[0].Count != 4 || strings.Count(got[0].Name, ";") != 2 || strings.Count(got[0].Name, "is no element of task data")+strings.Count(got[0].Name, "may not stand there") != 3 {
		t.Errorf("%+v", got)
	}
}

// The files that a main file names, wherever it does.
func TestReferencesAreListed(t *testing.T) {
	names, err := References([]byte(`<ISO11783_TaskData><XFR A="TSK00001"/><TSK A="TSK1"><GRD G="GRD00001"/><TLG A="TLG00002"/></TSK></ISO11783_TaskData>`))
	if got, want := strings.Join(names, " "), "TSK00001.XML GRD00001.bin TLG00002.xml TLG00002.bin"; err != nil || got != want {
		t.Errorf("%s, %v, want %s", got, err, want)
	}
	if names, err := References([]byte("<a>")); err == nil {
		t.Errorf("%v of half a file", names)
	}
}

// A further file is read as a part of the main one; without it nothing is.
func TestFurtherFiles(t *testing.T) {
	files := sound(t)
	text := string(files[main])
	at, end := strings.Index(text, "<PDT "), strings.LastIndex(text, "<PDT ")
	end += strings.Index(text[end:], "/>") + 2
	files[Folder+"/PDT00001.XML"] = []byte(`<XFC>` + text[at:end] + `</XFC>`)
	files[main] = []byte(text[:at] + `<XFR A="PDT00001" B="1"/>` + text[end:])
	if set := read(t, files); len(set.Products) != 2 || set.Products[1].Name != "Mix" {
		t.Errorf("%+v", set.Products)
	}
	remove("PDT00001.XML")(files)
	if _, _, err := Decode(flat(files)); err == nil || !strings.Contains(err.Error(), "PDT00001.XML: is missing, and TASKDATA.XML refers to it") {
		t.Error(err)
	}
	files[Folder+"/PDT00001.XML"] = []byte("<XFC>")
	if _, _, err := Decode(flat(files)); err == nil || !strings.Contains(err.Error(), "PDT00001.XML: line 1: is no whole XML") {
		t.Error(err)
	}
}

// A hole lies in the shell that is around it; one in none is told, and so is an outline of another kind.
func TestHolesLieInTheirShells(t *testing.T) {
	ring := func(kind string, x, y, d float64) string {
		text := `<LSG A="` + kind + `">`
		for _, p := range [][2]float64{{x, y}, {x + d, y}, {x + d, y + d}, {x, y + d}} {
			text += fmt.Sprintf(`<PNT A="2" C="%v" D="%v"/>`, p[1], p[0])
		}
		return text + `</LSG>`
	}
	read := func(rings ...string) (string, error) {
		set, _, err := Decode(Files{Main: []byte(`<ISO11783_TaskData VersionMajor="3" VersionMinor="3"><PFD A="PFD1" C="f" D="1"><PLN A="1">` + strings.Join(rings, "") + `</PLN></PFD></ISO11783_TaskData>`)})
		if err != nil {
			return "", err
		}
		got := ""
		for _, p := range set.Fields[0].Boundary {
			got += fmt.Sprintf("%v+%d ", p[0][0], len(p)-1)
		}
		return got, nil
	}
	two := []string{ring("1", 10, 50, 1), ring("1", 20, 50, 1)}
	if got, err := read(append(two, ring("2", 20.2, 50.2, 0.1), ring("2", 10.2, 50.2, 0.1), ring("2", 20.5, 50.5, 0.1))...); err != nil || got != "[10 50]+1 [20 50]+2 " {
		t.Errorf("%s %v", got, err)
	}
	for more, want := range map[string]string{
		ring("2", 15, 50, 0.1): "has a hole that lies in none of its outlines", ring("9", 10.1, 50.1, 0.1): "is no outline of a polygon",
		`<LSG A="1"><PNT C="1" D="1"/><PNT C="2" D="1"/></LSG>`: "has too few points for an outline", `<LSG A="1"/>`: "has too few points for an outline",
		ring("1", 30, 90, 1): "is not between -90 and 90",
	} {
		if got, err := read(append(two, more)...); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s %v, want %s", got, err, want)
		}
	}
}

// A task of polygons becomes a layer of them: kg/ha and L/ha with as many decimals as counts have,
// the counts of other entries as they are, and nothing where a zone says nothing.
func TestLayerOfPolygons(t *testing.T) {
	set := rich()
	task := &set.Tasks[2]
	set.Tasks = set.Tasks[2:]
	ground := task.Zones[1].Ground
	task.Zones = []Zone{
		{Code: 0, Values: []Value{{DDI: SetpointMassPerArea, Product: "PDT1"}}},
		{Code: 1, Ground: ground, Values: []Value{{DDI: SetpointMassPerArea, Count: 22417, Product: "PDT1"}, {DDI: SetpointVolumePerArea, Count: -93540, Product: "PDT2"}, {DDI: 0x0010, Count: 7}}},
		{Code: 2, Ground: ground, Values: []Value{{DDI: SetpointMassPerArea, Count: 5, Product: "PDT1"}}},
		{Code: 3, Values: []Value{{DDI: SetpointMassPerArea, Count: 9, Product: "PDT1"}}},
	}
	layer, err := Prescription(set, "")
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for column, f := range layer.Attributes.Fields() {
		cells := []string{f.Name + " in " + f.Unit}
		for row := range layer.Shapes.Len() {
			c := layer.Attributes.Cell(row, column)
			if c.Kind == geo.Null {
				cells = append(cells, "-")
			} else {
				cells = append(cells, string(c.Text))
			}
		}
		got = append(got, strings.Join(cells, ", "))
	}
	want := "Dry in kg/ha, 224.17, 0.05; Mix in L/ha, -9.354, -; DDI 0010 in counts of DDI 0010, 7, -"
	if s := strings.Join(got, "; "); s != want {
		t.Errorf("%s\nwant %s", s, want)
	}
	if _, err := Prescription(set, "other"); err == nil || !strings.Contains(err.Error(), `has no task "other", but`) {
		t.Error(err)
	}
}
