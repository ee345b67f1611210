package label

import (
	"strings"

	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// Question is a key of a profile as a form asks for it.
type Question struct {
	strictyaml.Form
	What string // such as "season maximum"
	Help string // which sentence of the label to look for
}

// Questions lists what a form asks of a label, in the order of the file.
func Questions() (list []Question) {
	for _, k := range new(Profile).keys(unit.US) {
		what := k.facts[0].what
		if len(k.facts) > 1 {
			what = k.yaml.Name
		}
		help := k.help
		if at := strings.Index(help, ", such as {"); at >= 0 {
			help = help[:at] + "." // a form has a place for each end
		}
		list = append(list, Question{strictyaml.FormsOf([]strictyaml.Key{k.yaml})[0], what, help})
	}
	return list
}

// NotOnLabel is the note of a key that somebody looked for on the label and did not find.
const NotOnLabel = "not on the label"

// Written returns what a profile says of each key, as it is written, whatever is wrong with
// the rest of it.
func Written(text []byte) *strictyaml.Document {
	var keys []strictyaml.Key
	for _, k := range new(Profile).keys(unit.US) {
		keys = append(keys, k.yaml)
	}
	return strictyaml.DecodeKeys("", text, keys)
}
