package split_test

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/split"
)

// Why a way is impossible, what is said of one that is possible, what it hangs on and how it is
// refused, with what to do: the first text of each kind that labels of 20 to 40 fl oz/ac, rates, jobs
// and second liquids bring about.
func TestWhyNoWay(t *testing.T) {
	var told []string
	kinds, figures := map[string]bool{}, regexp.MustCompile(`[\d.,]+`)
	tell := func(what, text string) {
		if kind := figures.ReplaceAllString(text, "#"); text != "" && !kinds[kind] {
			kinds[kind] = true
			told = append(told, what+": "+text)
		}
	}
	second := func(label string, on equip.Carriage) []rx.JobLiquid {
		l := rx.JobLiquid{Name: "second", Intended: 4, On: on}
		if label != "" {
			l.Label = rxtest.Profile(t, "name: second\n"+label)
		}
		return []rx.JobLiquid{l}
	}
	grounds := map[string][]rxtest.Ground{
		"one rate": {{Acres: 40, Rate: 200}}, "near": {{Acres: 40, Rate: 150}, {Acres: 60, Rate: 190}}, "far": {{Acres: 30, Rate: 100}, {Acres: 40, Rate: 180}, {Acres: 30, Rate: 310}},
		"with none": {{Acres: 20, Rate: 0}, {Acres: 40, Rate: 90}, {Acres: 5, Rate: 400}},
	}
	jobs := []string{
		"", full,
		"spreader: {swath: 70 ft, speed: {low: 10 mph, usual: 15 mph, high: 20 mph}, bins: 1, rates: {min: 140 lb/ac, max: 300 lb/ac}}\n",
	}
	for _, ground := range []string{"one rate", "near", "far", "with none"} {
		p := rxtest.Read(t, rxtest.Strip(grounds[ground]...))
		for _, more := range []string{
			"", "season-max: 60 fl oz/ac\n", "max-liquid: 2 gal/ton\n", "min-dry-rate: 185 lb/ac\n", "loading: {min: 390 fl oz/ton, max: 500 fl oz/ton}\n", "below-label: allowed\n", "tank-mix: forbidden\n", "spray-volume: {min: 5 gal/ac, max: 9 gal/ac}\n",
		} {
			for n, text := range jobs {
				for k, further := range [][]rx.JobLiquid{nil, rxtest.Further(64), second("", equip.OnBoom), second("rate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\n", equip.OnBlend), second("rate: {min: 2 fl oz/ac, max: 8 fl oz/ac}\ntank-mix: forbidden\n", equip.OnBoom)} {
					for _, applied := range []unit.LiquidRate{0, 35, 45} {
						if applied > 0 && (k > 1 || n > 1) {
							continue
						}
						terms := rxtest.Terms(rxtest.Label(t, more))
						if text != "" {
							terms.Job = job(t, text)
						}
						terms.Further, terms.AlreadyApplied = further, applied
						terms.RateError, terms.LeaveOff = unit.Ratio(n)*0.05, n == 2
						task := split.For(p, rxtest.Grade(t, p, terms), nil)
						what := fmt.Sprintf("%s, %s, job %d, further %d, %v applied", ground, strings.TrimSpace(more), n, k, float64(applied))
						for _, w := range task.Ways() {
							if w.Possible() {
								tell(what, string(w.Name)+", "+w.State.String()+": "+w.Why)
							}
							var refused *split.Refusal
							if _, err := task.Plan(w.Name); errors.As(err, &refused) {
								tell(what, refused.Error()+" -> "+refused.Hint)
							} else if (err != nil) || !w.Possible() {
								t.Errorf("%s, %s: %v", what, w.Name, err)
							}
						}
					}
				}
			}
		}
	}
	if got := strings.Join(told, "\n"); got != whyNoWay {
		t.Errorf("got\n%s\nwant\n%s", got, whyNoWay)
	}
}

const whyNoWay = `one rate, , job 0, further 0, 0 applied: wet-boom, conditional: 30 fl oz/ac everywhere, whatever the dry rate
one rate, , job 0, further 0, 0 applied: one-load, conditional: one loading of 300 fl oz/ton serves every treated zone
one rate, , job 0, further 0, 0 applied: loads, conditional: one load of 300 fl oz/ton serves every rate
one rate, , job 0, further 0, 0 applied: refit, conditional: no rate has to change: one loading of 300 fl oz/ton
one rate, , job 0, further 0, 0 applied: base, conditional: base of 200 lb/ac at 300 fl oz/ton puts 30 fl oz/ac everywhere, untreated top-up to the prescribed rate
one rate, , job 0, further 1, 0 applied: wet-boom, conditional: 30 fl oz/ac everywhere, whatever the dry rate; the dry carries 64 fl oz/ton of another
one rate, , job 0, further 2, 0 applied: wet-boom, conditional: 30 fl oz/ac everywhere, whatever the dry rate; 4 fl oz/ac of second in the tank
one rate, , job 0, further 3, 0 applied: wet-boom, conditional: 30 fl oz/ac everywhere, whatever the dry rate; the dry carries 40 fl oz/ton of second
one rate, , job 0, further 4, 0 applied: way wet-boom: second is to go into the tank with the stabilizer, and the label of second forbids that -> see the ways that are possible with: rxsplit check
one rate, , job 1, further 0, 0 applied: one-load, ready: one loading of 300 fl oz/ton serves every treated zone
one rate, , job 1, further 0, 0 applied: base, ready: base of 200 lb/ac at 300 fl oz/ton puts 30 fl oz/ac everywhere, untreated top-up to the prescribed rate
one rate, , job 1, further 0, 0 applied: loads, ready: one load of 300 fl oz/ton serves every rate
one rate, , job 1, further 0, 0 applied: refit, ready: no rate has to change: one loading of 300 fl oz/ton
one rate, , job 1, further 0, 0 applied: wet-boom, ready: 30 fl oz/ac everywhere, whatever the dry rate
one rate, , job 1, further 3, 0 applied: wet-boom, ready: 30 fl oz/ac everywhere, whatever the dry rate; the dry carries 40 fl oz/ton of second
one rate, season-max: 60 fl oz/ac, job 0, further 0, 35 applied: way wet-boom: the season leaves 25 fl oz/ac of the 30 fl oz/ac intended (35 fl oz/ac already applied; --stabilizer-rate lowers the rate) -> see the ways that are possible with: rxsplit check
one rate, season-max: 60 fl oz/ac, job 0, further 0, 45 applied: way wet-boom: the season leaves 15 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 60 fl oz/ac, 45 fl oz/ac already applied) -> see the ways that are possible with: rxsplit check
one rate, season-max: 60 fl oz/ac, job 0, further 0, 45 applied: way one-load: the season leaves 15 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 60 fl oz/ac, 45 fl oz/ac already applied) -> see the ways that are possible with: rxsplit check
one rate, season-max: 60 fl oz/ac, job 0, further 0, 45 applied: way base: the season leaves 15 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 60 fl oz/ac, 45 fl oz/ac already applied) -> see the ways that are possible with: rxsplit check
one rate, season-max: 60 fl oz/ac, job 0, further 0, 45 applied: way loads: the season leaves 15 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 60 fl oz/ac, 45 fl oz/ac already applied) -> see the ways that are possible with: rxsplit check
one rate, season-max: 60 fl oz/ac, job 0, further 0, 45 applied: way refit: the season leaves 15 fl oz/ac, less than the label's least, 20 fl oz/ac (season maximum 60 fl oz/ac, 45 fl oz/ac already applied) -> see the ways that are possible with: rxsplit check
one rate, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: refit, conditional: rates brought into 208.3 lb/ac, then one loading of 192 fl oz/ton
one rate, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way one-load: the lowest dry rate, 200 lb/ac, needs 200 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another -> see the ways that are possible with: rxsplit check
one rate, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way base: a base of 200 lb/ac (the lowest dry rate, on 40.00 ac) can't be impregnated: the lowest dry rate, 200 lb/ac, needs 200 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another -> see the ways that are possible with: rxsplit check
one rate, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way loads: 40.00 ac at 200 lb/ac can't be served: the lowest dry rate, 200 lb/ac, needs 200 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another -> see the ways that are possible with: rxsplit check
one rate, max-liquid: 2 gal/ton, job 2, further 1, 0 applied: way one-load: no zone can be served: the lowest dry rate, 200 lb/ac, needs 200 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another -> see the ways that are possible with: rxsplit check
one rate, tank-mix: forbidden, job 0, further 2, 0 applied: way wet-boom: second is to go into the tank with the stabilizer, and the label of stabilizer forbids that -> see the ways that are possible with: rxsplit check
one rate, tank-mix: forbidden, job 0, further 4, 0 applied: way wet-boom: second is to go into the tank with the stabilizer, and the label of stabilizer and of second forbids that -> see the ways that are possible with: rxsplit check
near, season-max: 60 fl oz/ac, job 0, further 0, 35 applied: loads, conditional: the dry rates cut at 190 lb/ac, loadings of 333.3 fl oz/ton, 263.1 fl oz/ton
near, season-max: 60 fl oz/ac, job 0, further 0, 35 applied: refit, conditional: rates brought into 152 to 190 lb/ac, then one loading of 263.1 fl oz/ton as a meter reads it (exactly 263.1578947)
near, season-max: 60 fl oz/ac, job 0, further 0, 35 applied: way one-load: dry rates span 1.267 to 1 (150 lb/ac to 190 lb/ac), the season leaves 1.25 to 1 (20 fl oz/ac to 25 fl oz/ac) -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, season-max: 60 fl oz/ac, job 1, further 0, 35 applied: refit, conditional: rates brought into 168.1 to 190 lb/ac, then one loading of 250.6 fl oz/ton
near, max-liquid: 2 gal/ton, job 0, further 0, 0 applied: way one-load: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, max-liquid: 2 gal/ton, job 0, further 0, 0 applied: way base: a base of 150 lb/ac (the lowest dry rate, on 40.00 ac) can't be impregnated: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, max-liquid: 2 gal/ton, job 0, further 0, 0 applied: way loads: 40.00 ac at 150 lb/ac can't be served: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way loads: 40.00 ac at 150 lb/ac can't be served: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another; nor can 60.00 ac at other rates -> see the ways that are possible with: rxsplit check
near, max-liquid: 2 gal/ton, job 0, further 3, 0 applied: way one-load: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 26.67 fl oz/ton of it second -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, max-liquid: 2 gal/ton, job 0, further 3, 0 applied: way base: a base of 150 lb/ac (the lowest dry rate, on 40.00 ac) can't be impregnated: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 26.67 fl oz/ton of it second -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, max-liquid: 2 gal/ton, job 0, further 3, 0 applied: way loads: 40.00 ac at 150 lb/ac can't be served: the lowest dry rate, 150 lb/ac, needs 266.7 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 26.67 fl oz/ton of it second -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, max-liquid: 2 gal/ton, job 2, further 0, 0 applied: one-load, conditional: one loading of 256 fl oz/ton serves 190 lb/ac; the rest stays untreated
near, max-liquid: 2 gal/ton, job 2, further 0, 0 applied: base, conditional: base of 190 lb/ac at 256 fl oz/ton puts 24.32 fl oz/ac everywhere but where less dry is prescribed, untreated top-up to the prescribed rate
near, max-liquid: 2 gal/ton, job 2, further 0, 0 applied: loads, conditional: one load of 256 fl oz/ton serves every rate; what no load can serve stays untreated
near, min-dry-rate: 185 lb/ac, job 0, further 0, 0 applied: way one-load: the lowest dry rate, 150 lb/ac, is below the smallest impregnated dry rate of the label, 185 lb/ac -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, min-dry-rate: 185 lb/ac, job 0, further 0, 0 applied: way base: a base of 150 lb/ac (the lowest dry rate, on 40.00 ac) can't be impregnated: the lowest dry rate, 150 lb/ac, is below the smallest impregnated dry rate of the label, 185 lb/ac -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
near, min-dry-rate: 185 lb/ac, job 0, further 0, 0 applied: way loads: 40.00 ac at 150 lb/ac can't be served: the lowest dry rate, 150 lb/ac, is below the smallest impregnated dry rate of the label, 185 lb/ac -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
far, , job 0, further 0, 0 applied: way one-load: dry rates span 3.1 to 1 (100 lb/ac to 310 lb/ac), the label's range 2 to 1 (20 fl oz/ac to 40 fl oz/ac) -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
far, , job 2, further 0, 0 applied: loads, conditional: the dry rates cut at 310 lb/ac, loadings of 411.8 fl oz/ton, 193.5 fl oz/ton; 3 loads would leave room for the rate error of 10 % everywhere
far, season-max: 60 fl oz/ac, job 0, further 0, 35 applied: loads, conditional: the dry rates cut at 180 lb/ac, 310 lb/ac, loadings of 500 fl oz/ton, 277.7 fl oz/ton, 161.2 fl oz/ton
far, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way base: a base of 100 lb/ac (the lowest dry rate, on 30.00 ac) can't be impregnated: the lowest dry rate, 100 lb/ac, needs 400 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
far, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way loads: 30.00 ac at 100 lb/ac can't be served: the lowest dry rate, 100 lb/ac, needs 400 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another; nor can 40.00 ac at other rates -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
far, max-liquid: 2 gal/ton, job 2, further 0, 0 applied: loads, conditional: one load of 254.5 fl oz/ton serves every rate; 2 loads would leave room for the rate error of 10 % everywhere; what no load can serve stays untreated
far, min-dry-rate: 185 lb/ac, job 0, further 0, 0 applied: way loads: 30.00 ac at 100 lb/ac can't be served: the lowest dry rate, 100 lb/ac, is below the smallest impregnated dry rate of the label, 185 lb/ac; nor can 40.00 ac at other rates -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
far, loading: {min: 390 fl oz/ton, max: 500 fl oz/ton}, job 0, further 0, 0 applied: way loads: 30.00 ac at 310 lb/ac can't be served: the highest dry rate needs at most 258.1 fl oz/ton, the label asks for at least 390 fl oz/ton -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them
with none, , job 0, further 3, 0 applied: way wet-boom: the dry carries a liquid of its own: second: dry rates span 4.444 to 1 (90 lb/ac to 400 lb/ac), the label's range 4 to 1 (2 fl oz/ac to 8 fl oz/ac) -> see the ways that are possible with: rxsplit check
with none, , job 1, further 0, 0 applied: loads, ready: the dry rates cut at 400 lb/ac, loadings of 666.7 fl oz/ton, 150 fl oz/ton
with none, max-liquid: 2 gal/ton, job 0, further 1, 0 applied: way loads: 40.00 ac at 90 lb/ac can't be served: the lowest dry rate, 90 lb/ac, needs 444.4 fl oz/ton to stay on label, and a ton takes up 256 fl oz/ton at most, 64 fl oz/ton of it another -> allow zones to stay untreated with --leave-off, or take another way; rxsplit check lists them`
