package day

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
)

// shares is a work at a shared loading, whose field takes the loadings of a window.
func shares(w Work, shared int, loading unit.Loading, window Window) Work {
	w.Shared, w.Load.Loading, w.Window = shared, loading, window
	return w
}

// back is so many pounds of left-over blend of a customer, of which 2 % are liquid and agent.
func back(pounds float64, loading unit.Loading, customer string) Left {
	return Left{Weighed: unit.Mass(pounds), Load: rx.Load{Loading: loading}, Taken: 0.02, Customer: customer}
}

// By hand: 1,020 lb of which 1,000 are dry. At 320 fl oz/ton they suit the window of the second field as they are; the
// first, at 300, takes them with 1000*(320/300 - 1) = 66.7 lb of dry, 66 of which leave 320*1000/1066 = 300.2; at 240
// they take (300 - 240)*0.5 = 30 fl oz. The blender then makes what is left: of 3.4 tons 6,800 - 1,066 or 6,800 - 1,000 lb, in two
// batches either way. 3 tons are one batch if all goes into it: 5,000 lb of fresh dry and 900 fl oz, less the 160 or 120 that came back.
func TestLeftOverIsUsedFirst(t *testing.T) {
	narrow, wide := Window{Min: 290, Max: 310}, Window{Min: 280, Max: 330}
	tons := 3.0
	run := func(l Left, windows ...Window) []rx.Lot {
		t.Helper()
		var works []Work
		for i, w := range windows {
			works = append(works, shares(workOf(i, tons, "A", ""), 0, 300, w))
		}
		runs, asks := Runs(works, []Left{l})
		if len(runs) != 1 || slices.ContainsFunc(asks, func(a rx.RunAsk) bool { return a.About == rx.AskLeft }) {
			t.Fatalf("got %+v, %+v", runs, asks)
		}
		return runs[0].Lots
	}
	lots := run(back(1020, 320, "A"), narrow, wide)
	if l := lots[0]; !l.AsIs() || l.Fields[0] != 1 || l.Left.Dry != 1000 || l.Load.Loading != 320 || l.Weighed() != 1000 {
		t.Errorf("as it is: %+v, %+v", l, l.Left)
	}
	if len(lots) != 3 || lots[1].Weighed() != 6000 || lots[2].Weighed() != 5000 || lots[2].Load.Loading != 300 {
		t.Errorf("then %+v", lots[1:])
	}
	for _, c := range []struct {
		tons         float64
		loading      unit.Loading
		dry          unit.Mass
		liquid       unit.Volume
		gets, others unit.Mass
	}{{3.4, 320, 66, 0, 1066, 5734}, {3.4, 240, 0, 30, 1000, 5800}, {3, 320, 5000, 740, 6000, 0}, {3, 240, 5000, 780, 6000, 0}} {
		tons = c.tons
		lots := run(back(1020, c.loading, "A"), narrow)
		l := lots[0]
		if l.AsIs() || l.Portion.Dry != c.dry || l.Portion.Liquid != c.liquid || l.Portion.Count != 1 || l.Weighed() != c.gets || l.Load.Loading != 300 || l.Time != 10*unit.Minute {
			t.Errorf("from %v: %+v", c.loading, l)
		}
		others := unit.Mass(0)
		for _, l := range lots[1:] {
			others += l.Weighed()
		}
		if others != c.others {
			t.Errorf("from %v then %+v", c.loading, lots[1:])
		}
	}
	tons = 3
	// 8,160 lb are more than a field of 3 tons takes: it gets no batch; of 7,000 lb at 240 it takes 3 tons, blended in two.
	if lots := run(back(8160, 300, "A"), narrow); len(lots) != 1 || lots[0].Left.Weighed != 6120 || lots[0].Weighed() != 6000 {
		t.Errorf("too much: %+v", lots)
	}
	if lots := run(back(7140, 240, "A"), narrow); len(lots) != 1 || lots[0].Portion.Count != 1 || lots[0].Portion.Liquid != 180 {
		t.Errorf("too much to blend: %+v", lots)
	}
}

// Left-over blend goes on only between fields of one customer, or where nothing of it is registered; else it is asked.
func TestLeftOverGoesOnlyWhereItMay(t *testing.T) {
	for _, c := range []struct {
		name, of, field, registered string
		change                      func(*Left)
		used, asked                 bool
	}{
		{"one customer", "A", " A", "yes", nil, true, false},
		{"another customer", "B", "A", "yes", nil, false, true},
		{"nobody says whose", "", "", "", nil, false, true},
		{"not registered", "", "A", "no", nil, true, false},
		{"another blend", "A", "A", "", func(l *Left) { l.Blend = 1 }, false, false},
		{"too old", "A", "A", "", func(l *Left) { l.Kept = true }, false, false},
		{"nobody knows its dry, and it needs re-dosing", "A", "A", "", func(l *Left) { l.Rough = true }, false, false},
	} {
		w := shares(workOf(0, 3, c.field, c.registered), 0, 300, Window{Min: 290, Max: 310})
		l := back(1020, 320, c.of)
		if c.change != nil {
			c.change(&l)
		}
		runs, asks := Runs([]Work{w}, []Left{l})
		used := runs[0].Lots[0].Left != nil
		asked := slices.ContainsFunc(asks, func(a rx.RunAsk) bool { return a.About == rx.AskLeft && slices.Equal(a.Fields, []int{0}) })
		if used != c.used || asked != c.asked {
			t.Errorf("%s: used %v, asked %v", c.name, used, asked)
		}
	}
	own := workOf(0, 3, "A", "no")
	own.Shared = -1
	if runs, _ := Runs([]Work{own}, []Left{back(1020, 300, "A")}); runs[0].Lots[0].Left != nil {
		t.Error("a field at loadings of its own gets it")
	}
}

// drawnLeft draws works of shared loadings, and left-over blend of some of their customers.
func drawnLeft(r *rand.Rand) (works []Work, left []Left) {
	for i := range 1 + r.IntN(6) {
		w := workOf(i, 0.2+4*r.Float64(), []string{"", "A", "B"}[r.IntN(3)], []string{"", "yes", "no"}[r.IntN(3)])
		w.Blend = r.IntN(2)
		loading := unit.Loading(200 + 50*w.Blend + 60*r.IntN(2))
		w = shares(w, int(loading), loading, Window{Min: loading - unit.Loading(r.IntN(30)), Max: loading + unit.Loading(r.IntN(30))})
		w.Load.Materials = equip.Blend{{Name: "urea", Share: 0.6}, {Name: "other", Share: 0.4}}
		if herbicide := w.Blend == 1; herbicide {
			profile := &label.Profile{Name: "herbicide", Rate: label.Range[unit.LiquidRate]{Min: 1, Max: 9}}
			profile.Registered.UnmarshalText([]byte("no"))
			w.Terms.Further, w.Load.Further = []rx.JobLiquid{{Name: "herbicide", Label: profile, Loading: 40, On: equip.OnBlend}}, []unit.Loading{40}
		}
		works = append(works, w)
	}
	for range 1 + r.IntN(3) {
		l := back(float64(40+r.IntN(8000)), unit.Loading(150+r.IntN(250)), []string{"A", "B", ""}[r.IntN(3)])
		if l.Blend = r.IntN(2); l.Blend == 1 {
			l.Load.Further = []unit.Loading{40}
		}
		left = append(left, l)
	}
	return works, left
}

// Of 1000 drawn days: what fields get is what they want, and is what is weighed anew and what is dry of the left-over blend, to the last
// pound; each liquid in all is what is metered and what was on that; every lot lies in its field's window, by what a scale and a meter
// read; no more is used than there is, and none where it may not go.
func TestLeftOverBalances(t *testing.T) {
	count := 1000
	if testing.Short() {
		count /= 10
	}
	r, asIs, mixed, tooMany := rand.New(rand.NewPCG(16, 6)), 0, 0, 0
	for day := range count {
		works, left := drawnLeft(r)
		runs, _ := Runs(works, left)
		tooMany += extraBatches(works, runs)
		got, used := make([]unit.Mass, len(works)), make([]unit.Mass, len(left))
		var fields, anew, old unit.Mass
		for _, run := range runs {
			for _, l := range run.Lots {
				all := l.Portion.Total()
				anew += all.Dry
				fields += l.Weighed()
				for _, p := range l.Parts {
					got[p.Field] += p.Dry
				}
				if sum := all.Materials; l.Portion.Dry > 0 && sum[0]+sum[1] != all.Dry {
					t.Fatalf("day %d: materials %v of %v", day, sum, all.Dry)
				}
				if l.Left == nil {
					continue
				}
				from, w := left[l.Left.Of], works[slices.IndexFunc(works, func(w Work) bool { return w.Field == l.Fields[0] })]
				dry := l.Left.Weighed / unit.Mass(1+from.Taken)
				old += l.Left.Dry * unit.Mass(l.Portion.Count)
				used[l.Left.Of] += l.Left.Weighed * unit.Mass(l.Portion.Count)
				if l.AsIs() {
					asIs++
				} else {
					mixed++
				}
				a := float64(unit.Uptake(from.Load.Loading, dry)+l.Portion.Liquid) / float64(dry+l.Portion.Dry) * 2000
				if a < float64(w.Window.Min)*(1-1e-9) || a > float64(w.Window.Max)*(1+1e-9) || math.Abs(a-float64(l.Load.Loading)) > 2000/float64(dry)+1e-3*a {
					t.Errorf("day %d: %v fl oz/ton for %v in %+v: %+v of %+v", day, a, l.Load.Loading, w.Window, l.Portion, l.Left)
				}
				for k, f := range l.Portion.Further {
					b := float64(unit.Uptake(40, dry)+f.Liquid) / float64(dry+l.Portion.Dry) * 2000
					if math.Abs(b-40) > 0.6*2000/float64(dry+l.Portion.Dry) {
						t.Errorf("day %d: liquid %d at %v fl oz/ton", day, k, b)
					}
				}
				if from.Blend != w.Blend || w.Terms.Label.Registered != label.No && (from.Customer == "" || from.Customer != w.Customer) {
					t.Errorf("day %d: of %+v for %+v", day, from, w)
				}
			}
		}
		if fields != anew+old {
			t.Errorf("day %d: fields get %v, blended anew are %v and left over %v", day, fields, anew, old)
		}
		for i, w := range works {
			if math.Abs(float64(got[i]-w.Load.Mass)) > 10 { // batches, each rounded to a pound
				t.Errorf("day %d, field %d: gets %v of %v", day, i, got[i], w.Load.Mass)
			}
		}
		for i, l := range left {
			if used[i] > l.Weighed {
				t.Errorf("day %d: %v used of %v", day, used[i], l.Weighed)
			}
		}
	}
	if tooMany > 0 {
		t.Errorf("%d batches more than one field's dry takes", tooMany)
	}
	if asIs < count/10 || mixed < count/10 {
		t.Errorf("%d lots as they are, %d re-dosed", asIs, mixed)
	}
}

// extraBatches counts batches of 3 tons beyond those that a field by itself takes of what it wants, less what it gets as it came
// back, of fields that share none: no batch has two left-over blends in it.
func extraBatches(works []Work, runs []rx.Run) (extra int) {
	for _, r := range runs {
		asIs, batches, older, shared := map[int]unit.Mass{}, map[int]int{}, map[int]int{}, map[int]bool{}
		for _, l := range r.Lots {
			for _, f := range l.Fields {
				if shared[f] = shared[f] || len(l.Fields) > 1; l.AsIs() {
					asIs[f] += l.Gets(f)
					continue
				}
				batches[f] += l.Portion.Count
				if l.Left != nil {
					older[f] += l.Portion.Count
				}
			}
		}
		for f, n := range batches {
			wants := works[slices.IndexFunc(works, func(w Work) bool { return w.Field == f })].Load.Mass
			if fewest := max(older[f], int(math.Ceil(float64(wants-asIs[f])/6000-1e-9))); !shared[f] && n > fewest {
				extra += n - fewest
			}
		}
	}
	return extra
}

// mostUsed is the most that can be used of left-over blend in lumps, where every lump may go onto any of some fields or
// onto none: by trying all.
func mostUsed(lumps []int, goes [][]bool, room []int) int {
	best := 0
	var try func(i, used int)
	try = func(i, used int) {
		if i == len(lumps) {
			best = max(best, used)
			return
		}
		for j := range room {
			if goes[lumps[i]][j] && room[j] > 0 {
				room[j]--
				try(i+1, used+1)
				room[j]++
			}
		}
		try(i+1, used)
	}
	try(0, 0)
	return best
}

// Of 1000 drawn days no other choice of fields uses up more of the left-over blend, against trying all: lumps of 500 lb of
// dry for fields that take 1 to 3 of them, where the windows say which of it they can have as it is.
func TestMostOfLeftOverIsUsed(t *testing.T) {
	count, scarce := 1000, 0
	if testing.Short() {
		count /= 10
	}
	r := rand.New(rand.NewPCG(16, 7))
	for day := range count {
		var works []Work
		var left []Left
		var lumps []int
		fields, kinds := 1+r.IntN(4), 1+r.IntN(3)
		goes, room := make([][]bool, kinds), make([]int, fields)
		for j := range room {
			room[j] = 1 + r.IntN(3)
			low := 200 + 100*r.IntN(kinds)
			w := shares(workOf(j, float64(room[j])/4, "", "no"), j, unit.Loading(low), Window{Min: unit.Loading(low), Max: unit.Loading(low + 100*r.IntN(kinds))})
			works = append(works, w)
		}
		for i := range goes {
			l := Left{Weighed: unit.Mass(510 * (1 + r.IntN(3))), Load: rx.Load{Loading: unit.Loading(200 + 100*i)}, Taken: 0.02, Rough: true}
			left = append(left, l)
			for range int(l.Weighed) / 510 {
				lumps = append(lumps, i)
			}
			for _, w := range works {
				goes[i] = append(goes[i], Holds(w.Window, l.Load.Loading))
			}
		}
		used := unit.Mass(0)
		runs, _ := Runs(works, left)
		for _, run := range runs {
			for _, l := range run.Lots {
				if l.Left != nil {
					used += l.Weighed()
				}
			}
		}
		want := mostUsed(lumps, goes, room)
		if want < len(lumps) {
			scarce++
		}
		if math.Abs(float64(used)-500*float64(want)) > 3 {
			t.Errorf("day %d: %v lb used, %d could be; %v of %v in %v", day, used, 500*want, goes, lumps, room)
		}
	}
	if scarce < count/10 {
		t.Errorf("fields had room for all on all but %d days", scarce)
	}
}
