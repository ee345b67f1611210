package sheet

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"
	"time"

	"rxsplit/internal/each"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/tell"
)

// Release returns the card that whoever releases a plan signs, one page: what is decided,
// the other ways beside it, and what speaks against it. Without an approval it is that of a
// plan that is still to be approved, as the plan's own page has it, whose bytes are proved
// and so can't name who approves them later.
func Release(p *rx.Prescription, a *rx.Assessment, plan *rx.Plan, ways []rx.Way, approval *rx.Approval) rx.Sheet {
	in := newInputs(p, a, plan)
	d := &document{inputs: in, sheet: rx.Sheet{Kind: rx.ReleaseSheet, Title: "Release card", Heads: in.heads("")}, always: in.everywhere()}
	maps.Copy(d.always, in.handled(in.putOn()))
	said := values{"approved": approval != nil, "licensed": false, "noted": false}
	if approval != nil {
		said = values{
			"approved": true, "plan": approval.Plan, "by": approval.By, "licensed": approval.License != "", "license": approval.License,
			"noted": approval.Note != "", "note": shortened(approval.Note), "on": approval.At.UTC().Format(time.DateOnly + " 15:04 UTC"),
		}
	}
	d.write("(job)", values{
		"customer": orBlank(d.job.Customer), "address": d.job.Address, "field": orBlank(d.job.Field), "place": d.job.Place,
		"crop known": d.job.Crop != "", "crop": d.job.Crop,
		"prescription": p.Source.Name, "digest": digest(p.Source.SHA256()),
	})
	left := d.decision()
	d.sideBySide(ways)
	d.found(left)
	d.write("Approval", said)
	decision := &d.sheet.Sections[1]
	d.sheet.Card = &rx.Card{Dose: decision.Facts[0]}
	decision.Facts = decision.Facts[1:]
	return d.sheet
}

// shortened is a note as far as the card has room for it: approval.json has all of it.
func shortened(note string) string {
	const most = 120
	letters := []rune(note)
	if len(letters) <= most {
		return note
	}
	return string(letters[:most-1]) + "…"
}

// decision says what the plan does, what it takes, and on what it depends. It returns how many
// lines are left for what was found.
func (d *document) decision() (left int) {
	w, rates := d.plan.Way, d.onGround()
	way, _ := equip.WayOf(w.Name) // a plan has one that there is
	conditions := each.Of(w.Conditions, func(c rx.Finding) string { return tell.Text(c, d.s) })
	all := len(conditions)
	conditions, taken := fitting(conditions, roomForConditions)
	v := values{
		"way": w.Name.Words(), "title": way.Help, "how": w.Why, "state": w.State.String(), "room": room(w), "passes": fmt.Sprint(w.Passes), "sprayed": w.Sprayed > 0,
		"condition":          entries("condition", conditions...),
		"further conditions": len(conditions) < all, "all conditions": plural(all, "condition", "conditions"), "the first conditions": plural(len(conditions), "stands here", "stand here"),
		"ground with stabilizer": d.area(d.plan.StabilizerGround(d.p.Zones)), "rates on the ground": between(d.rate(rates.Min), d.rate(rates.Max)),
		"impregnated": len(w.Loads) > 0, "loadings": d.loadings(w),
		"zones left off": len(w.LeftZones) > 0, "ground left off": d.area(w.LeftOff), "zones untreated": tell.Zones(w.LeftZones),
		"rates changed": w.DryAdded+w.DryRemoved > 0, "dry added": d.mass(w.DryAdded), "dry removed": d.mass(w.DryRemoved),
		"to order": d.can(w.Metered), "priced": w.Cost != nil, "cost": "", "cost by area": "", "some price missing": false, "missing prices": "",
	}
	if c := w.Cost; c != nil {
		v["cost"], v["cost by area"] = money(c.High), money(c.High/c.Area.In(d.s))+"/"+d.areaUnit()+" spread"
		v["some price missing"], v["missing prices"] = len(c.Missing) > 0, strings.Join(c.Missing, ", ")
	}
	d.write("(decision)", v)
	return roomOfCard - taken
}

// room prints by how much the rates of a way may be off, rounded down: no more is promised
// than there is.
func room(w rx.Way) string {
	return percent(unit.Ratio(math.Floor(float64(float64(w.Room)*1000)+1e-6) / 1000))
}

// loadings prints what the loads of a way are impregnated with, as a meter reads it.
func (d *document) loadings(w rx.Way) string {
	texts := make([]string, len(w.Loads))
	for i, l := range w.Loads {
		var parts []string
		if l.Loading > 0 {
			parts = append(parts, d.a.Terms.LoadingText(l.Loading))
		}
		for k, liquid := range d.a.Terms.FurtherOn(equip.OnBlend) {
			parts = append(parts, d.a.Terms.LoadingText(l.Further[k])+" of "+liquid.Name)
		}
		texts[i] = strings.Join(parts, " and ")
	}
	return strings.Join(texts, "; ")
}

// sideBySide lists the ways with what they cost in all, the one of the plan marked; of those
// that come to the same plan one, that of the plan if it is among them.
func (d *document) sideBySide(ways []rx.Way) {
	table := rx.Table{
		Head: []string{"way", "state", "room", "passes", d.canUnit(), d.areaUnit() + " untreated", "$", "$/" + d.areaUnit()},
		Left: []bool{true, true, false, false, false, false, false, false},
	}
	var not []string
	priced := false
	ours := func(w rx.Way) bool { return w.Name == d.plan.Way.Name }
	var same rx.WayName
	if at := slices.IndexFunc(ways, ours); at >= 0 {
		same = ways[at].SameAs
	}
	for _, w := range ways {
		if !ours(w) && (w.SameAs != "" || w.Name == same) {
			continue
		}
		row := []string{w.Name.Words(), w.State.String(), "–", "–", "–", "–", "–", "–"}
		if ours(w) {
			row[0] += " *"
		}
		if w.Possible() {
			row[2], row[3], row[4], row[5] = room(w), fmt.Sprint(w.Passes), d.canN(w.Metered), d.areaN(w.LeftOff)
		}
		if c := w.Cost; c != nil && w.Possible() {
			priced = true
			row[6], row[7] = num(c.High, 2), num(c.High/c.Area.In(d.s), 2)
			for _, what := range c.NotCounted {
				not = append(not, w.Name.Words()+", "+what)
			}
		}
		table.Rows = append(table.Rows, row)
	}
	if !priced {
		table.Head, table.Left = table.Head[:6], table.Left[:6]
		for i, row := range table.Rows {
			table.Rows[i] = row[:6]
		}
	}
	d.write("The ways side by side", values{
		"something not counted": len(not) > 0, "what is not counted": strings.Join(not, "; "), "no way priced": !priced,
	}, table)
}

// roomOfCard is how many lines of what the plan depends on, and of what was found, keep the card
// on one page. What doesn't fit is counted; of both the first is told in any case.
const (
	roomOfCard        = 10
	roomForConditions = 7
	roomForDoubts     = 6 // more, of what somebody has answered
)

// linesFor is how many lines of 80 columns a text takes behind a few words.
func linesFor(text string) int { return (len(text)+8)/74 + 1 }

// leastLines is how many lines the first of what was found has in any case.
const leastLines = 3

// fitted cuts a text that takes more lines, and says where all of it stands.
func fitted(text string, lines int) string {
	const rest = " … (report.html has all of it)"
	if linesFor(text) <= lines {
		return text
	}
	text = text[:74*lines-8-len(rest)]
	return strings.TrimRight(text[:strings.LastIndexByte(text, ' ')], " ,;:") + rest
}

// fitting returns as many texts as have room, with a line or two that count those that are
// left, and what they take.
func fitting(texts []string, room int) (fit []string, taken int) {
	all := 0
	for _, text := range texts {
		all += linesFor(text)
	}
	if all <= room {
		return texts, all
	}
	taken = 2
	for i, text := range texts {
		if taken += linesFor(text); taken > room && i > 0 {
			return texts[:i], taken - linesFor(text)
		}
	}
	return texts, taken
}

// found tells what is worse than a note and concerns whoever works from the plan, the
// worst first; before them the doubts that were accepted, with the reasons. Where there is no
// room for the first, it is told in brief, and cut if that is too long as well.
func (d *document) found(room int) {
	work := rx.Work{Prescription: d.p, Terms: d.a.Terms, Plan: d.plan}
	list := slices.Clone(d.plan.Findings)
	for _, f := range slices.Concat(d.p.Findings, d.a.Findings) {
		if f.Concerns(work) && !slices.ContainsFunc(d.plan.Findings, f.Equal) {
			list = append(list, f)
		}
	}
	list = slices.DeleteFunc(list, func(f rx.Finding) bool { return f.Severity == rx.Note })
	slices.SortStableFunc(list, func(x, y rx.Finding) int { return int(y.Severity) - int(x.Severity) })
	rx.DoubtsFirst(list)
	var told []string
	for _, f := range list {
		text := f.Severity.String() + ": " + tell.Text(f, d.s)
		if reason := d.plan.Reason(f); reason != "" {
			text = "accepted: " + sentence(tell.Text(f, d.s)) + " Reason: " + reason
		}
		if linesFor(text) > room && len(told) == 0 && !f.Doubt() {
			text = fitted(f.Severity.String()+": "+cmp.Or(tell.Brief(f, d.s), tell.Text(f, d.s)), max(room-1, leastLines))
		}
		if room -= linesFor(text); room < 1 && len(told) > 0 && (!f.Doubt() || room < -roomForDoubts) {
			break
		}
		told = append(told, text)
	}
	more := len(list) - len(told)
	d.write("What was found", values{
		"warning": entries("warning", told...), "further warnings": more > 0, "nothing found": len(list) == 0,
		"how many more": plural(more, "more", "more"),
	})
}
