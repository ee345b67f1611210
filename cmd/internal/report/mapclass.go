package report

import (
	"fmt"
	"math"

	"rxsplit/label/unit"
	"rxsplit/rx"
)

// mapTheme is one map of a field: a class for every zone.
type mapTheme struct {
	ID, Title, Note string
	classes         []mapClass
	class           []uint8 // of each zone, an index of classes; noClass where the zone is not drawn
	blank           int     // how many classes, the last ones, are bare ground
	tip             func(zone int) string
	tips            func(zones []int, how string) string // of those that are drawn as one
	numbered        bool                                 // off-label zones carry their numbers
	focus           bool                                 // zones take the keyboard's focus
	kept            mapKeepOut
}

const noClass = 255

// mapClass is one line of a legend.
type mapClass struct {
	Text  string
	Fill  string
	Area  unit.Area
	Zones int
	key   string // of its acres, as JSON names them; may be empty
}

// classify sorts the zones into classes and adds up what each amounts to.
func (t *mapTheme) classify(p *rx.Prescription, class func(zone int) int) {
	t.class = make([]uint8, len(p.Zones))
	for i, z := range p.Zones {
		c := class(i)
		if c < 0 {
			t.class[i] = noClass
			continue
		}
		t.class[i] = uint8(c)
		t.classes[c].Area += z.Area
		t.classes[c].Zones++
	}
}

// verdictTheme is the map of verdicts if the whole blend is impregnated.
func verdictTheme(r Result, q quantities) mapTheme {
	t := mapTheme{ID: "map-verdict", Title: "Verdict if impregnated", blank: 2, numbered: true, focus: true}
	a := r.Assessment
	t.classes = []mapClass{{Text: seasonText, Fill: seasonFill(), key: seasonKey}} // none in most fields
	var place [len(rx.Assessment{}.Shares)]int
	for i, v := range []rx.Verdict{rx.Within, rx.Below, rx.Above, rx.NoDry, rx.NoRate} {
		_, key := verdictGround(a, v)
		t.classes = append(t.classes, mapClass{Text: verdictText(v), Fill: verdictFill(v), key: key})
		place[v] = i + 1
	}
	t.classify(r.Prescription, func(z int) int {
		if a.OffBySeason(z) {
			return 0
		}
		return place[a.Verdicts[z]]
	})
	if a.Loading > 0 {
		t.Note = fmt.Sprintf("As one impregnated blend at %s.", q.loading(a.Loading))
		if i := r.Prescription.CarrierField(); i >= 0 {
			t.Note = fmt.Sprintf("With %s alone impregnated at %s.", r.Prescription.Fields[i].Name, q.loading(a.Loading))
		}
	}
	t.tip = func(z int) string {
		text := zoneTip(r, q, z) + ", " + verdictText(a.Verdicts[z])
		if a.PassesSeason(z) {
			text += ", " + seasonText
		}
		return text
	}
	t.tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

// zoneTip says what a zone is, for a pointer that rests on it.
func zoneTip(r Result, q quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.patch(z.Area), unit.Symbol[unit.Area](q.s))
	if !z.HasRate() {
		return text + ", no rate given"
	}
	text += fmt.Sprintf(", dry %s %s", q.dry(z.Dry), unit.Symbol[unit.DryRate](q.s)) + carriedText(r.Prescription, q.dry(z.Carrier))
	return text + fmt.Sprintf(", stabilizer %s %s if impregnated", q.sideRate(unit.StabilizerRate(r.Assessment.Loading, z.Carrier), r.Assessment.Range), unit.Symbol[unit.LiquidRate](q.s))
}

// carriedText says how much of the dry is the product that carries the stabilizer, where
// it lies beside others.
func carriedText(p *rx.Prescription, rates string) string {
	if i := p.CarrierField(); i >= 0 {
		return ", " + rates + " of it " + p.Fields[i].Name
	}
	return ""
}

// planTip says the same, with the stabilizer that the plan gives.
func planTip(r Result, q quantities, i int) string {
	z := r.Prescription.Zones[i]
	text := fmt.Sprintf("Zone %d: %s %s", z.Number(), q.patch(z.Area), unit.Symbol[unit.Area](q.s))
	if z.HasRate() {
		text += fmt.Sprintf(", dry %s %s", q.dry(z.Dry), unit.Symbol[unit.DryRate](q.s)) + carriedText(r.Prescription, q.dry(z.Carrier))
	}
	text += fmt.Sprintf(", stabilizer %s %s by the plan", q.rate(r.Plan.Stabilizer[i]), unit.Symbol[unit.LiquidRate](q.s))
	return text + keptOutTip(r, q, []int{i})
}

// steps are the ends of classes of positive rates, in the user's units.
type steps struct {
	low, size float64
	n         int
}

// mostSteps is how many classes a legend holds.
const mostSteps = 7

// newSteps returns round steps that cover a range of rates above 0.
func newSteps(low, high float64) steps {
	if !(high > 0) || math.IsInf(high, 0) {
		return steps{0, 1, 1}
	}
	if high-low < high*1e-9 {
		return steps{low, 0, 1}
	}
	size := niceStep((high - low) / mostSteps)
	s := steps{low: math.Floor(low/size+1e-9) * size, size: size}
	s.n = int(math.Floor((high-s.low)/size+1e-9)) + 1
	for s.n > mostSteps {
		size = niceStep(size * 1.01)
		s = steps{low: math.Floor(low/size+1e-9) * size, size: size}
		s.n = int(math.Floor((high-s.low)/size+1e-9)) + 1
	}
	return s
}

// niceStep returns the least of 1, 2, 2.5 and 5 times a power of ten that is not
// below v.
func niceStep(v float64) float64 {
	p := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*p >= v*(1-1e-9) {
			return m * p
		}
	}
	return 10 * p
}

// of returns the class of a rate; lower ends are included.
func (s steps) of(v float64) int {
	if s.size == 0 {
		return 0
	}
	return min(max(int(math.Floor((v-s.low)/s.size+1e-9)), 0), s.n-1)
}

func (s steps) text(i int) string {
	if s.size == 0 {
		return short(s.low)
	}
	from := s.low + float64(i)*s.size
	return fmt.Sprintf("%s to under %s", trim(from), trim(from+s.size))
}

// rateTheme is a map of dry rates; unserved names the ground at rate 0.
func rateTheme(r Result, q quantities, s steps, unserved string, rate func(zone int) unit.DryRate) mapTheme {
	t := mapTheme{blank: 2}
	for i, color := range dryColors(s.n) {
		t.classes = append(t.classes, mapClass{Text: s.text(i), Fill: color})
	}
	t.classes = append(t.classes,
		mapClass{Text: unserved, Fill: verdictFill(rx.NoDry)},
		mapClass{Text: verdictText(rx.NoRate), Fill: verdictFill(rx.NoRate)})
	t.classify(r.Prescription, func(z int) int {
		switch v := rate(z); {
		case math.IsNaN(float64(v)):
			return s.n + 1
		case !(v > 0):
			return s.n
		default:
			return s.of(v.In(q.s))
		}
	})
	t.tip = func(z int) string { return zoneTip(r, q, z) }
	t.tips = func(zones []int, how string) string { return joinedTip(r, q, zones, how) }
	return t
}

// drySteps returns the classes of a prescription's dry rates, all fields together.
func drySteps(p *rx.Prescription, s unit.System) steps {
	low, high := math.Inf(1), 0.0
	for _, z := range p.Zones {
		if z.Dry > 0 {
			low, high = min(low, z.Dry.In(s)), max(high, z.Dry.In(s))
		}
	}
	return newSteps(low, high)
}
