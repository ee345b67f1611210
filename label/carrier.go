package label

import (
	"slices"
	"strings"
)

// Carriers are the dry materials that a label speaks of, by [CarrierName].
type Carriers struct {
	Allowed   []string `yaml:"allowed"`
	Forbidden []string `yaml:"forbidden"`
}

func (c Carriers) facts() []fact {
	return []fact{
		{".allowed", "carriers allowed", strings.Join(c.Allowed, ", "), "every carrier that is not forbidden is a warning"},
		{".forbidden", "carriers forbidden", strings.Join(c.Forbidden, ", "), "no carrier is refused on the label's account"},
	}
}

// Of returns what the label says of a material; [Unsaid] if it is in neither list.
func (c Carriers) Of(material string) Permission {
	name := CarrierName(material)
	switch {
	case slices.ContainsFunc(c.Forbidden, func(s string) bool { return CarrierName(s) == name }):
		return Forbidden
	case slices.ContainsFunc(c.Allowed, func(s string) bool { return CarrierName(s) == name }):
		return Allowed
	}
	return Unsaid
}

// CarrierName brings the usual names of a dry material to one, in lower case:
// "MAP" and "Monoammonium phosphate" are both "map". A name that is not known
// here stays as it is, in lower case.
func CarrierName(s string) string {
	s = strings.Join(strings.Fields(strings.ToLower(strings.ReplaceAll(s, "-", " "))), " ")
	for name, others := range carrierNames {
		if slices.Contains(others, s) {
			return name
		}
	}
	return s
}

// carrierNames holds common names of the trade; no published list.
var carrierNames = map[string][]string{
	"urea":                     {"prilled urea", "granular urea"},
	"ammonium sulfate":         {"ammonium sulphate", "sulfate of ammonia", "ams"},
	"ammonium nitrate":         {"an"},
	"calcium ammonium nitrate": {"can"},
	"ammonium sulfate nitrate": {"ammonium sulphate nitrate", "ammonium nitrate sulfate", "ammonium nitrate sulphate", "asn"},
	"calcium nitrate":          {"nitrate of lime"},
	"map":                      {"monoammonium phosphate", "mono ammonium phosphate"},
	"dap":                      {"diammonium phosphate", "di ammonium phosphate"},
	"potash":                   {"muriate of potash", "potassium chloride", "kcl", "mop"},
	"sulfate of potash":        {"potassium sulfate", "potassium sulphate", "sop"},
	"potassium nitrate":        {"nitrate of potash"},
	"sodium nitrate":           {"nitrate of soda"},
	"single superphosphate":    {"superphosphate", "ordinary superphosphate", "ssp"},
	"triple superphosphate":    {"concentrated superphosphate", "tsp"},
	"pelletized lime":          {"pell lime", "pelleted lime", "lime"},
}

// IsCarrierName reports whether a name, as [CarrierName] returns it, is one that
// is known here.
func IsCarrierName(name string) bool {
	_, ok := carrierNames[name]
	return ok
}

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
