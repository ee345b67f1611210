package label

import (
	_ "embed" // for the demo profile
	"fmt"
	"strings"

	"rxsplit/internal/each"
	"rxsplit/label/strictyaml"
	"rxsplit/label/unit"
)

// Parse reads a profile in YAML. The name of the file is for messages only. The
// error is a [strictyaml.Errors] with each mistake's line, column and key: what
// can't be read, and what contradicts itself.
func Parse(name string, data []byte) (*Profile, error) {
	p, _, err := Check(name, data)
	return p, err
}

// Check reads a profile as [Parse] does, and returns what else is odd in it with
// the place of each.
func Check(name string, data []byte) (*Profile, []Problem, error) {
	p := new(Profile)
	doc := p.decode(name, data)
	if err := doc.Err(); err != nil {
		return nil, nil, err
	}
	odd, err := Sort(doc, append(p.problems(doc), twoUnits(doc)...))
	if err != nil {
		return nil, nil, err
	}
	return p, odd, nil
}

// decode reads what can be read of a profile.
func (p *Profile) decode(name string, data []byte) *strictyaml.Document {
	return strictyaml.DecodeKeys(name, data, each.Of(p.keys(unit.US), func(k key) strictyaml.Key { return k.yaml }))
}

// twoUnits tells of a range whose ends are written in different units: each is easily copied
// from another line of the label.
func twoUnits(doc *strictyaml.Document) (found []Problem) {
	for _, key := range []string{"rate", "loading", "spray-volume"} {
		low, high := doc.Written(key+".min"), doc.Written(key+".max")
		if low != "" && high != "" && !unit.SameUnit(low, high) {
			found = append(found, Problem{
				Rule: "two-units", Severity: Warning, Key: key + ".max",
				Text: fmt.Sprintf("%s is written in another unit than min, %s: write both in one unit, and compare them with the label", high, low),
			})
		}
	}
	return found
}

// Sort makes the errors among the problems of a file mistakes of its document, and
// returns the others with their places.
func Sort(doc *strictyaml.Document, problems []Problem) (odd []Problem, err error) {
	for _, p := range problems {
		if p.Severity == Error {
			doc.Fail(p.Key, p.Text)
			continue
		}
		p.Line, p.Column = doc.Place(p.Key)
		odd = append(odd, p)
	}
	return odd, doc.Err()
}

// templateHead is how the template begins.
const templateHead = `# A stabilizer's label, as this program needs to know it.
#
# Copy each figure from the label in hand, with its unit; the label comes first,
# whatever stands here. Only name and rate are required. A line that starts with
# "#" and a key is left out; take the "#" away and correct the figure to say it.
# What is left out counts as unknown, and the program says what it could not
# check. Metric units are read as well: mL/ha, L/ha, kg/ha, mL/t, kg/L.
`

// Template returns a profile to fill in, with a comment on every key. It can't be
// used before its name and rate are given.
func Template() string {
	var t strings.Builder
	t.WriteString(templateHead)
	for _, k := range new(Profile).keys(unit.US) {
		t.WriteString("\n# " + strings.Join(wrap(k.help, 78), "\n# ") + "\n")
		line := strings.TrimSuffix(k.yaml.Name+": "+k.example, " ") + "\n"
		if !k.yaml.Required {
			line = "#" + line
		}
		t.WriteString(line)
	}
	return t.String()
}

//go:embed demo.yaml
var demo []byte

// DemoYAML returns the invented profile of the demonstration as a file.
func DemoYAML() []byte { return append([]byte(nil), demo...) }
