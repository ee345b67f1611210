package app

import (
	"encoding/json"
	"fmt"
	"html"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
)

// ranDay writes a day of fields of one customer, which share batches, with what is left over from the day before.
func ranDay(t *testing.T, seed uint64, left ...string) (d *Day, out string) {
	return ranDayBy(t, dayJob, seed, left...)
}

func ranDayBy(t *testing.T, job string, seed uint64, left ...string) (d *Day, out string) {
	t.Helper()
	dir := t.TempDir()
	job = strings.Replace(job, "batch: 3 ton", "batch: 5 ton, batch-time: 10 min", 1)
	job = strings.Replace(job, "swath: 70 ft", "swath: 70 ft, truck: 8 ton", 1) + "customer: somebody (invented)\n"
	for name, text := range map[string]string{"label.yaml": string(label.DemoYAML()), "job.yaml": job} {
		os.WriteFile(filepath.Join(dir, name), []byte(text), 0o666)
	}
	q, err := Resolve(Values{"job": {filepath.Join(dir, "job.yaml")}})
	if err != nil {
		t.Fatal(err)
	}
	d, err = Run{}.Day(t.Context(), dayFiles(t, dayFolder(t, rand.New(rand.NewPCG(seed, 4)), 6)), q, DayAsked{Left: left, Today: "2026-05-02"})
	if err != nil {
		t.Fatal(err)
	}
	out = filepath.Join(dir, "day")
	if err := (Run{}).WriteDay(t.Context(), out, d, false); err != nil {
		t.Fatal(err)
	}
	return d, out
}

// Sum of fields = sum of batches = sum of orders, to the last unit; a field that shares no batch has
// those of its own sheet, and orders are those of the sheets but for batches that are shared.
func TestDayRunsBalance(t *testing.T) { runsBalance(t, 1) }

// So it is where nobody says what the blend is made of: what is ordered is the blend.
func TestDayRunsBalanceOfAnUnnamedBlend(t *testing.T) {
	_, rest, _ := strings.Cut(dayJob, "blend: ")
	line, _, _ := strings.Cut(rest, "\n")
	d, out := ranDayBy(t, strings.Replace(dayJob, "blend: "+line+"\n", "", 1), 1)
	balances(t, d, out)
}

// So it is with left-over blend, as it is and re-dosed both ways: what is dry of it is with the fields and is not ordered, nor is
// what was on it.
func TestDayRunsBalanceWithLeftOver(t *testing.T) {
	d := runsBalance(t, 1, "1.2 ton at 300 fl oz/ton made 2026-05-01", "4100 lb at 480 fl oz/ton made 2026-05-01", "5 ton at 120 fl oz/ton made 2026-05-01")
	var how [3]int
	for _, r := range d.Shown.Runs {
		for _, l := range r.Lots {
			switch {
			case l.Left == nil:
			case l.AsIs():
				how[0]++
			case l.Left.Loading > l.Load.Loading:
				how[1]++
			default:
				how[2]++
			}
		}
	}
	if slices.Contains(how[:], 0) {
		t.Errorf("as it is, with dry, with liquid: %v", how)
	}
	for i, l := range d.Shown.Left {
		if l.Used != l.Weighed {
			t.Errorf("left-over %d: %v of %v is used, %s", i, l.Used, l.Weighed, l.Why)
		}
	}
}

// What is ordered of a product that is impregnated beside others is what is weighed of it, whether the job says what it is or not,
// and less what left-over blend brings; of the other it is what is prescribed.
func TestDayOrdersOfProductsSideBySide(t *testing.T) {
	for _, blend := range []string{"", "blend: [{name: urea, grade: 46-0-0, share: 75 %}, {name: potash, grade: 0-0-60, share: 25 %}]\n"} {
		for _, left := range [][]string{nil, {"1.2 ton at 300 fl oz/ton made 2026-05-01", "4100 lb at 480 fl oz/ton made 2026-05-01"}} {
			job := regexp.MustCompile("(?m)^blend: .*\n").ReplaceAllString(dayJob, blend)
			d, _ := ranDayBy(t, strings.Replace(job, "rate-field: RATE", "rate-field: [RATE, POTASH]\ncarrier: RATE\nanalysis: [46-0-0, 0-0-60]", 1), 1, left...)
			weighed, beside := unit.Mass(0), unit.Mass(0)
			for _, r := range d.Shown.Runs {
				for _, l := range r.Lots {
					weighed += l.Portion.Total().Dry
				}
			}
			for i, f := range d.fields {
				if f.way == nil {
					continue
				}
				for _, h := range d.Shown.Hauls {
					if h.Field == i && h.Run < 0 {
						if weight := h.Weight; strings.HasSuffix(h.Product, "POTASH") {
							beside += weight
						} else {
							weighed += weight
						}
					}
				}
			}
			ordered := map[string]float64{}
			for _, o := range d.Shown.Orders {
				ordered[o.What] = o.Amount
			}
			for name, want := range map[string]unit.Mass{"RATE": weighed, "POTASH": beside} {
				if want == 0 || math.Abs(ordered[name]-float64(want/unit.Ton)) > 1e-9*ordered[name] {
					t.Errorf("%q, left over %q: %v ton of %s are ordered, want %v", blend, left, ordered[name], name, float64(want/unit.Ton))
				}
			}
		}
	}
}

func runsBalance(t *testing.T, seed uint64, left ...string) *Day {
	d, out := ranDay(t, seed, left...)
	balances(t, d, out)
	return d
}

func balances(t *testing.T, d *Day, out string) {
	t.Helper()
	var liquid unit.Volume
	var dry, agent, old unit.Mass
	blended := map[int]bool{} // with left-over blend
	shared, got := 0, map[int]unit.Mass{}
	for _, r := range d.Shown.Runs {
		for _, l := range r.Lots {
			all := l.Portion.Total()
			liquid, dry, agent = liquid+all.Liquid, dry+all.Dry, agent+all.AgentInAll()
			for _, p := range l.Parts {
				got[p.Field] += p.Dry
			}
			if l.Left != nil {
				old += l.Left.Dry * unit.Mass(all.Count)
				blended[l.Fields[0]] = true
			}
			if len(l.Fields) > 1 {
				shared++
			}
			if len(l.Fields) > 1 || blended[l.Fields[0]] {
				continue
			}
			_, _, result, err := Run{}.prove(t.Context(), filepath.Join(out, d.Shown.Fields[l.Fields[0]].Folder), InputsAt{})
			if err != nil {
				t.Fatal(err)
			}
			way := result.Plan.Way
			at := slices.IndexFunc(way.Loads, func(o rx.Load) bool { return o.Loading == l.Load.Loading })
			if _, one, _ := result.Assessment.Terms.Batches(way.Loads[at]); one.Count != l.Portion.Count || one.Dry != l.Portion.Dry || one.Liquid != l.Portion.Liquid {
				t.Errorf("field %d: %+v, its sheet has %+v", l.Fields[0], l.Portion, one)
			}
		}
	}
	fields := unit.Mass(0)
	for i, f := range d.Shown.Fields {
		fields += got[i]
		if f.Shared >= 0 && math.Abs(float64(got[i]-f.Mass)) > 10 { // ten batches, each rounded to a pound
			t.Errorf("field %d gets %v of %v", i, got[i], f.Mass)
		}
	}
	if fields != dry+old {
		t.Errorf("fields get %v, batches are %v, of left-over blend %v", fields, dry, old)
	}
	for i, f := range d.Shown.Fields {
		switch {
		case !f.Served():
		case len(f.Loadings) == 0:
			dry, liquid = dry+f.Mass, liquid+d.fields[i].amounts.stabilizer
		default:
			for _, h := range d.Shown.Hauls {
				if h.Field == i && h.Run < 0 {
					dry += h.Weight
				}
			}
		}
	}
	for _, o := range d.Shown.Orders {
		want, known := map[string]float64{"urea": float64(dry / unit.Ton), dryBlend: float64(dry / unit.Ton), "stabilizer": float64(liquid / unit.Gallon), "drying agent": float64(agent)}[o.What]
		if !known || math.Abs(o.Amount-want) > 1e-9*want {
			t.Errorf("ordered %v of %s, runs take %v", o.Amount, o.What, want)
		}
	}
	if shared == 0 || !strings.Contains(report.DayOrdersText(d.Shown), "share") {
		t.Errorf("%d lots are shared; orders are %q", shared, report.DayOrdersText(d.Shown))
	}
	if err := verifyDay(out); err != nil {
		t.Error(err)
	}
}

// toldDay is what the day's document says of runs and trucks.
type toldDay struct {
	Runs []struct {
		Value float64
		Blend int
		Lots  []struct {
			Fields                                          []int
			Batches                                         float64
			Batch_dry, Batch_stabilizer, Batch_drying_agent float64
			Parts                                           []struct{ Batch, Field int }
		}
	}
	Hauls []struct {
		Field int
		Loads *int
		Each  *float64
		Last  *float64
	}
}

// rows are the lines of all cards' logs, as the document has them: what is printed there.
func (d toldDay) rows() (list []string) {
	figure := func(v float64, decimals int) string {
		text := fmt.Sprintf("%.*f", decimals, v)
		if whole, rest, _ := strings.Cut(text, "."); len(whole) > 3 {
			text = strings.TrimSuffix(whole[:len(whole)-3]+","+whole[len(whole)-3:]+"."+rest, ".")
		}
		return text
	}
	for n, r := range d.Runs {
		batches, dry, liquid, fields := 0.0, 0.0, 0.0, []string(nil)
		for _, l := range r.Lots {
			batches, dry, liquid = batches+l.Batches, dry+l.Batches*l.Batch_dry, liquid+l.Batches*l.Batch_stabilizer
			for _, f := range l.Fields {
				fields = append(fields, fmt.Sprint(f+1))
			}
		}
		list = append(list, fmt.Sprintf("The plant's day: %d|%.6g|%d|%s|%v|%s|%s", n+1, r.Value, r.Blend+1, strings.Join(fields, ", "), batches, figure(dry, 0), figure(liquid/128, 2)))
	}
	for n, r := range d.Runs {
		number := 0
		for _, l := range r.Lots {
			last := -1
			for k, p := range l.Parts {
				if p.Batch == last {
					continue
				}
				last, number = p.Batch, number+1
				fields := fmt.Sprint(p.Field + 1)
				for _, more := range l.Parts[k+1:] {
					if more.Batch == p.Batch {
						fields += fmt.Sprintf(" + %d", more.Field+1)
					}
				}
				list = append(list, fmt.Sprintf("Blend run %d of %d: %d|%s|%s|%s|%s", n+1, len(d.Runs), number, fields, figure(l.Batch_dry, 0), figure(l.Batch_stabilizer, 0), figure(l.Batch_drying_agent, 2)))
			}
		}
	}
	for _, h := range d.Hauls {
		for k := range *h.Loads {
			weight := *h.Each
			if h.Last != nil && k == *h.Loads-1 {
				weight = *h.Last
			}
			list = append(list, fmt.Sprintf("Trucks, field %d: %d|%s", h.Field+1, k+1, figure(weight, 0)))
		}
	}
	return list
}

// textRows reads the same of the cards' text, pageRows of the page.
func textRows(text string) (list []string) {
	for _, card := range strings.Split(text, "\f") {
		lines := strings.Split(card, "\n")
		title, _, _ := strings.Cut(lines[1], ", CARD ")
		title = title[:1] + strings.ToLower(title[1:])
		for _, line := range lines {
			if rest, ok := strings.CutPrefix(line, "  [ ] "); ok {
				var cells []string
				for _, cell := range regexp.MustCompile(`  +`).Split(strings.TrimSpace(rest), -1) {
					if strings.Trim(cell, "_") != "" {
						cells = append(cells, cell)
					}
				}
				list = append(list, title+": "+strings.Join(cells, "|"))
			}
		}
	}
	return list
}

var (
	pageCard = regexp.MustCompile(`(?s)<section class="sheet card".*?<h2[^>]*>(.*?)</h2>(.*?)</section>`)
	pageLine = regexp.MustCompile(`(?s)<tr><th[^>]*class="box".*?</tr>`)
	pageCell = regexp.MustCompile(`(?s)<td[^>]*>([^<]+)</td>`)
)

func pageRows(text string) (list []string) {
	for _, card := range pageCard.FindAllStringSubmatch(text, -1) {
		title, _, _ := strings.Cut(html.UnescapeString(card[1]), ", card ")
		for _, row := range pageLine.FindAllString(card[2], -1) {
			var cells []string
			for _, cell := range pageCell.FindAllStringSubmatch(row, -1) {
				cells = append(cells, html.UnescapeString(cell[1]))
			}
			list = append(list, title+": "+strings.Join(cells, "|"))
		}
	}
	return list
}

// The cards say the same in the document, the text and on the page, line by line; a cell that is swapped or a
// line that is dropped is seen.
func TestDayCardsAgree(t *testing.T) {
	_, out := ranDay(t, 1)
	read := func(name string) string {
		text, err := os.ReadFile(filepath.Join(out, name))
		if err != nil {
			t.Fatal(err)
		}
		return string(text)
	}
	var told toldDay
	if err := json.Unmarshal([]byte(read(dayName)), &told); err != nil {
		t.Fatal(err)
	}
	want := told.rows()
	if len(want) < 15 {
		t.Fatalf("only %d lines", len(want))
	}
	for name, rows := range map[string]func(string) []string{"cards.txt": textRows, "day.html": pageRows} {
		text := read(name)
		if got := rows(text); !slices.Equal(got, want) {
			t.Errorf("%s: got\n%s\nwant\n%s", name, strings.Join(got, "\n"), strings.Join(want, "\n"))
		}
		line := regexp.MustCompile(`(?m)^  \[ \] .*\n`)
		if name == "day.html" {
			line = pageLine
		}
		row := line.FindString(text)
		cells := regexp.MustCompile(`\d[\d,.]+`).FindAllString(row, -1)
		dry, dose := cells[len(cells)-3], cells[len(cells)-2]
		swapped := strings.NewReplacer(dry, dose, dose, dry).Replace(row)
		for what, other := range map[string]string{"dropped": "", "swapped": swapped} {
			if slices.Equal(rows(strings.Replace(text, row, other, 1)), want) {
				t.Errorf("%s: a line that is %s is not seen: %s", name, what, row)
			}
		}
	}
}
