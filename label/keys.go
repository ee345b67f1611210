// Package label holds what a stabilizer's label says, as people enter it into a
// YAML file: its range of rates, and the limits on how it may be used.
//
// [Parse] reads a profile strictly and refuses one that contradicts itself;
// [Check] tells what else is odd. What the file leaves out is unknown,
// never a default: a [Known] gives its value and whether it is known. The label in
// hand comes before any profile.
package label

import (
	"slices"
	"strings"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// Profile is what is known of one label. Its zero value knows nothing; one from
// [Parse] has a name and a range of rates with 0 < Min < Max.
type Profile struct {
	Name         string
	Rate         Range[unit.LiquidRate]
	Registered   answer                 // whether a pesticide registration applies
	Registration string                 // its number; may be empty
	Active       string                 // active ingredient or ingredients; may be empty
	Restricted   answer                 // whether it is a restricted use pesticide
	SeasonMax    Known[unit.LiquidRate] // sum of all passes of a season
	BelowLabel   Permission             // rates under Rate.Min

	Density     Known[unit.Density]        // of the liquid
	Base        Base                       // of the liquid
	Carriers    carriers                   // dry materials to impregnate
	TankMix     Permission                 // with other products in a tank
	MinDryRate  Known[unit.DryRate]        // smallest impregnated dry rate
	MaxLiquid   Known[unit.Loading]        // most liquid a ton takes up
	Loading     Known[Range[unit.Loading]] // the label's own range per ton
	DryingAgent Known[unit.Density]        // mass of agent per volume of liquid
	MixTime     Known[Range[unit.Time]]    // after the liquid is in
	Hold        Known[unit.Time]           // longest from blending to spreading of a treated blend

	SprayVolume Known[Range[unit.LiquidRate]] // of the whole mix
	PPE         []string                      // protective equipment
	ReEntry     Known[unit.Time]              // restricted-entry interval
	Incorporate Known[unit.Time]              // latest incorporation after it is applied
	Crops       []string                      // that it may be used for
	Timing      string                        // when it may be applied, in the label's words; may be empty
	Version     Version
	Entered     Entry
}

// Version says which label the profile was taken from.
type Version struct {
	Version string `yaml:"version"`
	Date    Date   `yaml:"date"`
}

// Entry says who typed the profile, and when.
type Entry struct {
	By string `yaml:"by"`
	On Date   `yaml:"on"`
}

// key is a key of a profile with all that the program does with it. It is read,
// checked, shown and explained by what stands here; a test holds the keys against the
// fields of [Profile], so that none is left half done.
type key struct {
	yaml    strictyaml.Key
	facts   []fact // that show it
	help    string // how to fill it in, for the template
	example string // its value in the template
	rules   []rule // that check it
	free    bool   // whatever can be read is right: no rule checks it
}

// keys are the keys of a profile in the order of its file, bound to p, with facts in a
// system of units.
func (p *Profile) keys(s unit.System) []key {
	return slices.Concat(p.productKeys(s), p.liquidKeys(s), p.blendKeys(s), p.fieldKeys(s))
}

// productKeys say what the product is and how much of it the label allows.
func (p *Profile) productKeys(s unit.System) []key {
	return []key{
		{
			yaml:  strictyaml.Key{Name: "name", Into: &p.Name, Required: true},
			facts: says("product", p.Name, ""),
			help:  "The product's name, as it stands on the label.",
			rules: []rule{{"name", checkName}},
		},
		{
			yaml:    strictyaml.Key{Name: "rate", Into: &p.Rate, Required: true, Alone: true},
			facts:   says("label rate", rangeText(Know(p.Rate), s), ""),
			help:    "Lowest and highest rate of one pass, such as {min: 20 fl oz/ac, max: 40 fl oz/ac}; of a label with one rate alone that rate, such as rate: 30 fl oz/ac.",
			example: "{min: , max: }",
			rules:   []rule{{"rate-order", checkRate}, {"rate-plausible", checkRatePlausible}},
		},
		{
			yaml:    strictyaml.Key{Name: "registered", Into: &p.Registered},
			facts:   says("registered pesticide", known(p.Registered), "federal wording is not printed"),
			help:    "Whether the product is registered as a pesticide: yes, no or unknown.",
			example: "yes",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "registration", Into: &p.Registration},
			facts:   says("registration number", p.Registration, "the batch sheet leaves room to write it in"),
			help:    "The registration number on the label.",
			example: `"00000-000"`,
			rules:   []rule{{"registration", checkRegistration}},
		},
		{
			yaml:    strictyaml.Key{Name: "active", Into: &p.Active},
			facts:   says("active ingredient", p.Active, "the record leaves room to write it in"),
			help:    "The active ingredient or ingredients, with their share, as the label states them.",
			example: "ingredient 00 %",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "restricted-use", Into: &p.Restricted},
			facts:   says("restricted use pesticide", known(p.Restricted), "the record asks for it"),
			help:    "Whether the label names it a restricted use pesticide: yes, no or unknown.",
			example: "no",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "season-max", Into: &p.SeasonMax},
			facts:   says("season maximum", knownText(p.SeasonMax, s), "the sum of a season's passes is not checked"),
			help:    "The most that all passes of one season may add up to.",
			example: "80 fl oz/ac",
			rules:   []rule{{"season-max", checkSeason}},
		},
		{
			yaml:    strictyaml.Key{Name: "below-label", Into: &p.BelowLabel},
			facts:   says("rates below the label", known(p.BelowLabel), "they are a warning, not an error"),
			help:    "What the label says of rates under its range: allowed, forbidden or unknown.",
			example: "unknown",
			free:    true,
		},
	}
}

// liquidKeys say what the label says of the liquid and of what it may be put on.
func (p *Profile) liquidKeys(s unit.System) []key {
	return []key{
		{
			yaml:    strictyaml.Key{Name: "density", Into: &p.Density},
			facts:   says("density", knownText(p.Density, s), "no weight of the treated blend, no correction of nozzles"),
			help:    "Weight of the liquid, from the label or the safety data sheet.",
			example: "9 lb/gal",
			rules:   []rule{{"density", checkDensity}},
		},
		{
			yaml:    strictyaml.Key{Name: "base", Into: &p.Base},
			facts:   says("made with", known(p.Base), "the sheets leave clean-up to the label"),
			help:    "What the liquid is made with, water or solvent: it decides what cleans it up.",
			example: "water",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "carriers", Into: &p.Carriers},
			facts:   p.Carriers.facts(),
			help:    "Dry materials that the label names as fit, or unfit, to be impregnated.",
			example: "{allowed: [urea], forbidden: [ammonium nitrate]}",
			rules:   []rule{{"carriers", checkCarriers}},
		},
		{
			yaml:    strictyaml.Key{Name: "tank-mix", Into: &p.TankMix},
			facts:   says("in one tank with others", known(p.TankMix), "other liquids in the tank are asked about"),
			help:    "Whether the label lets the product be mixed in a tank with other products: allowed, forbidden or unknown.",
			example: "unknown",
			free:    true,
		},
	}
}

// blendKeys say what the label says on how to impregnate dry product.
func (p *Profile) blendKeys(s unit.System) []key {
	return []key{
		{
			yaml:    strictyaml.Key{Name: "min-dry-rate", Into: &p.MinDryRate},
			facts:   says("smallest impregnated dry rate", knownText(p.MinDryRate, s), "low impregnated rates are not checked"),
			help:    "The smallest rate of impregnated dry that still covers the ground evenly.",
			example: "100 lb/ac",
			rules:   notZero("min-dry-rate", p.MinDryRate),
		},
		{
			yaml:    strictyaml.Key{Name: "max-liquid", Into: &p.MaxLiquid},
			facts:   says("most liquid a ton takes up", knownText(p.MaxLiquid, s), "high loadings are not checked"),
			help:    "The most liquid that a ton of dry takes up.",
			example: "3 gal/ton",
			rules:   notZero("max-liquid", p.MaxLiquid),
		},
		{
			yaml:    strictyaml.Key{Name: "loading", Into: &p.Loading},
			facts:   says("label's rate per ton", rangeText(p.Loading, s), "the rate per acre alone bounds the loading"),
			help:    "Only if the label states a rate per ton besides the rate per acre.",
			example: "{min: 100 fl oz/ton, max: 400 fl oz/ton}",
			rules:   []rule{{"loading", checkLoading}},
		},
		{
			yaml:    strictyaml.Key{Name: "drying-agent", Into: &p.DryingAgent},
			facts:   says("drying agent per liquid", agentText(p.DryingAgent, s), "1 lb a pint is assumed as common practice"),
			help:    "Drying agent per volume of liquid, if the label or the supplier names it.",
			example: "1 lb/pt",
			rules:   []rule{{"drying-agent", checkDryingAgent}},
		},
		{
			yaml:    strictyaml.Key{Name: "mix-minutes", Into: &p.MixTime, Bare: "min"},
			facts:   says("mixing time", rangeText(p.MixTime, s), "3 to 5 minutes are printed as common practice"),
			help:    "How many minutes the blend is mixed after the liquid is in.",
			example: "{min: 3, max: 5}",
			rules:   []rule{{"mix-minutes", checkMixTime}},
		},
		{
			yaml:    strictyaml.Key{Name: "hold", Into: &p.Hold},
			facts:   says("holding time of treated blend", daysText(p.Hold, s), "the sheets point to the label"),
			help:    "How long a treated blend may be held before it is spread.",
			example: "7 d",
			rules:   notOver(longestUsualHold, "hold", p.Hold),
		},
	}
}

// fieldKeys say what counts in the field, and where the profile is from.
func (p *Profile) fieldKeys(s unit.System) []key {
	return []key{
		{
			yaml:    strictyaml.Key{Name: "spray-volume", Into: &p.SprayVolume},
			facts:   says("spray volume", volumeText(p.SprayVolume, s), "the boom's volume is not checked"),
			help:    "Spray volume of the whole mix, water included, when it goes through a boom.",
			example: "{min: 5 gal/ac, max: 20 gal/ac}",
			rules:   []rule{{"spray-volume", checkSprayVolume}},
		},
		{
			yaml:    strictyaml.Key{Name: "ppe", Into: &p.PPE},
			facts:   says("protective equipment", strings.Join(p.PPE, ", "), "the sheets point to the label"),
			help:    "Personal protective equipment that the label asks for.",
			example: "[chemical-resistant gloves, protective eyewear]",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "re-entry", Into: &p.ReEntry},
			facts:   says("restricted-entry interval", knownText(p.ReEntry, s), "the sheets point to the label"),
			help:    "Restricted-entry interval, after which people may go back into the field.",
			example: "24 h",
			rules:   notOver(longestUsualInterval, "re-entry", p.ReEntry),
		},
		{
			yaml:    strictyaml.Key{Name: "incorporate-within", Into: &p.Incorporate},
			facts:   says("incorporation, at the latest", daysText(p.Incorporate, s), "the sheets point to the label"),
			help:    "How soon after it is applied it must be incorporated.",
			example: "10 d",
			rules:   notOver(longestUsualInterval, "incorporate-within", p.Incorporate),
		},
		{
			yaml:    strictyaml.Key{Name: "crops", Into: &p.Crops},
			facts:   says("crops", strings.Join(p.Crops, ", "), "the sheets point to the label"),
			help:    "Crops that the label names.",
			example: "[corn]",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "timing", Into: &p.Timing},
			facts:   says("timing", p.Timing, "the sheets point to the label"),
			help:    "When the label lets it be applied, in its own words.",
			example: "before planting",
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "label", Into: &p.Version},
			facts:   says("label version", join(p.Version.Version, string(p.Version.Date)), "check that the profile fits the label in hand"),
			help:    "Which label this was copied from: its version or revision, and its date.",
			example: `{version: "A1", date: 2026-01-15}`,
			free:    true,
		},
		{
			yaml:    strictyaml.Key{Name: "entered", Into: &p.Entered},
			facts:   says("entered", join(p.Entered.By, string(p.Entered.On)), "nobody answers for the profile"),
			help:    "Who entered this profile, and when.",
			example: `{by: "initials", on: 2026-02-01}`,
			rules:   []rule{{"dates", checkDates}},
		},
	}
}

// IsRegistered reports whether the product is known to be a registered pesticide;
// what federal law says is printed only then.
func (p *Profile) IsRegistered() bool { return p.Registered == yes }

// ForbidsBelow reports whether the label is known to forbid rates below its range.
func (p *Profile) ForbidsBelow() bool { return p.BelowLabel == Forbidden }
