package label

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// Severity says how bad a [Problem] or a finding is.
type Severity uint8

// The severities, worst last.
const (
	Note Severity = iota
	Warning
	Error
)

// String returns "note", "warning" or "error".
func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// MarshalText returns what [Severity.String] does.
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Problem is something about a profile that is not as it should be.
type Problem struct {
	Rule     string // which rule found it
	Severity Severity
	Doubt    bool   // a slip is likelier than that it is meant: nothing is to be made of it unasked
	Key      string // such as rate.max
	Text     string // what is wrong and what to do about it
	Line     int    // where the key's value stands, from [Check]; else 0
	Column   int
}

// problems lists what is wrong or odd in a profile, in the order of its keys. One
// from [Parse] has no [Error] among them. The file that it was read from says how its
// figures are written; an empty one where it was read from none.
func (p *Profile) problems(doc *strictyaml.Document) []Problem {
	var found []Problem
	for _, k := range p.keys(unit.US) {
		for _, r := range k.rules {
			for _, f := range r.find(written{p, doc}) {
				f.Rule = r.name
				found = append(found, f)
			}
		}
	}
	return found
}

// rule is one thing that is looked for.
type rule struct {
	name string
	find func(written) []Problem
}

// written is a profile and the file that it was read from.
type written struct {
	*Profile
	doc *strictyaml.Document
}

// says quotes the value of a key as the file has it, so that who wrote L/ha is told of L/ha;
// the value itself where the file writes it otherwise.
func (p written) says(key string, value fmt.Stringer) string {
	both, _, _ := strings.Cut(key, ".") // of a label with one rate
	return cmp.Or(p.doc.Written(key), p.doc.Written(both), value.String())
}

// bothUnits prints a bound of this file in both systems.
func bothUnits(r unit.LiquidRate) string { return r.Brief(unit.US) + " (" + r.Brief(unit.Metric) + ")" }

// one returns a single problem if it is one.
func one(bad bool, severity Severity, key, text string) []Problem {
	if !bad {
		return nil
	}
	return []Problem{{Severity: severity, Key: key, Text: text}}
}

// The bounds of this file are common practice without a source: a number beyond
// them is likelier a slip of unit or decimal point than a label.
const (
	highestUsualRate     = 10 * unit.GallonPerAcre
	lowestUsualRate      = 1 * unit.FluidOuncePerAcre
	widestUsualRatio     = 8 // of the highest rate to the lowest
	lightestLiquid       = 6 * unit.PoundPerGallon
	heaviestLiquid       = 16 * unit.PoundPerGallon
	lightestPossible     = 4 * unit.PoundPerGallon
	heaviestPossible     = 20 * unit.PoundPerGallon
	mostAgentPerLiquid   = 4 * unit.PoundPerPint
	longestUsualMix      = 60 * unit.Minute
	longestUsualInterval = 30 // days
	longestUsualHold     = 90 // days
)

func checkName(p written) []Problem {
	return one(strings.TrimSpace(p.Name) == "", Error, "name", "is empty: write the name on the label")
}

var registrationNumber = regexp.MustCompile(`^[0-9]+-[0-9]+(-[0-9]+)?$`)

func checkRegistration(p written) []Problem {
	const key = "registration"
	switch {
	case p.Registered == yes && p.Registration == "":
		return one(true, Warning, key, "is not given though the product is registered: copy the number from the label")
	case p.Registered != yes && p.Registration != "":
		return one(true, Warning, key, fmt.Sprintf("is given though registered is %s: set registered to yes if it applies", p.Registered))
	}
	return one(p.Registration != "" && !registrationNumber.MatchString(p.Registration), Warning, key,
		fmt.Sprintf("%q does not look like a registration number (digits-digits): compare it with the label", p.Registration))
}

func checkRate(p written) []Problem {
	if p.Rate.Min <= 0 {
		return one(true, Error, "rate.min", "is not above 0: write the lowest rate on the label")
	}
	if p.Rate.Min > highestUsualRate && p.Rate.Max < p.Rate.Min {
		return one(true, Error, "rate.min", fmt.Sprintf("%s is above max, %s: compare its unit with the label first", p.says("rate.min", p.Rate.Min), p.says("rate.max", p.Rate.Max)))
	}
	return one(p.Rate.Max < p.Rate.Min, Error, "rate.max",
		fmt.Sprintf("%s is below min, %s: write the lowest rate as min and the highest as max, or a label's only rate alone", p.says("rate.max", p.Rate.Max), p.says("rate.min", p.Rate.Min)))
}

// checkRatePlausible questions rates that no label is known to have.
func checkRatePlausible(p written) (found []Problem) {
	add := func(bad bool, key, text string) {
		for _, f := range one(bad, Warning, key, text) {
			f.Doubt = true
			found = append(found, f)
		}
	}
	low, high := p.Rate.Min, p.Rate.Max
	add(high > highestUsualRate, "rate.max",
		fmt.Sprintf("%s is more than %s, which is much for a stabilizer: compare the unit with the label", p.says("rate.max", p.Rate.Max), bothUnits(highestUsualRate)))
	add(low > 0 && low < lowestUsualRate, "rate.min",
		fmt.Sprintf("%s is less than %s, which is little for a stabilizer: compare the figure and its unit with the label", p.says("rate.min", p.Rate.Min), bothUnits(lowestUsualRate)))
	add(low > 0 && high <= highestUsualRate && high/low > widestUsualRatio, "rate.max",
		fmt.Sprintf("%s is %s times the lowest rate, %s: labels seldom allow more than %d times; compare both and their units with the label", p.says("rate.max", p.Rate.Max), unit.Digits(float64(high/low), 4), p.says("rate.min", p.Rate.Min), widestUsualRatio))
	return found
}

// oddHighest reports whether the highest rate is likelier to be wrong than what it is held
// against: it is questioned by itself.
func (p written) oddHighest() bool {
	return slices.ContainsFunc(checkRatePlausible(p), func(f Problem) bool { return f.Key == "rate.max" })
}

func checkSeason(p written) []Problem {
	most, known := p.SeasonMax.Get()
	if p.oddHighest() {
		return one(known && most < p.Rate.Max, Error, "rate.max",
			fmt.Sprintf("%s is above season-max, %s: compare its unit with the label first", p.says("rate.max", p.Rate.Max), p.says("season-max", most)))
	}
	return one(known && most < p.Rate.Max, Error, "season-max",
		fmt.Sprintf("%s is below the highest rate of one pass, %s: correct one of them", p.says("season-max", most), p.says("rate.max", p.Rate.Max)))
}

func checkDensity(p written) []Problem {
	d, known := p.Density.Get()
	switch {
	case !known || d >= lightestLiquid && d <= heaviestLiquid:
		return nil
	case d < lightestPossible || d > heaviestPossible:
		return one(true, Error, "density", p.says("density", d)+" is no liquid's: water has 8.345 lb/gal (1 kg/L)")
	}
	return one(true, Warning, "density", p.says("density", d)+" is outside the usual 6 to 16 lb/gal: compare it with the label or the safety data sheet")
}

func checkCarriers(p written) []Problem {
	allowed, forbidden := p.CarrierLists()
	var found []Problem
	for i, name := range forbidden {
		key := fmt.Sprintf("carriers.forbidden[%d]", i+1)
		found = append(found, one(name == "", Error, key, "is empty: name the material")...)
		found = append(found, one(slices.Contains(allowed, name), Error, key, fmt.Sprintf("%q is allowed as well: keep it in one list", name))...)
	}
	for i, name := range allowed {
		key := fmt.Sprintf("carriers.allowed[%d]", i+1)
		found = append(found, one(name == "", Error, key, "is empty: name the material")...)
		found = append(found, one(slices.Contains(allowed[:i], name), Warning, key, fmt.Sprintf("%q is listed twice", name))...)
	}
	return found
}

// notZero is the rule of a limit: one that is 0 leaves nothing.
func notZero[Q ~float64](key string, limit Known[Q]) []rule {
	return []rule{{key, func(p written) []Problem {
		v, known := limit.Get()
		return one(known && v <= 0, Error, key, "is 0: leave the key out if the label names none")
	}}}
}

// notOver is the rule of a time that is seldom longer than so many days.
func notOver(days unit.Time, key string, limit Known[unit.Time]) []rule {
	return []rule{{key, func(p written) []Problem {
		t, known := limit.Get()
		return one(known && t > days*unit.Day, Warning, key, fmt.Sprintf("%v is more than %g days: compare the unit with the label", t, float64(days)))
	}}}
}

func checkLoading(p written) []Problem {
	per, known := p.Loading.Get()
	if !known {
		return nil
	}
	if per.Min <= 0 || per.Max < per.Min {
		return one(true, Error, "loading.max", fmt.Sprintf("%s is below min, %s, or min is not above 0: write the range per ton that the label states", p.says("loading.max", per.Max), p.says("loading.min", per.Min)))
	}
	most := p.MaxLiquid.Or(per.Max)
	if most > 0 && per.Min > most {
		return one(true, Error, "loading.min", fmt.Sprintf("%s is more than a ton takes up, max-liquid %s: no loading is left", p.says("loading.min", per.Min), p.says("max-liquid", most)))
	}
	return one(most > 0 && per.Max > most, Note, "loading.max", fmt.Sprintf("%s is more than a ton takes up, max-liquid %s: the lower of the two counts", p.says("loading.max", per.Max), p.says("max-liquid", most)))
}

func checkDryingAgent(p written) []Problem {
	d, known := p.DryingAgent.Get()
	return one(known && d > mostAgentPerLiquid, Warning, "drying-agent",
		unit.Digits(float64(d/unit.PoundPerPint), 4)+" lb/pt is much: about 1 lb a pint is usual")
}

func checkMixTime(p written) []Problem {
	mix, known := p.MixTime.Get()
	if known && mix.Max < mix.Min {
		return one(true, Error, "mix-minutes.max", fmt.Sprintf("%v is below min, %v: swap them", mix.Max, mix.Min))
	}
	return one(known && mix.Max > longestUsualMix, Warning, "mix-minutes.max", fmt.Sprintf("%v is long for a blender: the unit is minutes", mix.Max))
}

func checkSprayVolume(p written) []Problem {
	v, known := p.SprayVolume.Get()
	if !known {
		return nil
	}
	if v.Min <= 0 || v.Max < v.Min {
		return one(true, Error, "spray-volume.max", fmt.Sprintf("%s is below min, %s, or min is not above 0: correct them", p.says("spray-volume.max", v.Max), p.says("spray-volume.min", v.Min)))
	}
	if p.oddHighest() {
		return one(v.Max < p.Rate.Max, Error, "rate.max", fmt.Sprintf("%s is more than the whole mix, spray-volume.max %s: compare its unit with the label first", p.says("rate.max", p.Rate.Max), p.says("spray-volume.max", v.Max)))
	}
	return one(v.Max < p.Rate.Max, Error, "spray-volume.max",
		fmt.Sprintf("%s is less than the stabilizer alone, %s: the spray volume is that of the whole mix", p.says("spray-volume.max", v.Max), p.says("rate.max", p.Rate.Max)))
}

// oldLabel is after how many years a label is likely to have been revised: common practice, no source.
const oldLabel = 3

// season is that of this version of the program. There is no clock here, so that a plan can be proved
// byte by byte: what is older than the season, or than the day it was entered, is old whenever it is read.
const season = 2026

func checkDates(p written) []Problem {
	if year, now := p.Version.Date.year(), max(season, p.Entered.On.year()); year > 0 && now-year >= oldLabel {
		return one(true, Note, "label.date", fmt.Sprintf("%s is %d seasons ago, and labels are revised: the label in hand this season holds; compare its version and date", p.Version.Date, now-year))
	}
	return one(p.Version.Date != "" && p.Entered.On != "" && p.Entered.On < p.Version.Date, Warning, "entered.on",
		fmt.Sprintf("%s is before the label's own date, %s: compare both", p.Entered.On, p.Version.Date))
}
