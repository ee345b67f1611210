package report

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"rxsplit/cmd/internal/report/figures"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/readout"
	"rxsplit/rx/tell"
)

// VerdictText puts a verdict into words.
func VerdictText(v rx.Verdict) string {
	switch v {
	case rx.Below:
		return "below the label"
	case rx.Within:
		return "within the label"
	case rx.Above:
		return "above the label"
	case rx.NoDry:
		return "no dry (rate 0)"
	case rx.NotGraded:
		return "not graded: no label"
	}
	return "no rate given"
}

// Impregnated names what check holds against the label.
func Impregnated(p *rx.Prescription) string {
	if i := p.CarrierField(); i >= 0 {
		return p.Fields[i].Name + " alone"
	}
	return "the whole blend"
}

// RateHead says which fields the rates are from, and what each counts.
func RateHead(p *rx.Prescription) string {
	names := make([]string, len(p.Fields))
	for i, f := range p.Fields {
		counts := f.Counts()
		if f.Nutrient {
			counts += ", as " + f.Grade
		}
		names[i] = fmt.Sprintf("%s (%s)", f.Name, counts)
		if f.Carrier {
			names[i] += ", which is impregnated"
		}
	}
	text := "from field " + strings.Join(names, ", ")
	if len(names) > 1 && p.Blend() {
		text += ", spread as one blend"
	}
	return text
}

// OfCarrier names the product that is impregnated, as what follows a rate, where others are
// spread beside it.
func OfCarrier(p *rx.Prescription) string {
	if i := p.CarrierField(); i >= 0 {
		return " of " + p.Fields[i].Name
	}
	return ""
}

// LoadingFrom says why the blend is checked at its loading, as what follows that.
func LoadingFrom(a *rx.Assessment, s unit.System) string {
	intended := a.Terms.Intended.Brief(s)
	text := "which puts " + intended + " on the field as a whole"
	if a.LoadingFrom == "given" {
		text = "as the plant has fixed it"
		if a.Terms.IntendedAssumed {
			text += "; " + intended + " is what ways aim at"
		}
	}
	if a.Terms.IntendedAssumed {
		text += ": the middle of the label's range, as nobody gave a rate"
	}
	return text
}

// OnLabelText names the dry rates that stay on label at the loading of the check.
func OnLabelText(a *rx.Assessment, q figures.Quantities) string {
	if a.WhyNoRate != "" {
		return "no dry rate, since " + a.WhyNoRate
	}
	rates := q.DryWindow(a.OnLabel)
	if !strings.Contains(rates, " to ") {
		return "a dry rate of " + rates + " " + unit.Symbol[unit.DryRate](q.System)
	}
	return "dry rates of " + rates + " " + unit.Symbol[unit.DryRate](q.System)
}

// CostText prints a cost in all and by area of the ground that dry is spread on, and
// what nobody priced.
func CostText(c *rx.Cost, q figures.Quantities) string {
	text := fmt.Sprintf("%s, %s/%s spread", unit.Cents(unit.Money(c.High)), unit.Cents(unit.Money(c.PerAcre/unit.Acre.In(q.System))), unit.Symbol[unit.Area](q.System))
	if len(c.Missing) > 0 {
		text += " without " + strings.Join(c.Missing, ", ")
	}
	if len(c.NotCounted) > 0 {
		text += ", not counted: " + strings.Join(c.NotCounted, "; ")
	}
	return text
}

// FileErrors counts the errors about the file, which stop a split.
func FileErrors(findings []rx.Finding) int {
	n := 0
	for _, f := range findings {
		if f.About() == rx.AboutFile && f.Severity == rx.Error {
			n++
		}
	}
	return n
}

// SeasonText is said of what passes the season maximum alone: it keeps its verdict for
// the pass, and is off label all the same.
const SeasonText = "over the season maximum"

// ShownVerdicts lists the verdicts that are told of: ground that gets no dry, or has no
// rate, only where there is some.
func ShownVerdicts(a *rx.Assessment) []rx.Verdict {
	return slices.DeleteFunc(rx.Verdicts(), func(v rx.Verdict) bool {
		return (v == rx.NoDry || v == rx.NoRate) && a.Shares[v].Zones == 0
	})
}

// OffWord is why a zone, by its index, is off label, in a word for a table; its verdict
// if it is not.
func OffWord(a *rx.Assessment, i int) string {
	if a.OffBySeason(i) {
		return "season"
	}
	return a.Verdicts[i].String()
}

// OffZones lists the largest of the off-label zones, by their indexes, the largest first, and
// counts them all.
func OffZones(p *rx.Prescription, a *rx.Assessment, most int) (largest []int, all int) {
	keep := func() {
		slices.SortStableFunc(largest, func(x, y int) int { return cmp.Compare(p.Zones[y].Area, p.Zones[x].Area) })
		largest = largest[:min(len(largest), most)]
	}
	least := unit.Area(-1) // of those that are the largest so far
	for i := range a.Verdicts {
		if !a.Off(i) {
			continue
		}
		all++
		if p.Zones[i].Area <= least {
			continue
		}
		if largest = append(largest, i); len(largest) >= 2*most {
			keep()
			least = p.Zones[largest[most-1]].Area
		}
	}
	keep()
	return largest, all
}

// CleanText counts what cleaning dropped, and why.
func CleanText(c *readout.Cleaned) string {
	text := fmt.Sprintf("Kept %s of %s points", figures.Count(len(c.Points)), figures.Count(c.All))
	var parts []string
	for _, p := range []struct {
		n   int
		why string
	}{{c.NoValue, "without a yield"}, {c.Low, "far under the median"}, {c.High, "far over it"}, {c.NoDistance, "that cover no ground"}, {c.PartHeader, "of a part of the header"}} {
		if p.n > 0 {
			parts = append(parts, fmt.Sprintf("%d %s", p.n, p.why))
		}
	}
	if len(parts) > 0 {
		text += "; dropped " + strings.Join(parts, ", ")
	}
	return text + fmt.Sprintf(". The median is %s.", figures.Fixed(c.Median, 1))
}

// PowerText says which differences as many replicates, and twice as many, would find with the
// noise that they showed; empty where there is no interval, or for logarithms. It says how far that
// noise may be off, too: of differences that six replicates find by it, 70 % are found, and not 80.
func PowerText(r Readout, one readout.Result) string {
	e, n := one.Estimate, len(one.Readings)
	if e.Interval == nil || one.What == readout.Stalk {
		return ""
	}
	finds := func(n int) string {
		return figures.Trim(math.Round(100*readout.Detectable(n, 0.8, e.Level)*e.SD) / 100)
	}
	if one.What == readout.Index {
		finds = func(n int) string { return figures.Fixed(readout.Detectable(n, 0.8, e.Level)*e.SD, 4) }
	}
	may := readout.NoiseRange(n, e.Level)
	return fmt.Sprintf("With the noise that these replicates show, %d find a true difference of %s %s four times in five, and %d would find one of %s. "+
		"But %d replicates show noise only roughly: with %s confidence the true one is %s to %s times that, and so are these differences.",
		n, finds(n), r.UnitOf(one.What), 2*n, finds(2*n), n, LevelText(e.Level), figures.Fixed(may.Low, 2), figures.Fixed(may.High, 2))
}

// Flagged reports whether anything is odd in what strips say.
func (r Readout) Flagged() bool {
	return slices.ContainsFunc(r.Results, func(one readout.Result) bool { return len(ReadoutRemarks(r, one)) > 0 })
}

// ReadoutRemarks says what whoever acts on a result must know of its data.
func ReadoutRemarks(r Readout, one readout.Result) (list []string) {
	for _, f := range one.Remarks(r.Taken) {
		list = append(list, tell.Text(f, unit.US)) // which has no units
	}
	return list
}

// Name prints the name of a file in a message: quoted where a line break in it would
// take a line of its own.
func Name(path string) string {
	if strings.ContainsAny(path, "\n\r") {
		return strconv.Quote(path)
	}
	return path
}

// OneLine prints the paths, and the names that they end in, as [Name] does wherever they
// stand in a message whose lines are told one by one.
func OneLine(message string, paths ...string) string {
	var names []string
	for _, path := range paths {
		for _, name := range []string{path, filepath.Base(path)} {
			if Name(name) != name {
				names = append(names, name)
			}
		}
	}
	slices.SortStableFunc(names, func(a, b string) int { return len(b) - len(a) }) // a path before its own end
	for _, name := range names {
		message = strings.ReplaceAll(message, name, Name(name))
	}
	return message
}

// Word prints a word of a command to type: quoted if a shell would split or expand it,
// and on one line. What [Plain] would not show is written out, byte by byte.
func Word(s string) string {
	if strings.Contains(s, "\n") || Plain(s) != s {
		var b strings.Builder
		b.WriteString("$'")
		for len(s) > 0 {
			r, size := utf8.DecodeRuneInString(s)
			switch {
			case r == '\\' || r == '\'':
				b.WriteString(`\` + s[:size])
			case r == '\n':
				b.WriteString(`\n`)
			case r == '\r':
				b.WriteString(`\r`)
			case r == '\t':
				b.WriteString(`\t`)
			case Plain(s[:size]) == s[:size]:
				b.WriteString(s[:size])
			default:
				for _, c := range []byte(s[:size]) {
					fmt.Fprintf(&b, `\x%02x`, c)
				}
			}
			s = s[size:]
		}
		return b.String() + "'"
	}
	if s != "" && !strings.ContainsAny(s, " \t\n'\"\\$`*?[]{}()<>|&;#~!%") {
		return s
	}
	return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
}

// stand takes the place of a rune that is not shown.
const stand = '\uFFFD'

// Plain returns a text as it may go to a terminal: what a file or its name holds
// must not reach it as a command, nor turn the order of what is read. Control
// characters but the end of a line, those that set the direction of writing, and
// bytes that are no UTF-8 become U+FFFD.
func Plain(text string) string {
	return strings.Map(func(r rune) rune {
		if r != '\n' && (unicode.IsControl(r) || unicode.Is(unicode.Bidi_Control, r)) {
			return stand
		}
		return r
	}, text)
}
