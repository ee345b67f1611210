package label

import "rxsplit/label/strictyaml"

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
	doc := strictyaml.Decode(name, data, p)
	if err := doc.Err(); err != nil {
		return nil, nil, err
	}
	odd, err := Sort(doc, p.Problems())
	if err != nil {
		return nil, nil, err
	}
	return p, odd, nil
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
