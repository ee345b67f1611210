// Package label holds what a stabilizer's label says, as people enter it into a
// YAML file: its range of rates, and the limits on how it may be used.
//
// [Parse] reads a profile strictly and refuses one that contradicts itself;
// [Profile.Problems] tells what else is odd. What the file leaves out is unknown,
// never a default: ask with the methods that return a value and whether it is
// known. The label in hand comes before any profile.
package label

import "rxsplit/label/unit"

// Profile is what is known of one label. Its zero value knows nothing; one from
// [Parse] has a name and a range of rates with 0 < Min < Max.
type Profile struct {
	Name         string                        `yaml:"name,required"`
	Registered   Answer                        `yaml:"registered"`   // whether a pesticide registration applies
	Registration string                        `yaml:"registration"` // its number; may be empty
	Rate         Range[unit.LiquidRate]        `yaml:"rate,required" alone:"both"`
	SeasonMax    Known[unit.LiquidRate]        `yaml:"season-max"`   // sum of all passes of a season
	BelowLabel   Permission                    `yaml:"below-label"`  // rates under Rate.Min
	Density      Known[unit.Density]           `yaml:"density"`      // of the liquid
	Base         Base                          `yaml:"base"`         // of the liquid
	Carriers     Carriers                      `yaml:"carriers"`     // dry materials to impregnate
	MinDryRate   Known[unit.DryRate]           `yaml:"min-dry-rate"` // smallest impregnated dry rate
	MaxLiquid    Known[unit.Loading]           `yaml:"max-liquid"`   // most liquid a ton takes up
	Loading      Known[Range[unit.Loading]]    `yaml:"loading"`      // the label's own range per ton
	DryingAgent  Known[unit.Density]           `yaml:"drying-agent"` // mass of agent per volume of liquid
	MixTime      Known[Range[unit.Time]]       `yaml:"mix-minutes" bare:"min"`
	SprayVolume  Known[Range[unit.LiquidRate]] `yaml:"spray-volume"` // of the whole mix
	PPE          []string                      `yaml:"ppe"`
	ReEntry      Known[unit.Time]              `yaml:"re-entry"` // restricted-entry interval
	Version      Version                       `yaml:"label"`
	Entered      Entry                         `yaml:"entered"`
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

// IsRegistered reports whether the product is known to be a registered pesticide;
// what federal law says is printed only then.
func (p *Profile) IsRegistered() bool { return p.Registered == Yes }

// ForbidsBelow reports whether the label is known to forbid rates below its range.
func (p *Profile) ForbidsBelow() bool { return p.BelowLabel == Forbidden }

// MostPerSeason returns the most that all passes of a season may add up to.
func (p *Profile) MostPerSeason() (unit.LiquidRate, bool) { return p.SeasonMax.Get() }

// LeastDryRate returns the smallest dry rate that may be impregnated.
func (p *Profile) LeastDryRate() (unit.DryRate, bool) { return p.MinDryRate.Get() }

// MostLiquid returns the most liquid that a ton takes up.
func (p *Profile) MostLiquid() (unit.Loading, bool) { return p.MaxLiquid.Get() }

// LoadingRange returns the label's own range per ton.
func (p *Profile) LoadingRange() (Range[unit.Loading], bool) { return p.Loading.Get() }

// SprayVolumes returns the range of spray volumes, the whole mix counted.
func (p *Profile) SprayVolumes() (Range[unit.LiquidRate], bool) { return p.SprayVolume.Get() }

// LiquidDensity returns the density of the liquid.
func (p *Profile) LiquidDensity() (unit.Density, bool) { return p.Density.Get() }

// AgentPerLiquid returns the mass of drying agent per volume of liquid.
func (p *Profile) AgentPerLiquid() (unit.Density, bool) { return p.DryingAgent.Get() }

// MixTimes returns how long the blend is mixed after the liquid is in.
func (p *Profile) MixTimes() (Range[unit.Time], bool) { return p.MixTime.Get() }

// EntryInterval returns the restricted-entry interval.
func (p *Profile) EntryInterval() (unit.Time, bool) { return p.ReEntry.Get() }

// CarrierLists returns the carriers that the label allows and forbids, by
// [CarrierName]; both are empty if it speaks of none.
func (p *Profile) CarrierLists() (allowed, forbidden []string) {
	return carrierNamesOf(p.Carriers.Allowed), carrierNamesOf(p.Carriers.Forbidden)
}

func carrierNamesOf(list []string) []string {
	names := make([]string, len(list))
	for i, s := range list {
		names[i] = CarrierName(s)
	}
	return names
}
