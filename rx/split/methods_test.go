package split

import (
	"fmt"
	"slices"
	"testing"

	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
)

// A plan that is on label has no error; one whose rates somebody got wrong is stopped before it is
// written, by each limit that it passes, in the zones where it does.
func TestInspectedBeforeItIsWritten(t *testing.T) {
	p := rxtest.Plain(rxtest.Ground{Acres: 40, Rate: 180}, rxtest.Ground{Acres: 20, Rate: 200})
	terms := rxtest.Terms(rxtest.Label(t, "season-max: 60 fl oz/ac\nmax-liquid: 4 gal/ton\n"))
	terms.AlreadyApplied = 22
	terms.Further = rxtest.Further(64)
	terms.Further[0].Label = rxtest.Profile(t, "name: Another (invented)\nrate: {min: 3 fl oz/ac, max: 9 fl oz/ac}\n")
	for _, c := range []struct {
		name  string
		wrong func(*rx.Plan)
		want  string
	}{
		{"as planned", func(*rx.Plan) {}, "[]"},
		{"the stabilizer above", func(p *rx.Plan) { p.Stabilizer[1] = 41 }, "[plan-off-label [2] plan-season-max [2]]"},
		{"the stabilizer below", func(p *rx.Plan) { p.Stabilizer[0] = 19.9 }, "[plan-off-label [1]]"},
		{"the season passed", func(p *rx.Plan) { p.Stabilizer[0] = 38.1 }, "[plan-season-max [1]]"},
		{"a further liquid", func(p *rx.Plan) { p.Further[0][1] = 9.1 }, "[plan-off-label/liquid [2]]"},
		{"too much liquid a ton", func(p *rx.Plan) { p.Layers[0].Loading = 449 }, "[plan-max-liquid []]"},
	} {
		task := For(p, rxtest.Grade(t, p, terms), nil)
		plan, err := task.Plan(rx.OneLoad)
		if err != nil {
			t.Fatal(err)
		}
		plan.Findings = nil
		c.wrong(plan)
		task.inspect(plan)
		got := []string{}
		for _, f := range plan.Findings {
			if f.Severity == rx.Error {
				got = append(got, fmt.Sprint(f.Key(), " ", f.Zones))
			}
		}
		slices.Sort(got)
		if fmt.Sprint(got) != c.want {
			t.Errorf("%s: %v, want %s", c.name, got, c.want)
		}
	}
}

// Every way that can be asked for is worked out, and none else; both lists have one
// order, by which ways that are equal are shown.
func TestMethodsAreThoseOfTheRegistry(t *testing.T) {
	ways, all := equip.Ways(), methods()
	if len(ways) != len(all) {
		t.Fatalf("%d ways can be asked for, %d are worked out", len(ways), len(all))
	}
	for i, w := range ways {
		if all[i].name != w.Name {
			t.Errorf("way %d is called %s and worked out as %s", i+1, w.Name, all[i].name)
		}
		if w.Title == "" || w.Help == "" {
			t.Errorf("%s has no title or no help", w.Name)
		}
	}
}
