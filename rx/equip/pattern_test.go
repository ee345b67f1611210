package equip

import (
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"rxsplit/label"
	"rxsplit/label/unit"
)

// TestPatternCVCertified: mean and standard deviation (n−1) of the data sets NumAcc1
// to NumAcc3 as NIST certifies them. [NIST Statistical Reference Datasets, univariate
// summary statistics; the sets are quoted from memory and can be redone by hand]
func TestPatternCVCertified(t *testing.T) {
	alternating := func(middle, low, high float64) []float64 {
		set := []float64{middle}
		for range 500 {
			set = append(set, low, high)
		}
		return set
	}
	for _, c := range []struct {
		name           string
		set            []float64
		mean, s, close float64
	}{
		{"NumAcc1", []float64{10000001, 10000003, 10000002}, 10000002, 1, 1e-12},
		{"NumAcc2", alternating(1.2, 1.1, 1.3), 1.2, 0.1, 1e-12},
		{"NumAcc3", alternating(1000000.2, 1000000.1, 1000000.3), 1000000.2, 0.1, 1e-8},
	} {
		got, err := patternCV(c.set)
		if want := c.s / c.mean; err != nil || math.Abs(float64(got)/want-1) > c.close {
			t.Errorf("%s: got %v, %v, want %v", c.name, float64(got), err, want)
		}
	}
}

func single(spacing unit.Length, caught ...Catch) PanTest {
	return PanTest{Passes: SinglePass, Spacing: spacing, Caught: caught}
}

// TestOverlap: exact by geometry. Triangles a half base apart, and boxes a base apart,
// add up to a plane.
func TestOverlap(t *testing.T) {
	triangle := single(5, 0, 1, 2, 3, 4, 5, 4, 3, 2, 1, 0)
	box := single(5, 7, 7, 7, 7, 7, 7)
	// A ramp the same way round repeats 1 2 3 4; turned, neighbors mirror each other and
	// nothing lies flat either. By hand: mean 2.5, squares 5, s = √(5/3), CV 51.64 %.
	ramp := single(5, 1, 2, 3, 4)
	for _, c := range []struct {
		name          string
		test          PanTest
		swath         unit.Length
		forth, rounds float64 // %
	}{
		{"triangles", triangle, 25, 0, 0},
		{"boxes", box, 30, 0, 0},
		{"boxes that overlap by a half", box, 15, 0, 0},
		{"ramps", ramp, 20, 51.6398, 51.6398},
		{"two pans in the swath", ramp, 10, 0, 0},
	} {
		got, known := c.test.At(c.swath)
		if c.swath/c.test.Spacing < fewestPans {
			if known {
				t.Errorf("%s: known with fewer than three pans in the swath", c.name)
			}
			continue
		}
		if !known || math.Abs(got.BackAndForth.In(unit.US)-c.forth) > 1e-4 || math.Abs(got.InRounds.In(unit.US)-c.rounds) > 1e-4 {
			t.Errorf("%s: got %+v, %v, want %v %% and %v %%", c.name, got, known, c.forth, c.rounds)
		}
	}
}

// TestSidesMatter: what is thrown 3 1 0 over the left of a machine and nothing over the
// right; swath of 3 pans. In rounds each pass lies alone, as it is: 3 1 0 and two more
// pans that fold onto it. Turned, left meets left. By hand, pans at −2..2 of 5 catches
// 2 3 1 0 0: in rounds places −1, 0, 1 get 3+0, 1, 0+2; back and forth 3, 1, 0+0.
func TestSidesMatter(t *testing.T) {
	test := single(10, 2, 3, 1, 0, 0)
	places, rounds := test.Laid(30, false)
	if !slices.Equal(places, []unit.Length{-10, 0, 10}) || !slices.Equal(rounds, []Catch{3, 1, 2}) {
		t.Errorf("in rounds: got %v at %v, want 3 1 2", rounds, places)
	}
	_, forth := test.Laid(30, true)
	// The neighbors, turned, reach −1 with their pan at distance −2 from themselves: 2.
	if !slices.Equal(forth, []Catch{5, 1, 0}) {
		t.Errorf("back and forth: got %v, want 5 1 0", forth)
	}
}

// TestLaidAgainstSums: at whole numbers of spacings, overlap is adding up pans; what is
// laid in rounds is all that was caught.
func TestLaidAgainstSums(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 40).Draw(t, "pans")
		test := single(unit.Length(rapid.Float64Range(0.5, 20).Draw(t, "spacing")))
		var sum Catch
		for range n {
			c := Catch(rapid.IntRange(0, 100).Draw(t, "catch"))
			test.Caught, sum = append(test.Caught, c), sum+c
		}
		m := rapid.IntRange(3, n+3).Draw(t, "swath")
		places, laid := test.Laid(unit.Length(m)*test.Spacing, false)
		if len(laid) != m {
			t.Fatalf("%d places in a swath of %d pans", len(laid), m)
		}
		var all Catch
		for i, x := range places {
			// The pan's number at this place, by which all that fall on it differ by m.
			at := int(math.Round(float64(x/test.Spacing) + float64(n-1)/2))
			var want Catch
			for k := -n; k <= n; k++ {
				if j := at + k*m; j >= 0 && j < n {
					want += test.Caught[j]
				}
			}
			if math.Abs(float64(laid[i]-want)) > 1e-6 {
				t.Fatalf("place %d: got %v, want %v", i, laid[i], want)
			}
			all += laid[i]
		}
		if math.Abs(float64(all-sum)) > 1e-6 {
			t.Fatalf("%v laid of %v caught", all, sum)
		}
	})
}

// TestLaidBetweenPans: a swath of no whole number of spacings. Triangles from 0 to 4 and
// back, spacing 1, swath 3.5: at 1 lie 3 and, from the pass at 3.5, 1.5.
func TestLaidBetweenPans(t *testing.T) {
	places, laid := single(1, 0, 1, 2, 3, 4, 3, 2, 1, 0).Laid(3.5, false)
	if !slices.Equal(places, []unit.Length{-1, 0, 1}) || !slices.Equal(laid, []Catch{4.5, 5, 4.5}) {
		t.Errorf("got %v at %v", laid, places)
	}
}

// TestSwaths: a triangle of 10 spacings is flat at half its throw, and grows uneven
// from there on: of the swaths that are looked at the lowest is the first.
func TestSwaths(t *testing.T) {
	test := single(5, 0, 1, 2, 3, 4, 5, 4, 3, 2, 1, 0)
	list := test.Patterns()
	if first, last := list[0].Swath, list[len(list)-1].Swath; first != 25 || last != 45 {
		t.Errorf("got swaths from %v to %v, want half of the 45 ft that caught anything to all of them", first, last)
	}
	if best, ok := Lowest(list); !ok || best.Swath != 25 || best.CV() > 1e-9 {
		t.Errorf("got %+v", best)
	}
	widest, ok := WidestWithin(list, SatisfactoryCV)
	if next, _ := test.At(widest.Swath + 5); !ok || widest.CV() > SatisfactoryCV || next.CV() <= SatisfactoryCV {
		t.Errorf("got %+v, and %+v beyond it", widest, next)
	}
	three := []pattern{{10, 0.19, 0.1}, {20, 0.1, 0.2}, {30, 0.1, 0.21}} // the worse of the two counts
	if widest, ok := WidestWithin(three, SatisfactoryCV); !ok || widest.Swath != 20 {
		t.Errorf("got %+v, want the swath at the bound", widest)
	}
	if best, ok := Lowest(three); !ok || best.Swath != 10 {
		t.Errorf("got %+v", best)
	}
	if list := (PanTest{Passes: Overlapped, Spacing: 5, Caught: []Catch{1, 2, 3}}).Patterns(); list != nil {
		t.Errorf("an overlapped test tells of %v", list)
	}
}

// TestOverlappedTest: the catches of an overlapped test are the pattern. 8, 10, 12: 20 %.
func TestOverlappedTest(t *testing.T) {
	test := PanTest{Passes: Overlapped, Spacing: 20, Caught: []Catch{8, 10, 12}}
	if got, known := test.At(60); !known || math.Abs(float64(got.CV())-0.2) > 1e-15 {
		t.Errorf("got %+v, %v", got, known)
	}
}

func TestCVWord(t *testing.T) {
	for cv, want := range map[unit.Ratio]string{0.1999: "satisfactory", 0.2: "satisfactory", 0.21: "not satisfactory", 0.25: "not satisfactory", 0.2501: "poor"} {
		if got := CVWord(cv); got != want {
			t.Errorf("%v: got %s, want %s", cv, got, want)
		}
	}
}

// TestPanTestsRefused: each mistake of a pan test by its place.
func TestPanTestsRefused(t *testing.T) {
	const good = "  pan-test: {rate: 200 lb/ac, passes: overlapped, spacing: 70 ft, caught: [9, 10.5, 9]}"
	for _, c := range []struct{ text, want string }{
		{"  pan-test: {passes: one, spacing: 35 ft, caught: [1, 2, 1]}", `j:33:22: spreader.pan-test.passes: "one" is not one of single, overlapped`},
		{"  pan-test: {passes: single, spacing: 35 lb, caught: [1, 2, 1]}", `j:33:39: spreader.pan-test.spacing: "35 lb" is a weight: want a length such as "70 ft"`},
		{"  pan-test: {passes: single, spacing: 0 ft, caught: [1, 2, 1]}", "j:33:39: spreader.pan-test.spacing: is not above 0: write what it is, or leave it out"},
		{"  pan-test: {passes: single, spacing: 35 ft}", "j:33:13: spreader.pan-test.caught: is missing: it has to be given"},
		{"  pan-test: {passes: single, spacing: 35 ft, caught: [1, 2]}", "j:33:54: spreader.pan-test[1].caught: has 2 catches: a pattern takes 3 to 201"},
		{"  pan-test: {passes: single, spacing: 35 ft, caught: [0, 0, 0]}", "j:33:54: spreader.pan-test[1].caught: no pan has caught anything: write what each one caught, from the left to the right"},
		{"  pan-test: {passes: single, spacing: 35 ft, caught: [1, -2, 1]}", `j:33:58: spreader.pan-test.caught[2]: "-2" is not what a pan can have caught: want a number without a unit, such as 12.5`},
		{"  pan-test: {passes: single, spacing: 35 ft, caught: [1, 2 g, 1]}", `j:33:58: spreader.pan-test.caught[2]: "2 g" is not what a pan can have caught: want a number without a unit, such as 12.5`},
		{"  pan-test: {passes: single, spacing: 35 ft, caught: [1, .nan, 1]}", `j:33:58: spreader.pan-test.caught[2]: ".nan" is not what a pan can have caught: want a number without a unit, such as 12.5`},
		{"  pan-test: {passes: single, spacing: 35 ft, cought: [1, 2, 1]}", "j:33:13: spreader.pan-test.caught: is missing: it has to be given\nj:33:46: spreader.pan-test.cought: is not a key that is known here: did you mean caught?"},
		{"  pan-test:\n    - {passes: single, spacing: 35 ft, caught: [1, 2, 1]}\n    - {passes: single, spacing: 35 ft, caught: [1]}", "j:35:48: spreader.pan-test[2].caught: has 1 catches: a pattern takes 3 to 201"},
	} {
		if !strings.Contains(job, good) {
			t.Fatal("the job has another pan test")
		}
		_, err := ParseJob("j", []byte(strings.Replace(job, good, c.text, 1)))
		if err == nil || err.Error() != c.want {
			t.Errorf("%s:\n got %v\nwant %s", c.text, err, c.want)
		}
	}
}

// TestPanTestsWarn: what a readable test says against the machine, at its place.
func TestPanTestsWarn(t *testing.T) {
	many := strings.TrimSuffix(strings.Repeat("1, ", 14), ", ")
	for _, c := range []struct{ passes, spacing, caught, want string }{
		{"single", "5 ft", many, "the outermost pans have caught more than 10 % of the highest catch"},
		{"overlapped", "5 ft", many, ""},
		{"overlapped", "4 ft", many, "14 pans 4 ft apart stand on 56 ft of the swath of 70 ft: they say nothing of the rest"},
		{"single", "35 ft", "0, 5, 0", "35 ft is too wide for a swath of 70 ft: fewer than 3 pans stand in it"},
		{"overlapped", "25 ft", "7.9, 10, 12.1", "CV 21.0 % at the swath of 70 ft, not satisfactory"},
		{"overlapped", "25 ft", "7, 10, 13", "CV 30.0 % at the swath of 70 ft, poor"},
	} {
		text := "spreader:\n  swath: 70 ft\n  speed: {low: 10 mph, usual: 15 mph, high: 18 mph}\n  pan-test: {passes: " + c.passes + ", spacing: " + c.spacing + ", caught: [" + c.caught + "]}\n"
		_, got, err := CheckJob("j", []byte(text))
		if err != nil {
			t.Fatal(err)
		}
		switch {
		case c.want == "" && len(got) > 0:
			t.Errorf("%s, %s: got %+v", c.passes, c.spacing, got)
		case c.want != "" && (len(got) != 1 || !strings.HasPrefix(got[0].Rule, "pattern") || got[0].Severity != label.Warning || got[0].Line != 4 || !strings.Contains(got[0].Text, c.want)):
			t.Errorf("%s, %s: got %+v, want %s", c.passes, c.spacing, got, c.want)
		}
	}
}

func TestTell(t *testing.T) {
	test := single(5, 0, 1, 2, 3, 4, 5, 4, 3, 2, 1, 0)
	for _, c := range []struct {
		swath unit.Length
		s     unit.System
		want  string
	}{
		{25, unit.US, "CV 0.0 % at the swath of 25 ft, satisfactory; lowest 0.0 % at 25 ft; satisfactory, up to 20 %, as wide as 30 ft"},
		{25, unit.Metric, "CV 0.0 % at the swath of 7.62 m, satisfactory; lowest 0.0 % at 7.62 m; satisfactory, up to 20 %, as wide as 9.144 m"},
		{5, unit.US, "no CV at the swath of 5 ft: too few pans stand in it"},
	} {
		if got := test.Tell(c.swath, c.s); got != c.want {
			t.Errorf("got %s, want %s", got, c.want)
		}
	}
}

// A throw goes from the first to the last pan that has caught anything, and half a way beyond both.
func TestThrowOfPans(t *testing.T) {
	for _, c := range []struct {
		caught []Catch
		want   unit.Length
	}{{nil, 0}, {[]Catch{0, 0, 0}, 0}, {[]Catch{0, 5, 0}, 10}, {[]Catch{3, 0, 0, 1}, 40}, {[]Catch{0, 3, 0, 1, 0}, 30}} {
		if got := (PanTest{Caught: c.caught, Spacing: 10}).throw(); got != c.want {
			t.Errorf("%v: %v, want %v", c.caught, got, c.want)
		}
	}
}

// A nozzle's name says its flow in tenths, and hundredths, of a gallon a minute; another has none.
func TestFlowsOfNozzles(t *testing.T) {
	for name, want := range map[nozzle]float64{"01": 0.1, "015": 0.15, "025": 0.25, "08": 0.8, "10": 1, "20": 2, "07": 0, "": 0, "x": 0} {
		if got := float64(name.Flow()); math.Abs(got-want) > 1e-12 {
			t.Errorf("%q: %v, want %v", name, got, want)
		}
	}
}
