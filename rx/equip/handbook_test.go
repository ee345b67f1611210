package equip

import (
	"bufio"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"rxsplit/label/unit"
)

// TestHandbook checks the arithmetic against the figures of testdata/handbook.txt.
func TestHandbook(t *testing.T) {
	formulas := map[string]func(q quantities) float64{
		"catch course ft":       func(q quantities) float64 { return float64(CatchCourse(q.length(0))) },
		"metric catch course m": func(q quantities) float64 { return unit.Meters(MetricCatchCourse(q.length(0))) },
		"catch time s":          func(q quantities) float64 { return float64(CatchTime(q.length(0), q.speed(1)) / unit.Second) },
		"caught fl oz":          func(q quantities) float64 { return float64(Caught(q.liquid(0), q.length(1), q.length(2))) },
		"water volume gal/ac": func(q quantities) float64 {
			return gal(q.liquid(0)) * float64(waterFlow(1, q.density(1)))
		},
		"water factor":        func(q quantities) float64 { return float64(waterFlow(1, q.density(0))) },
		"nozzle flow gal/min": func(q quantities) float64 { return float64(flowOver(q.length(2), q.liquid(0), q.speed(1))) },
		"nozzle flow L/min": func(q quantities) float64 {
			return flowOver(q.length(2), q.liquid(0), q.speed(1)).In(unit.Metric)
		},
		"boom flow gal/min": func(q quantities) float64 {
			return float64(Boom{Width: q.length(2), Volume: q.liquid(0)}.Flow(q.speed(1)))
		},
		"pressure psi": func(q quantities) float64 { return float64(pressureFor(q.flow(0), q.flow(1), q.pressure(2))) },
		"bar":          func(q quantities) float64 { return q.pressure(0).In(unit.Metric) },
		"lb/min": func(q quantities) float64 {
			return float64(Spreader{Swath: q.length(2)}.MassFlow(q.dry(0), q.speed(1)))
		},
		"ft3/min":              func(q quantities) float64 { return float64(BulkFlow(q.massFlow(0), q.density(1))) },
		"rate change ft":       func(q quantities) float64 { return float64(RateChangeDistance(q.speed(0), q.time(1))) },
		"meter delivers lb/ac": func(q quantities) float64 { return float64(MeterDelivers(q.dry(0), q.density(1), q.density(2))) },
		"meter setting lb/ac":  func(q quantities) float64 { return float64(MeterSetting(q.dry(0), q.density(1), q.density(2))) },
		"agent lb/ton":         func(q quantities) float64 { return perTon(WeightShare(q.loading(0), q.density(1))) },
		"liquid lb/ton":        func(q quantities) float64 { return perTon(WeightShare(q.loading(0), q.density(1))) },
		"unraised fl oz/ac": func(q quantities) float64 {
			return float64(Unraised(unit.StabilizerRate(q.loading(0), q.dry(1)), unit.Ratio(q.dry(2)/2000)))
		},
	}
	used := map[string]bool{}
	for _, row := range handbook(t) {
		formula, ok := formulas[row.what]
		if !ok {
			t.Errorf("no formula for %q", row.what)
			continue
		}
		used[row.what] = true
		if got := formula(quantities{t, row.from}); math.Abs(got-row.is) > row.within {
			t.Errorf("%s of %v: got %.10g, want %g within %g (%s)", row.what, row.from, got, row.is, row.within, row.source)
		}
	}
	for what := range formulas {
		if !used[what] {
			t.Errorf("%s: no outside figure", what)
		}
	}
}

func gal(v unit.LiquidRate) float64 { return float64(v / unit.GallonPerAcre) }

func perTon(share unit.Ratio) float64 { return float64(share) * float64(unit.Ton) }

type handbookRow struct {
	what   string
	from   []string
	is     float64
	within float64
	source string
}

func handbook(t *testing.T) []handbookRow {
	t.Helper()
	f, err := os.Open("testdata/handbook.txt")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var rows []handbookRow
	for lines := bufio.NewScanner(f); lines.Scan(); {
		if lines.Text() == "" || strings.HasPrefix(lines.Text(), "#") {
			continue
		}
		cells := strings.Split(lines.Text(), " | ")
		if len(cells) != 5 {
			t.Fatalf("%q: want five cells", lines.Text())
		}
		rows = append(rows, handbookRow{cells[0], strings.Split(cells[1], ", "), number(t, cells[2]), number(t, cells[3]), cells[4]})
	}
	if len(rows) == 0 {
		t.Fatal("the table is empty")
	}
	return rows
}

func number(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// quantities reads the cells of a row as what a formula takes.
type quantities struct {
	t     *testing.T
	texts []string
}

func read[Q any](q quantities, i int, parse func(string) (Q, error)) Q {
	q.t.Helper()
	v, err := parse(q.texts[i])
	if err != nil {
		q.t.Fatal(err)
	}
	return v
}

func (q quantities) length(i int) unit.Length     { return read(q, i, unit.Parse[unit.Length]) }
func (q quantities) speed(i int) unit.Speed       { return read(q, i, unit.Parse[unit.Speed]) }
func (q quantities) liquid(i int) unit.LiquidRate { return read(q, i, unit.Parse[unit.LiquidRate]) }
func (q quantities) density(i int) unit.Density   { return read(q, i, unit.Parse[unit.Density]) }
func (q quantities) flow(i int) unit.Flow         { return read(q, i, unit.Parse[unit.Flow]) }
func (q quantities) pressure(i int) unit.Pressure { return read(q, i, unit.Parse[unit.Pressure]) }
func (q quantities) dry(i int) unit.DryRate       { return read(q, i, unit.Parse[unit.DryRate]) }
func (q quantities) massFlow(i int) unit.MassFlow { return read(q, i, unit.Parse[unit.MassFlow]) }
func (q quantities) time(i int) unit.Time         { return read(q, i, unit.Parse[unit.Time]) }
func (q quantities) loading(i int) unit.Loading   { return read(q, i, unit.Parse[unit.Loading]) }
