package read

import (
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"rxsplit/geo"
)

// cellsOf reads a log of one column beside its places and rates, a row a cell.
func cellsOf(t *testing.T, column, more string, cells ...string) (*logFile, error) {
	t.Helper()
	text := "X\tY\tR\tC\n"
	for _, c := range cells {
		text += "-93\t42\t1\t" + c + "\n"
	}
	rate := "rate: R, "
	if column == "rate" {
		rate = ""
	}
	return readLogText(t, "log.csv", text, "columns: {lon: X, lat: Y, "+rate+column+": C}\nrate-unit: L/ha\nwidth: 70 ft\n"+more)
}

// What a cell says of being on: a word, a number, or a digit for each section from the left.
func TestCellsOfOnAndOff(t *testing.T) {
	const three = "sections: [10 ft, 10 ft, 10 ft]\n"
	for _, c := range []struct {
		cell, more string
		want       uint64
	}{
		{"1", "", 1}, {"TRUE", "", 1}, {" On ", "", 1}, {"yes", "", 1}, {"t", "", 1}, {"y", "", 1}, {"12.5", "", 1}, {"2", "", 1},
		{"0", "", 0}, {"false", "", 0}, {"Off", "", 0}, {"no", "", 0}, {"f", "", 0}, {"n", "", 0}, {"null", "", 0}, {"", "", 0}, {"0.0", "", 0},
		{"on", three, 7}, {"1", three, 7}, {"3.5", three, 7}, {"001", three, 4}, {"100", three, 1}, {"101", three, 5}, {"012", three, 7}, {"off", three, 0},
		{"1", "sections: [30 ft]\n", 1},
	} {
		f, err := cellsOf(t, "on", c.more, c.cell)
		if err != nil {
			t.Errorf("%q: %v", c.cell, err)
		} else if got := f.Log.Rows[0].Open; got != c.want {
			t.Errorf("%q with %q: got %b, want %b", c.cell, c.more, got, c.want)
		}
	}
	for _, cell := range []string{"maybe", "-1", "1e99x"} {
		if _, err := cellsOf(t, "on", "", cell); err == nil || !strings.Contains(err.Error(), "says neither on nor off") {
			t.Errorf("%q: %v", cell, err)
		}
	}
	f, err := cellsOf(t, "rate", three, "5")
	if err != nil {
		t.Fatal(err)
	}
	if got := f.Log.Rows[0].Open; got != 7 {
		t.Errorf("without a column: got %b, want that all sections are open", got)
	}
}

// Of bad cells the first are told, a long one by its start, and how many more there are.
func TestBadCellsAreCapped(t *testing.T) {
	cells := slices.Repeat([]string{"x"}, geo.MaxBadRecords+2)
	cells[0], cells[1] = strings.Repeat("é", 40), strings.Repeat("é", 41)
	_, err := cellsOf(t, "rate", "", cells...)
	bad, ok := err.(*geo.BadFileError)
	if !ok || len(bad.Bad) != geo.MaxBadRecords || bad.More != 2 {
		t.Fatalf("got %v, want %d and 2 more", err, geo.MaxBadRecords)
	}
	for i, want := range []string{cells[0], cells[0] + "...", "x"} {
		if got := (geo.BadRecord{Record: i, Field: "C", Value: want, Why: "is not a number"}); bad.Bad[i] != got {
			t.Errorf("got %+v, want %+v", bad.Bad[i], got)
		}
	}
}

// Each kind of bad cell has its own words.
func TestBadCellsOfNumbersAndTimes(t *testing.T) {
	const time = "time-form: "
	for _, c := range []struct{ column, more, cell, why string }{
		{"rate", "", "12,5", "is not a number: write decimals with a point"},
		{"rate", "", "x", "is not a number"},
		{"rate", "", "-0.5", "is negative"},
		{"rate", "", "1.1e12", "is more than any machine logs"},
		{"heading", "", "-1", "is negative"},
		{"time", time + "epoch-s\n", "x", "is not a number"},
		{"time", time + "epoch-s\n", "inf", "is not a number"},
		{"time", time + "epoch-ms\n", "nan", "is not a number"},
		{"time", time + "clock\n", "25:00:00", "is no time of the form clock"},
		{"time", time + "iso\n", "noon", "is no time of the form iso"},
	} {
		_, err := cellsOf(t, c.column, c.more, c.cell)
		if bad, ok := err.(*geo.BadFileError); !ok || len(bad.Bad) != 1 || bad.Bad[0] != (geo.BadRecord{Field: "C", Value: c.cell, Why: c.why}) {
			t.Errorf("%s %q: %v, want that it %s", c.column, c.cell, err, c.why)
		}
	}
	for _, cell := range []string{"", " ", "null", "NULL", "NaN"} {
		f, err := cellsOf(t, "rate", "", cell)
		if err != nil || !math.IsNaN(f.Log.Rows[0].Rate) {
			t.Errorf("%q says nothing: %v", cell, err)
		}
	}
	if f, err := cellsOf(t, "rate", "", "1e12"); err != nil || math.Abs(f.Log.Rows[0].Rate-1e11) > 1 {
		t.Errorf("as much as a machine may log: %v", err)
	}
}

// Times in all their forms, a date in its own column, are the same second (Unix time of 2026-05-04T10:00:00Z by
// date(1): 1777888800).
func TestTimesInAllForms(t *testing.T) {
	const want = 1777888800
	for _, c := range []struct{ form, date, time string }{
		{"epoch-s", "", "1777888800"}, {"epoch-ms", "", "1777888800000"},
		{"iso", "", "2026-05-04T10:00:00Z"}, {"iso", "", "2026-05-04T10:00:00"}, {"iso", "", "2026-05-04 10:00:00"},
		{"iso", "", "2026-05-04 11:00:00+01:00"}, {"iso", "", "20260504T100000"}, {"iso", "", "20260504T080000-02:00"},
		{"iso", "2026-05-04", "10:00:00"}, {"iso", " 2026-05-04 ", " 10:00:00Z "}, {"iso", "20260504", "100000"},
	} {
		columns := "lon: X, lat: Y, rate: R, time: T"
		if c.date != "" {
			columns += ", date: D"
		}
		f, err := readLogText(t, "log.csv", "X,Y,R,D,T\n-93,42,1,"+c.date+","+c.time+"\n", fmt.Sprintf("columns: {%s}\nrate-unit: L/ha\nwidth: 70 ft\ntime-form: %s\n", columns, c.form))
		if err != nil {
			t.Errorf("%+v: %v", c, err)
		} else if got := f.Log.Rows[0].Time; got != want {
			t.Errorf("%+v: got %.1f", c, got)
		}
	}
}

// A clock that passes midnight goes on; a step back of half a day or less is rows out of order.
func TestClockPastMidnight(t *testing.T) {
	f, err := cellsOf(t, "time", "time-form: clock\n", "12:00:01", "00:00:01", "12:00:02", "00:00:01", "23:00:00", "22:59:59", "00:00:00")
	if err != nil {
		t.Fatal(err)
	}
	const day = 86400
	for i, want := range []float64{43201, 1, 43202, day + 1, day + 82800, day + 82799, 2 * day} {
		if got := f.Log.Rows[i].Time; got != want {
			t.Errorf("row %d: got %v, want %v", i+1, got, want)
		}
	}
}

// Machines are numbered in the order in which they come.
func TestMachinesAreNumbered(t *testing.T) {
	f, err := cellsOf(t, "machine", "", "B", "A", "B", "")
	if err != nil {
		t.Fatal(err)
	}
	var got []int32
	for _, r := range f.Log.Rows {
		got = append(got, r.Machine)
	}
	if !slices.Equal(got, []int32{0, 1, 0, 2}) || !slices.Equal(f.Log.Machines, []string{"B", "A", ""}) {
		t.Errorf("got %v of %q", got, f.Log.Machines)
	}
}

// A column that isn't there is told with the names that are, thirty at most.
func TestColumnThatIsNotThere(t *testing.T) {
	names := make([]string, 31)
	for i := range names {
		names[i] = fmt.Sprintf("c%d", i)
	}
	_, err := newRowReader("log.csv", names, &LogMap{Columns: logColumns{Rate: "R"}})
	if own, ok := err.(*Error); !ok || own.What != `has no column "R", which the map names for rate` || !strings.HasSuffix(own.Hint, "c28, c29, ...") {
		t.Errorf("got %v", err)
	}
	if _, err = newRowReader("log.csv", names[:30], &LogMap{Columns: logColumns{Rate: "R"}}); !strings.HasSuffix(err.(*Error).Hint, "c28, c29") {
		t.Errorf("got %v", err)
	}
}

// Units that the name of a field spells, and names that speak of N.
func TestWhatNamesSpell(t *testing.T) {
	for _, c := range []struct {
		name, unit string
		n          bool
	}{
		{"DRY_LBAC", "lb/ac", false}, {"kg_ha", "kg/ha", false}, {"LbsAcre", "lb/ac", false}, {"DRY_LBPERACRE", "lb/ac", false}, {"RateKgHectare", "kg/ha", false},
		{"LbsPerAcre", "lb/ac", false}, {"lbs_per_acre", "lb/ac", false}, {"Pounds_Per_Acre", "lb/ac", false}, {"KgPerHa", "kg/ha", false}, {"kilograms per hectare", "kg/ha", false},
		{"TonnesPerHa", "t/ha", false}, {"T_HA", "t/ha", false}, {"TonsPerAcre", "ton/ac", false}, {"lb_N_ac", "lb/ac", true},
		{"tha", "t/ha", false}, {"matha", "", false}, {"drylbac", "lb/ac", false}, {"GalPerAcre", "", false}, {"plant_per_ha", "", false}, {"PlantsHa", "", false}, {"cost_ha", "", false},
		{"RATE", "", false}, {"lbac_kgha", "", false}, {"N", "", true}, {"NRate", "", true}, {"Nitro", "", true}, {"NITRORATE", "", true},
		{"NH3_LBAC", "lb/ac", true}, {"acten", "", true}, {"totalnitrogen", "", true}, {"LBN", "", true}, {"GREEN", "", false}, {"", "", false},
	} {
		f := FieldRange{Field: geo.Field{Name: c.name}}
		if got := f.NamedUnit(); got != c.unit {
			t.Errorf("%s: spells %q, want %q", c.name, got, c.unit)
		}
		if got := f.NamesN(); got != c.n {
			t.Errorf("%s: speaks of N %v, want %v", c.name, got, c.n)
		}
	}
}

// Factors of NIST SP 811: the international foot is 0.3048 m, the inch 0.0254 m.
func TestLengthsOfAYieldMap(t *testing.T) {
	for name, want := range map[string]float64{"in": 0.0254, "ft": 0.3048, "m": 1} {
		m := yieldMap(t, "columns: {yield: Y, distance: D, width: W}\nyield-unit: bu/ac\ndistance-unit: "+name+"\nwidth-unit: "+name+"\n")
		if math.Abs(m.distance-want) > 1e-12 || math.Abs(m.width-want) > 1e-12 {
			t.Errorf("%s: distances count %v m, widths %v m, want %v", name, m.distance, m.width, want)
		}
	}
}

// A column that a map names and the file lacks is named with its key, whichever it is.
func TestColumnsThatAreNotThere(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "log.csv")
	if err := os.WriteFile(path, []byte("X,Z,R\n-90,47,1\n"), 0o666); err != nil {
		t.Fatal(err)
	}
	told := func(key string, err error) {
		t.Helper()
		var e *Error
		if !errors.As(err, &e) || e.File != "log.csv" || e.What != `has no column "none", which the map names for `+key || e.Hint != "its columns are: X, Z, R" {
			t.Errorf("%s: %v", key, err)
		}
	}
	for _, key := range []string{"lon", "lat", "rate", "width", "on", "target", "heading", "machine", "flow", "total"} {
		names := map[string]string{"lon": "X", "lat": "Z", "rate": "R"}
		names[key] = "none"
		columns, more := "", map[string]string{"flow": "flow-unit: lb/min\n", "total": "total-unit: lb\n"}[key]
		for k, name := range names {
			columns += k + ": " + name + ", "
		}
		m, err := ParseLogMap("map.yaml", []byte("columns: {"+strings.TrimSuffix(columns, ", ")+"}\nrate-unit: lb/ac\nwidth: 20 m\nwidth-unit: m\n"+more))
		if err != nil {
			t.Fatal(key, err)
		}
		_, err = Log(path, m, FileOptions{})
		told(key, err)
	}
	for key, columns := range map[string]string{
		"yield": "yield: none, moisture: R", "distance": "yield: R, moisture: R, distance: none, width: R", "width": "yield: R, moisture: R, distance: R, width: none", "moisture": "yield: R, moisture: none",
	} {
		m, err := ParseYieldMap("map.yaml", []byte("columns: {lon: X, lat: Z, "+columns+"}\nyield-unit: bu/ac\nyield-is: wet\ndistance-unit: m\nwidth-unit: m\n"))
		if err != nil {
			t.Fatal(key, err)
		}
		_, err = Yield(path, m, FileOptions{})
		told(key, err)
	}
	_, err := Yield(path, &YieldMap{}, FileOptions{})
	if e := (*Error)(nil); !errors.As(err, &e) || *e != (Error{File: "log.csv", What: "the map names no column for its yields", Hint: "give columns: yield, or flow with moisture and distance"}) {
		t.Errorf("no yields: %+v", err)
	}
}
