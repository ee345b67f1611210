package taskdata

import (
	"cmp"
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"unicode"

	"github.com/paulmach/orb"

	"rxsplit/label/unit"
)

// longestText is the most characters that a text may have.
const longestText = 32

// Encode returns the files of a set in version 3.3, by their names: [Main], and a binary
// file for each grid. The same set gives the same bytes.
func Encode(s *Set) Files {
	e := new(encoder)
	e.text.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n")
	e.open("ISO11783_TaskData", "VersionMajor", "3", "VersionMinor", "3",
		"ManagementSoftwareManufacturer", Text(s.Maker), "ManagementSoftwareVersion", Text(s.MakerVersion), "DataTransferOrigin", "1")
	e.ground(s)
	for _, p := range s.Shown {
		e.leaf("VPN", "A", p.ID, "B", "0", "C", p.Scale, "D", strconv.Itoa(p.Decimals), "E", Text(p.Unit))
	}
	for _, p := range s.Products {
		e.leaf("PDT", "A", p.ID, "B", Text(p.Name), "E", p.Amount.String())
	}
	files := Files{}
	for i := range s.Tasks {
		e.task(s, &s.Tasks[i])
		if g := s.Tasks[i].Grid; g != nil {
			files[g.File+".bin"] = g.bytes()
		}
	}
	e.close("ISO11783_TaskData")
	files[Main] = []byte(e.text.String())
	return files
}

// Text returns a text as a set may hold it: without control characters, and not longer
// than its fields are.
func Text(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || r == unicode.ReplacementChar || r == 0xFFFE || r == 0xFFFF {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, ""))
	if runes := []rune(s); len(runes) > longestText {
		s = string(runes[:longestText])
	}
	return strings.TrimSpace(s)
}

// encoder writes elements whose data all stand in attributes.
type encoder struct {
	text  strings.Builder
	depth int
}

var escapes = strings.NewReplacer("&", "&amp;", "<", "&lt;", ">", "&gt;", `"`, "&quot;")

// start writes an element without its end; attributes come as pairs, and an empty one is
// left out.
func (e *encoder) start(name string, pairs []string) {
	for range e.depth {
		e.text.WriteByte(' ')
	}
	e.text.WriteByte('<')
	e.text.WriteString(name)
	for i := 0; i < len(pairs); i += 2 {
		if pairs[i+1] == "" {
			continue
		}
		e.text.WriteByte(' ')
		e.text.WriteString(pairs[i])
		e.text.WriteString(`="`)
		escapes.WriteString(&e.text, pairs[i+1])
		e.text.WriteByte('"')
	}
}

func (e *encoder) leaf(name string, pairs ...string) {
	e.start(name, pairs)
	e.text.WriteString("/>\n")
}

func (e *encoder) open(name string, pairs ...string) {
	e.start(name, pairs)
	e.text.WriteString(">\n")
	e.depth++
}

func (e *encoder) close(name string) {
	e.depth--
	for range e.depth {
		e.text.WriteByte(' ')
	}
	fmt.Fprintf(&e.text, "</%s>\n", name)
}

// named is a name that an element must have.
func named(name, otherwise string) string {
	return cmp.Or(Text(name), otherwise)
}

// ground writes grower, farm and fields.
func (e *encoder) ground(s *Set) {
	grower, farm := "", ""
	if s.Grower != "" {
		grower = "CTR1"
		e.leaf("CTR", "A", grower, "B", named(s.Grower, "Grower"))
	}
	if s.Farm != "" {
		farm = "FRM1"
		e.leaf("FRM", "A", farm, "B", named(s.Farm, "Farm"), "I", grower)
	}
	for i := range s.Fields {
		f := &s.Fields[i]
		e.open("PFD", "A", f.ID, "C", named(f.Name, "Field"), "D", squareMeters(f.Area), "E", grower, "F", farm)
		for _, polygon := range f.Boundary { // some readers refuse several shells in one
			e.polygon("1", polygon)
		}
		e.close("PFD")
	}
}

func squareMeters(a unit.Area) string {
	return strconv.FormatFloat(math.Round(float64(a/unit.SquareMeter)), 'f', 0, 64)
}

func (e *encoder) task(s *Set, t *Task) {
	var customer, farm string
	if s.Grower != "" {
		customer = "CTR1"
	}
	if s.Farm != "" {
		farm = "FRM1"
	}
	e.open("TSK", "A", t.ID, "B", Text(t.Name), "C", customer, "D", farm, "E", t.Field, "G", strconv.Itoa(max(t.Status, 1)),
		"H", code(t.Default), "I", code(t.Lost), "J", code(t.Outside))
	for i := range t.Zones {
		e.zone(&t.Zones[i])
	}
	e.leaf("DLT", "A", defaultData.String(), "B", "31")
	if g := t.Grid; g != nil {
		zone := ""
		if g.Type == 2 {
			zone = code(g.Zone)
		}
		e.leaf("GRD", "A", decimals(g.South, 9), "B", decimals(g.West, 9), "C", decimals(g.Height, 12), "D", decimals(g.Width, 12),
			"E", strconv.Itoa(g.Columns), "F", strconv.Itoa(g.Rows), "G", g.File, "H", strconv.Itoa(g.size()), "I", strconv.Itoa(g.Type), "J", zone)
	}
	e.close("TSK")
}

func code(c int) string {
	if c == None {
		return ""
	}
	return strconv.Itoa(c)
}

func (e *encoder) zone(z *Zone) {
	e.open("TZN", "A", strconv.Itoa(z.Code), "B", Text(z.Name))
	for _, polygon := range z.Ground {
		e.polygon("2", polygon)
	}
	for _, v := range z.Values {
		e.leaf("PDV", "A", v.DDI.String(), "B", strconv.FormatInt(int64(v.Count), 10), "C", v.Product, "D", v.Element, "E", v.Shown)
	}
	e.close("TZN")
}

// polygon writes a shell and its holes; each ring closes with its first point.
func (e *encoder) polygon(kind string, polygon orb.Polygon) {
	e.open("PLN", "A", kind)
	for i, ring := range polygon {
		which := "1"
		if i > 0 {
			which = "2"
		}
		e.open("LSG", "A", which)
		for _, p := range ring {
			e.leaf("PNT", "A", "2", "C", decimals(p[1], 9), "D", decimals(p[0], 9))
		}
		e.close("LSG")
	}
	e.close("PLN")
}

// Decimals rounds a number of degrees to what a set says of it: 9 digits behind the point
// of a place, which are 0.1 mm, and 12 of a cell's size.
func Decimals(v float64, digits int) float64 {
	r, err := strconv.ParseFloat(decimals(v, digits), 64)
	if err != nil {
		return v
	}
	return r
}

// decimals prints a number without an exponent and without zeros at its end.
func decimals(v float64, digits int) string {
	text := strconv.FormatFloat(v, 'f', digits, 64)
	if text = strings.TrimRight(strings.TrimRight(text, "0"), "."); text == "-0" {
		return "0"
	}
	return text
}

// One acre is 4046.8564224 m², one pound 0.45359237 kg, one gallon of 128 fl oz
// 3.785411784 L [NIST SP 811]; a count is 1 mg/m², or 0.01 mm³/m².
var (
	countsPerPoundAcre   = big.NewRat(4535923700000, 40468564224)
	countsPerFluidOzAcre = big.NewRat(3785411784000000, 40468564224*128)
)

// dust is what a rate at a limit may miss it by from rounding alone.
const dust = 1e-9

// countError is a rate that no count can say.
type countError struct{ Why string }

func (e *countError) Error() string { return e.Why }

// MassCount returns a dry rate in counts of [SetpointMassPerArea]: the nearest one, half
// away from zero. Where the rate is within the limits and the nearest count is not, it is
// the nearest that is, if there is one. most is +Inf for no limit.
func MassCount(r, least, most unit.DryRate) (int32, error) {
	return count(float64(r), float64(least), float64(most), countsPerPoundAcre)
}

// VolumeCount returns a liquid rate in counts of [SetpointVolumePerArea], rounded as
// [MassCount] does.
func VolumeCount(r, least, most unit.LiquidRate) (int32, error) {
	return count(float64(r), float64(least), float64(most), countsPerFluidOzAcre)
}

// MassRate returns the dry rate of a count.
func MassRate(n int32) unit.DryRate { return unit.DryRate(rate(n, countsPerPoundAcre)) }

// VolumeRate returns the liquid rate of a count.
func VolumeRate(n int32) unit.LiquidRate { return unit.LiquidRate(rate(n, countsPerFluidOzAcre)) }

func rate(n int32, per *big.Rat) float64 {
	v, _ := new(big.Rat).Quo(new(big.Rat).SetInt64(int64(n)), per).Float64()
	return v
}

func count(v, least, most float64, per *big.Rat) (int32, error) {
	if !(v >= 0) || math.IsInf(v, 0) {
		return 0, &countError{fmt.Sprintf("a rate of %v can't be counted", v)}
	}
	exact := counts(v, per)
	nearest := halfAway(exact)
	if low, ok := bound(least, per); ok && v >= least*(1-dust) && new(big.Rat).SetInt(nearest).Cmp(low) < 0 {
		nearest = inward(nearest, +1, most, per)
	} else if high, ok := bound(most, per); ok && v <= most*(1+dust) && new(big.Rat).SetInt(nearest).Cmp(high) > 0 {
		nearest = inward(nearest, -1, least, per)
	}
	if !nearest.IsInt64() || nearest.Int64() > math.MaxInt32 {
		return 0, &countError{fmt.Sprintf("a rate of %v is more than a terminal can be told", v)}
	}
	return int32(nearest.Int64()), nil
}

// counts is a rate in exact counts.
func counts(v float64, per *big.Rat) *big.Rat {
	return new(big.Rat).Mul(new(big.Rat).SetFloat64(v), per)
}

// bound is a limit in exact counts; there is none at 0 or at infinity.
func bound(v float64, per *big.Rat) (*big.Rat, bool) {
	if !(v > 0) || math.IsInf(v, 0) {
		return nil, false
	}
	return counts(v, per), true
}

// inward takes one step into the limits, unless that passes the other one: a limit of
// one rate alone may lie between two counts.
func inward(from *big.Int, step int64, other float64, per *big.Rat) *big.Int {
	to := new(big.Int).Add(from, big.NewInt(step))
	if limit, ok := bound(other, per); ok && new(big.Rat).SetInt(to).Cmp(limit) == int(step) {
		return from
	}
	return to
}

// halfAway rounds a number that is not negative.
func halfAway(v *big.Rat) *big.Int {
	twice := new(big.Int).Lsh(v.Num(), 1)
	twice.Add(twice, v.Denom())
	return twice.Quo(twice, new(big.Int).Lsh(v.Denom(), 1))
}
