package sheet_test

import (
	"regexp"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/rxtest"
)

// without takes the block of a key out of a YAML text: its line and the indented ones
// below.
func without(t *testing.T, text, key string) string {
	t.Helper()
	block := regexp.MustCompile(`(?m)^` + key + `:.*\n(?:[ -].*\n)*`)
	if !block.MatchString(text) {
		t.Fatalf("no %s to take out", key)
	}
	return block.ReplaceAllString(text, "")
}

// TestWhatIsMissing takes one thing after the other out of the job and the profile: the
// sheet that needs it says so, names the key, and leaves a blank; with everything there
// no sheet lacks anything but what the other sheets' work needs.
func TestWhatIsMissing(t *testing.T) {
	job, profile := file(t, "job.yaml"), file(t, "label.yaml")
	p := fourZones(t)
	for _, c := range []struct {
		from, key string
		replace   string // in place of the key
		way       rx.WayName
		kind      rx.SheetKind
		says      string
		section   string // which then has a blank
	}{
		{"job", "blend", "", rx.Loads, rx.BlenderSheet, "The materials of the blend (job file, blend)", "What this load is"},
		{"job", "blender", "", rx.Loads, rx.BlenderSheet, "What the blender holds (job file, blender)", "Batches"},
		{"job", "blender", "blender: {batch: 3 ton}\n", rx.Loads, rx.BlenderSheet, "The room in the drum (job file, blender.drum)", "Batch log"},
		{"job", "blender", "blender: {batch: 3 ton}\n", rx.Loads, rx.BlenderSheet, "How long a batch takes (job file, blender.batch-time)", "Batch log"},
		{"job", "blend", "blend: [{name: urea, share: 100 %}]\n", rx.Loads, rx.BlenderSheet, "The bulk density of the dry (job file, blend density)", "The meter"},
		{"job", "spreader", "", rx.Loads, rx.BlenderSheet, "What a truck carries (job file, spreader.truck)", "Truck"},
		{"label", "density", "", rx.Loads, rx.BlenderSheet, "The density of the stabilizer (label profile, density)", "The spreader's setting"},
		{"label", "base", "", rx.Loads, rx.BlenderSheet, "What the product is made with, water or solvent (label profile, base)", "Bringing the stabilizer in"},
		{"label", "drying-agent", "", rx.Loads, rx.BlenderSheet, "How much drying agent (label profile, drying-agent)", "Batch log"},
		{"label", "carriers", "", rx.Loads, rx.BlenderSheet, "Which carriers the label allows (label profile, carriers)", "Batch log"},
		{"label", "registration", "", rx.Loads, rx.BlenderSheet, "The EPA Reg. No. (label profile, registration)", "What this load is"},
		{"label", "registered", "", rx.Loads, rx.BlenderSheet, "Whether the product is a registered pesticide (label profile, registered)", "Batch log"},
		{"job", "boom", "", rx.WetBoom, rx.BoomSheet, "The boom (job file, boom)", "Nozzles and tank, by hand"},
		{"label", "density", "", rx.WetBoom, rx.BoomSheet, "The density of the stabilizer (label profile, density)", "Catch test"},
		{"label", "spray-volume", "", rx.WetBoom, rx.BoomSheet, "The label's spray volume (label profile, spray-volume)", "Catch test"},
		{"job", "spreader", "", rx.WetBoom, rx.SpreaderSheet, "The spreader (job file, spreader)", "Flow, by hand"},
		{"job", "spreader", "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}\n", rx.WetBoom, rx.SpreaderSheet, "The rate that the controller spreads outside every zone (job file, spreader.default-rate)", "What the controller does"},
		{"job", "spreader", "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}\n", rx.WetBoom, rx.SpreaderSheet, "The rate that the controller spreads if position is lost (job file, spreader.lost-rate)", "What the controller does"},
		{"job", "spreader", "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}\n", rx.WetBoom, rx.SpreaderSheet, "How long a rate change takes (job file, spreader.rate-change): 3 to 5 s are usual.", "What the controller does"},
		{"job", "spreader", "spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 18 mph}}\n", rx.WetBoom, rx.SpreaderSheet, "The lowest and highest rate of the spreader (job file, spreader.rates)", "Static catch"},
		{"label", "season-max", "", rx.WetBoom, rx.FieldSheet, "The season maximum (label profile, season-max)", "The season"},
		{"job", "prices", "prices: {stabilizer: 40 $/gal}\n", rx.WetBoom, rx.FieldSheet, "The price of wet boom (job file, prices)", "After the pass"},
		{"job", "prices", "prices: {stabilizer: 40 $/gal}\n", rx.WetBoom, rx.FieldSheet, "The price of the crop (job file, prices.crop)", "After the pass"},
	} {
		t.Run(c.key+" for "+string(c.kind)+" "+c.says[:12], func(t *testing.T) {
			j, l := job, profile
			if c.from == "job" {
				j = without(t, job, c.key) + c.replace
			} else {
				l = without(t, profile, c.key) + c.replace
			}
			whole, _ := made(t, p, termsOf(t, profile, job), c.way)
			if strings.Contains(all(oneOf(t, whole, c.kind)), c.says) {
				t.Fatal("said even when it is not missing")
			}
			for _, s := range []unit.System{unit.US, unit.Metric} {
				sheets, _ := made(t, p, units(termsOf(t, l, j), s), c.way)
				got := oneOf(t, sheets, c.kind)
				notes := strings.Join(section(t, got, "Not known").Notes, "\n")
				if !strings.Contains(notes, c.says) {
					t.Errorf("%s: not said: %s\n%s", s, c.says, notes)
				}
				if part := dump([]rx.Sheet{{Sections: []rx.Section{section(t, got, c.section)}}}); !strings.Contains(part, "____") {
					t.Errorf("%s: no blank in %s", s, part)
				}
			}
		})
	}
}

// TestWithoutAJob: nothing but a label still makes every sheet, each with what it lacks.
func TestWithoutAJob(t *testing.T) {
	p := fourZones(t)
	for _, way := range []rx.WayName{rx.WetBoom, rx.Base, rx.Loads, rx.Refit} {
		sheets, _ := made(t, p, termsOf(t, bareLabel, ""), way)
		for _, s := range sheets {
			if len(section(t, s, "Not known").Notes) == 0 {
				t.Errorf("%s, %s: nothing is missing", way, s.Title)
			}
			if text := all(s); strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Errorf("%s, %s: %s", way, s.Title, text)
			}
		}
	}
}

// TestOrderOfSheets: a blender sheet a treated layer, then spreader, boom, field.
func TestOrderOfSheets(t *testing.T) {
	p := fourZones(t)
	for way, want := range map[rx.WayName]string{
		rx.Loads:   "blender dry-1, blender dry-2, spreader , field ",
		rx.Base:    "blender dry-base, spreader , field ",
		rx.Refit:   "blender dry, spreader , field ",
		rx.WetBoom: "spreader , boom liquid, field ",
	} {
		sheets, _ := made(t, p, termsOf(t, bareLabel, ""), way)
		var got []string
		for _, s := range sheets {
			got = append(got, string(s.Kind)+" "+s.Layer)
		}
		if strings.Join(got, ", ") != want {
			t.Errorf("%s: got %s, want %s", way, strings.Join(got, ", "), want)
		}
	}
}

// TestEverySheetWarns: what every sheet that sends people to work must say.
func TestEverySheetWarns(t *testing.T) {
	p := fourZones(t)
	for _, way := range []rx.WayName{rx.WetBoom, rx.Loads} {
		sheets, _ := made(t, p, termsOf(t, file(t, "label.yaml"), file(t, "job.yaml")), way)
		for _, s := range sheets {
			text := strings.Join(section(t, s, "Before the work begins").Cautions, "\n")
			for _, want := range []string{
				"label in hand", "safety data sheet", "PPE: chemical-resistant gloves, protective eyewear", "Restricted-entry interval: 24 h",
				"Lock out the blender", "Never pressurize a vessel", "wells and surface water", "Local codes and licensed applicators decide",
			} {
				if !strings.Contains(text, want) {
					t.Errorf("%s: does not say %q", s.Title, want)
				}
			}
		}
		if text := all(oneOf(t, sheets, rx.FieldSheet)); !strings.Contains(text, "does not protect urea on the surface from volatilization") || !strings.Contains(text, "not guaranteed") {
			t.Errorf("%s: the field sheet promises too much", way)
		}
	}
}

// TestFederalWording is printed for products that are known to be registered alone.
func TestFederalWording(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 30, Rate: 200})
	for registered, want := range map[string]struct{ law, number bool }{
		"yes": {true, true}, "no": {false, false}, "unknown": {false, true},
	} {
		l := strings.Replace(file(t, "label.yaml"), "registered: yes", "registered: "+registered, 1)
		if registered == "no" {
			l = without(t, l, "registration")
		}
		sheets, _ := made(t, p, termsOf(t, l, ""), rx.OneLoad)
		text := dump(sheets)
		if got := strings.Contains(text, "violation of Federal law"); got != want.law {
			t.Errorf("registered %s: federal wording %v", registered, got)
		}
		if got := strings.Contains(text, "40 CFR 167.3"); got != want.law {
			t.Errorf("registered %s: custom-blend definition %v", registered, got)
		}
		if got := strings.Contains(all(sheets[0]), "Not for inventory"); got != want.number {
			t.Errorf("registered %s: not for inventory %v", registered, got)
		}
		if strings.Contains(strings.ToLower(text), "complies") || strings.Contains(strings.ToLower(text), "illegal") {
			t.Errorf("registered %s: the sheet judges", registered)
		}
	}
}

// A registration number has a line, blank or not, where the label says that there is one,
// and none where it says that there is not, or nothing.
func TestRegistrationHasALineWhereThereIsOne(t *testing.T) {
	for _, c := range []struct {
		label string
		want  bool
	}{
		{"registered: yes\n", true}, {"registered: no\n", false}, {"", false}, {"registered: yes\nregistration: \"00000-000\"\n", true},
	} {
		terms := termsOf(t, bareLabel+c.label, "")
		sheets, _ := made(t, fourZones(t), terms, rx.WetBoom)
		var has bool
		for _, s := range sheets {
			for _, section := range s.Sections {
				for _, f := range section.Facts {
					has = has || f.What == "EPA Reg. No."
				}
			}
		}
		if has != c.want {
			t.Errorf("%q: a line %v, want %v", c.label, has, c.want)
		}
	}
}
