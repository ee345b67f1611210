package text

import (
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/check"
	"rxsplit/rx/tell"
)

// briefLines is how many lines a check prints at most, but for errors, which are never cut.
const briefLines = 24

// Brief prints a checked prescription on one look: the decision, a line a way, the ground
// off label, what else has to be known, and the command that comes next. What has no room
// is counted.
func Brief(w io.Writer, r report.Result) error {
	t := text{&printer{w: w}, r, figures.In(r.Units)}
	first, others := t.known()
	decision, next := t.lines(t.decision), t.lines(t.nextCommand)
	ways := t.lines(func() { t.wayLines(len(first) == 0) })
	patches := t.patchRows()
	room := briefLines - len(decision) - len(ways) - len(next) - 3 // empty lines between
	doubts := t.lines(func() { t.doubtful(first, room-t.need(others)-min(len(patches), countLine)) })
	room -= len(doubts)
	shown := t.shownPatches(len(patches), room, others)
	t.f("%s%s", strings.Join(doubts, ""), strings.Join(decision, ""))
	for _, part := range [][]string{ways, t.lines(func() { room -= t.patches(patches, shown) }), t.lines(func() { t.others(others, room) }), next} {
		if len(part) > 0 {
			t.f("\n%s", strings.Join(part, ""))
		}
	}
	return t.err
}

// countLine is what patches take that are counted alone: an empty line, and the number.
const countLine = 2

// decision prints what to do with the prescription.
func (t *text) decision() {
	t.wrapped("", "", report.DecisionText(t.Result))
	for i := range t.Assessment.Further {
		t.wrapped("", "", report.LiquidText(&t.Assessment.Further[i], t.q))
	}
}

// shownPatches says how many rows of patches there is room for: what findings that are
// worse than notes leave, or else two.
func (t *text) shownPatches(patches, room int, others []rx.Finding) int {
	const head, more, least = 2, 1, 2 // lines: with the empty one before
	room -= head + more
	worse, notes := 0, 0
	for _, f := range others {
		if f.Severity == rx.Note {
			notes = 1
			continue
		}
		worse += len(t.lines(func() { t.other(f) }))
	}
	shown := max(room-worse-notes, min(least, room-t.need(others)))
	if shown == patches-1 {
		shown++ // in place of the line that would count it
	}
	return max(0, min(patches, shown))
}

// lines returns what print prints, by the line.
func (t *text) lines(print func()) []string {
	var b strings.Builder
	before := t.w
	t.w = &b
	print()
	t.w = before
	return slices.Collect(strings.Lines(b.String()))
}

// oneLine prints what fits on a line, and says where the rest stands of what doesn't.
func (p *printer) oneLine(line string) {
	const rest = " ... (--full)"
	line = strings.TrimRight(strings.Join(strings.Split(line, "\n"), " "), " ")
	if width(line) > lineWidth {
		runes := []rune(line)[:lineWidth-len(rest)]
		line = string(runes)
		if at := strings.LastIndexByte(line, ' '); at > lineWidth/2 {
			line = line[:at]
		}
		line = strings.TrimRight(line, " ,;:") + rest
	}
	p.f("%s\n", line)
}

// wayLines prints the ways, those that are equal as one, and what orders them if asked, and if
// one is possible: where the reading is in doubt, how to mend it is worth more than that.
func (t *text) wayLines(order bool) {
	_, priced := rx.Unpriced(t.Ways)
	costs, wide, long := make([]string, len(t.Ways)), 0, len("wet-boom")
	for i, w := range t.Ways {
		if priced && w.Cost != nil {
			costs[i] = unit.Cents(unit.Money(w.Cost.High)) + "  "
		}
		wide, long = max(wide, width(costs[i])), max(long, width(string(w.Name)))
	}
	for i, w := range t.Ways {
		line := fmt.Sprintf("%-*s  %-11s  ", long, w.Name, w.State)
		switch {
		case w.SameAs != "":
			continue
		case w.Possible():
			line += fmt.Sprintf("%*s", wide, costs[i])
			line += t.takes(w, lineWidth-width(line))
			if same := strings.TrimSuffix(report.AlsoCalled(t.Ways, w), "; "); same != "" {
				if width(line+"; "+same) > lineWidth {
					t.oneLine(line)
					line = strings.Repeat(" ", long+len("  conditional  ")) + same
				} else {
					line += "; " + same
				}
			}
		default:
			t.reason(line, t.Ways[:i], w)
			continue
		}
		t.oneLine(line)
	}
	if order && len(t.Ways) > 0 && t.Ways[0].Possible() {
		for _, line := range report.ShortOrder(t.Ways) {
			t.oneLine(line)
		}
	}
}

// reason prints why a way is impossible, after what its line begins with: once for all ways
// that share it. It has two lines where no way is possible; else what was found is worth more
// than the second.
func (t *text) reason(start string, before []rx.Way, w rx.Way) {
	if same := slices.IndexFunc(before, func(b rx.Way) bool { return b.Why == w.Why }); same >= 0 {
		t.oneLine(start + "as " + string(before[same].Name))
		return
	}
	why := w.Why
	if width(start+why) > lineWidth {
		why = asides.ReplaceAllString(why, "")
	}
	lines, most := t.lines(func() { t.wrapped(start, strings.Repeat(" ", width(start)), why) }), 2
	if t.Ways[0].Possible() {
		most = 1
	}
	if len(lines) > most {
		lines = append(lines[:most-1], t.lines(func() { t.oneLine(strings.Join(lines[most-1:], "")) })...)
	}
	t.f("%s", strings.Join(lines, ""))
}

// asides are what stands in parentheses: it goes first where a line is too long.
var asides = regexp.MustCompile(` \([^()]*\)`)

// takes says in few words what a way takes that can be taken; conditions that have no room
// are counted.
func (t *text) takes(w rx.Way, room int) string {
	parts := []string{figures.Plural(w.Passes, "pass", "passes")}
	if len(w.Loads) > 1 {
		parts[0] = figures.Plural(len(w.Loads), "load", "loads")
	}
	for _, c := range w.Conditions {
		said := tell.Brief(c, t.Units)
		if c.Rule() == "undeliverable" { // by rates, by the ground: told as one, as the decision has it
			said = tell.Ground(w.Undeliverable, t.Units) + " undelivered"
		}
		if !slices.Contains(parts, said) {
			parts = append(parts, said)
		}
	}
	all := strings.Join(parts, ", ")
	for shown := len(parts) - 1; shown > 0 && width(all) > room; shown-- {
		all = strings.Join(parts[:shown], ", ") + ", " + figures.Plural(len(parts)-shown, "more condition", "more conditions")
	}
	return all
}

// nextCommand prints the command of the first way, with answers to what is in doubt; what
// else is to be done where there is none.
func (t *text) nextCommand() {
	if report.FileErrors(t.Findings) > 0 || len(t.Ways) == 0 || !t.Ways[0].Possible() {
		t.next()
		return
	}
	answers := t.answers()
	if answers != "" {
		t.f("Next: correct the input and check it again; or, if it is meant as it was read:\n")
		t.command("  rxsplit split %s --way %s --out DIR%s", t.Command, t.Ways[0].Name, answers)
		return
	}
	t.command("Next: rxsplit split %s --way %s --out DIR", t.Command, t.Ways[0].Name)
}

// answers are the options that answer what is in doubt, for a command to type; empty
// without a doubt.
func (t *text) answers() (options string) {
	var rules []string
	for _, f := range t.Findings {
		if f.Doubt() && !slices.Contains(rules, f.Rule()) {
			rules = append(rules, f.Rule())
			options += fmt.Sprintf(` --accept %s="REASON"`, f.Rule())
		}
	}
	return options
}

// patchRows are the rows of ground that is off label.
func (t *text) patchRows() (rows [][]string) {
	for _, one := range check.Patches(t.Prescription, t.Assessment) {
		verdict := one.Verdict.String()
		if one.Season {
			verdict = "season"
		}
		rows = append(rows, []string{verdict, t.q.Patch(one.Area), figures.Count(len(one.Zones)), t.q.DryRange(one.Dry.Min, one.Dry.Max), figures.Place(one.Place)})
	}
	return rows
}

// patches prints the first rows of the ground off label, counts the others, and returns
// how many lines that took with the empty one before.
func (t *text) patches(rows [][]string, shown int) int {
	if len(rows) == 0 {
		return 0
	}
	area, dry, _ := t.q.Symbols()
	used := 1
	if shown > 0 {
		t.table("", []column{{"off label", true}, {area, false}, {"zones", false}, {dry, false}, {"where (lat, lon)", false}}, rows[:shown])
		used += shown + 1
	}
	if more := len(rows) - shown; more > 0 {
		one, many := "more patch", "more patches"
		if shown <= 0 {
			one, many = "patch", "patches"
		}
		t.f("%s off label: --full\n", figures.Plural(more, one, many))
		used++
	}
	return used
}

// known lists what is found beside the decision: first what makes the reading itself
// doubtful, then what else is worth a line, the worst before.
func (t *text) known() (first, others []rx.Finding) {
	for _, f := range t.Findings {
		switch {
		case tell.Brief(f, t.Units) == "":
		case f.Doubt() || f.Severity == rx.Error && f.About() == rx.AboutFile:
			first = append(first, f)
		case slices.ContainsFunc(others, func(o rx.Finding) bool {
			return f.Decided() && o.Severity == f.Severity && tell.Brief(o, t.Units) == tell.Brief(f, t.Units)
		}):
		default:
			others = append(others, f)
		}
	}
	return first, rx.WorstFirst(others)
}

// doubtful prints what makes the reading itself doubtful and how to mend it: the first on a
// line at least, the others as far as there is room. How it is answered is said last.
func (t *text) doubtful(list []rx.Finding, room int) {
	if len(list) == 0 {
		return
	}
	if slices.ContainsFunc(list, rx.Finding.Doubt) {
		t.wrapped("", "", "In doubt: what follows holds only if the input is meant as it was read.")
		room--
	}
	room-- // the empty line
	for _, f := range list {
		room -= len(t.lines(func() { t.other(f) }))
	}
	room = max(room, 1)
	for _, f := range list {
		t.other(f)
		room -= t.hint(f, room)
	}
	t.f("\n")
}

// hint prints what to do about a finding, cut to a line where there is no room for more,
// and returns how many lines that took.
func (t *text) hint(f rx.Finding, room int) int {
	hint := tell.Finding(f, t.Units).Hint
	if hint == "" || room < 1 {
		return 0
	}
	lines := t.lines(func() { t.wrapped("        -> ", "           ", hint) })
	if len(lines) > room {
		lines = t.lines(func() { t.oneLine("        -> " + hint) })
	}
	t.f("%s", strings.Join(lines, ""))
	return len(lines)
}

// other prints a finding: an error or a doubt whole, anything else on a line.
func (t *text) other(f rx.Finding) {
	if f.Severity == rx.Error || f.Doubt() {
		t.whole(f)
		return
	}
	t.oneLine(fmt.Sprintf("%-8s", f.Severity) + tell.Brief(f, t.Units))
}

// whole prints a finding on as many lines as it takes.
func (t *text) whole(f rx.Finding) {
	start := fmt.Sprintf("%-8s", f.Severity)
	t.wrapped(start, strings.Repeat(" ", len(start)), tell.Brief(f, t.Units))
}

// others prints findings, as many as there is room for but every error, and counts the
// rest. One that leaves the others a line each is printed whole.
func (t *text) others(list []rx.Finding, room int) {
	for i, f := range list {
		lines := t.lines(func() { t.whole(f) })
		last := i == len(list)-1
		if len(lines)+len(list)-1-i > room {
			lines = t.lines(func() { t.other(f) })
		}
		if f.Severity < rx.Error && (room < len(lines) || room == len(lines) && !last) {
			t.f("%s more: --full\n", figures.Count(len(list)-i))
			return
		}
		room -= len(lines)
		t.f("%s", strings.Join(lines, ""))
	}
}

// need is how many lines findings take at least: all errors, and one that counts the rest.
func (t *text) need(list []rx.Finding) (lines int) {
	for _, f := range list {
		if f.Severity < rx.Error {
			return lines + 1
		}
		lines += len(t.lines(func() { t.other(f) }))
	}
	return lines
}
