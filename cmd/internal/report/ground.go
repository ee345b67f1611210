package report

import (
	"fmt"
	"strings"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/tell"
	"rxsplit/rx/write"
)

// Ground is what lands on a field, with what it was worked out from.
type Ground struct {
	*ground.Result
	Kind       string // "applied" or "passes"
	Dir        string // of the plan, as the user named it
	Units      unit.System
	Version    string
	Inputs     []write.Input
	Parameters map[string][]string // what else decides the result
	Courses    []Course            // of passes
}

// Course is how a layer is driven on paper.
type Course struct {
	Layer *rx.Layer
	ground.Course
}

// Name says which field it is, by its name, if its job has one, and its plan.
func (g Ground) Name() string {
	name := "plan " + Name(g.Dir)
	if job := g.Field.Assessment.Terms.Job; job != nil && job.Field != "" {
		name = job.Field + ", " + name
	}
	return name
}

// Said says in a sentence a liquid how the field stands to its label: areas as the table has
// them, and of those other than within the label only what is there.
func (g Ground) Said() string {
	gets, q := g.gets(), figures.In(g.Units)
	area := func(v unit.Area) string { return q.Area(v) + " " + unit.Symbol[unit.Area](g.Units) }
	var said []string
	for _, l := range g.Liquids {
		if !l.Graded {
			continue
		}
		text := fmt.Sprintf("Of %s, %s %s %s inside its label's range", tell.Ground(g.Sampled.Area, g.Units), area(l.Classes[ground.Within].Area), gets, l.Liquid.Name)
		for _, other := range []struct {
			class ground.Class
			what  string
		}{{ground.OverSeason, "so much that its season maximum is passed"}, {ground.Below, "less"}, {ground.Above, "more"}, {ground.None, "none"}} {
			if v := l.Classes[other.class].Area; g.shows(v) {
				text += ", " + area(v) + " " + other.what
			}
		}
		said = append(said, text+".")
	}
	if said == nil {
		return fmt.Sprintf("On %s of the plan; no liquid is held against its label.", tell.Ground(g.Sampled.Area, g.Units))
	}
	return strings.Join(said, " ")
}

// shows reports whether an area is more than 0 as it is printed.
func (g Ground) shows(v unit.Area) bool { return v.In(g.Units) >= 0.005 }

// gets is the verb of what lands: of what has landed already, and of what would.
func (g Ground) gets() string {
	if g.Kind == "passes" {
		return "would get"
	}
	return "got"
}

// SeasonText says how much ground gets more of a liquid than its season maximum; empty where no
// label gives one.
func (g Ground) SeasonText(l *ground.Liquid) string {
	if !l.Graded || l.Limit == 0 {
		return ""
	}
	area := func(v unit.Area) string { return figures.In(g.Units).Area(v) + " " + unit.Symbol[unit.Area](g.Units) }
	text := fmt.Sprintf("Season maximum of %s, %s, with what is applied already: ", l.Liquid.Name, l.Limit.Brief(g.Units))
	if !g.shows(l.Season.Area) && (l.Corrected == nil || !g.shows(l.Corrected.Season.Area)) {
		return text + "passed nowhere."
	}
	text += area(l.Season.Area) + " " + g.gets() + " more"
	if alone := l.Classes[ground.OverSeason].Area; g.shows(alone) {
		text += ", " + area(alone) + " of them inside the label's range in this pass (season alone)"
	}
	if l.Corrected != nil {
		text += ", as weighed " + area(l.Corrected.Season.Area)
	}
	return text + "."
}

// CourseText says how a layer is driven on paper.
func (g Ground) CourseText(c Course) string {
	laps := map[int]string{0: "no lap", 1: "1 lap"}[c.Laps]
	if laps == "" {
		laps = fmt.Sprintf("%d laps", c.Laps)
	}
	text := fmt.Sprintf("Layer %s, as driven here: %s wide at %s; %s around the field, then passes at %g° from north", c.Layer.Name, c.Width.Brief(g.Units), c.Speed.Brief(g.Units), laps, c.Azimuth)
	if c.Offset != 0 {
		text += ", the first " + c.Offset.Brief(g.Units) + " outside the edge"
	}
	if text += "; shut as one"; c.Sections > 1 {
		text = strings.TrimSuffix(text, "as one") + fmt.Sprintf("by %d sections", c.Sections)
	}
	switch change := c.Dead + c.Ramp; {
	case change > 0 && c.Ahead > 0:
		text += fmt.Sprintf("; a change of rate takes %s and is called for %s early", change.Brief(g.Units), c.Ahead.Brief(g.Units))
	case change > 0:
		text += fmt.Sprintf("; a change of rate takes %s and is called for where the zone begins", change.Brief(g.Units))
	}
	return text + "."
}

// Amount prints an amount of a layer: pounds or fluid ounces, in the user's units.
func (g Ground) Amount(l *rx.Layer, v float64) string {
	if l.Product == rx.Liquid {
		return unit.Volume(v).Brief(g.Units)
	}
	return unit.Mass(v).Brief(g.Units)
}

// Title says what the figures are.
func (g Ground) Title() string {
	if g.Kind == "passes" {
		return "What would land, if the plan is driven as said"
	}
	return "What landed, as the logs say"
}

// Cautions are what whoever reads such figures must know.
func (g Ground) Cautions() []string {
	what := "A log is what the controller believed, not what fell: weighed loads and tank fills are the truth for totals."
	if g.Kind == "passes" {
		what = "Nobody drives as evenly as this: where the machine is driven otherwise, other ground is bare or covered twice."
	}
	return []string{
		what,
		"A swath is taken as a sharp-edged strip of the working width. A spinner's real pattern tapers and is meant to overlap.",
		"The label in hand and local rules come first.",
	}
}

// GroundWords says what the heads of the tables mean that could be taken for each other.
const GroundWords = "None: no such liquid lies there, whether some was to or not. Bare: some of the layer was to lie there and none does."

// WeighedText says what was weighed of a layer; empty where nothing was.
func (g Ground) WeighedText(p *ground.Product) string {
	if p.Weighed == 0 {
		return ""
	}
	return fmt.Sprintf("Layer %s: %s were weighed or filled, %.1f %% of what the logs say; the ground is graded by both.", p.Layer.Name, g.Amount(p.Layer, p.Weighed*p.Total), 100*p.Weighed)
}

// LookAheadText recommends by how much earlier changes are to be called for.
func LookAheadText(g Ground, a ground.LookAhead) string {
	area := func(v unit.Area) string { return tell.Ground(v, g.Units) }
	asked := ""
	if a.Asked > 0 {
		asked = fmt.Sprintf("; %s with the %s asked for", area(a.OffAsked), a.Asked.Brief(g.Units))
	}
	if a.Time == 0 {
		return fmt.Sprintf("Layer %s: no look-ahead does better; %s miss their target by more than a tenth%s.", a.Layer.Name, area(a.OffNow), asked)
	}
	return fmt.Sprintf("Layer %s: look ahead by %s, %s: %s miss their target by more than a tenth then, and %s without any%s.",
		a.Layer.Name, a.Way.Brief(g.Units), a.Time.Brief(g.Units), area(a.Off), area(a.OffNow), asked)
}
