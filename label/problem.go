package label

// Severity says how bad a [Problem] is.
type Severity uint8

// The severities, worst last.
const (
	Note Severity = iota
	Warning
	Error
)

// String returns "note", "warning" or "error".
func (s Severity) String() string { return [...]string{"note", "warning", "error"}[s] }

// Problem is something about a profile that is not as it should be.
type Problem struct {
	Rule     string // which rule found it
	Severity Severity
	Key      string // such as rate.max
	Text     string // what is wrong and what to do about it
	Line     int    // where the key's value stands, from [Check]; else 0
	Column   int
}

// Problems lists what is wrong or odd in a profile, in the order of its keys. One
// from [Parse] has no [Error] among them.
func (p *Profile) Problems() []Problem {
	var found []Problem
	for _, r := range rules() {
		for _, f := range r.find(p) {
			f.Rule = r.name
			found = append(found, f)
		}
	}
	return found
}

// rule is one thing that is looked for.
type rule struct {
	name string
	find func(*Profile) []Problem
}

func rules() []rule {
	return []rule{
		{"name", checkName},
		{"registration", checkRegistration},
		{"rate-order", checkRate},
		{"rate-plausible", checkRatePlausible},
		{"season-max", checkSeason},
		{"density", checkDensity},
		{"carriers", checkCarriers},
		{"min-dry-rate", checkMinDryRate},
		{"max-liquid", checkMaxLiquid},
		{"loading", checkLoading},
		{"drying-agent", checkDryingAgent},
		{"mix-minutes", checkMixTime},
		{"spray-volume", checkSprayVolume},
		{"re-entry", checkReEntry},
		{"dates", checkDates},
	}
}

// one returns a single problem if it is one.
func one(bad bool, severity Severity, key, text string) []Problem {
	if !bad {
		return nil
	}
	return []Problem{{Severity: severity, Key: key, Text: text}}
}
