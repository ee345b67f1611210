package label

import "rxsplit/label/strictyaml"

// Parse reads a profile in YAML. The name of the file is for messages only. The
// error is a [strictyaml.Errors] with each mistake's line, column and key: what
// can't be read, and what contradicts itself.
func Parse(name string, data []byte) (*Profile, error) {
	p := new(Profile)
	doc := strictyaml.Decode(name, data, p)
	if err := doc.Err(); err != nil {
		return nil, err
	}
	for _, problem := range p.Problems() {
		if problem.Severity == Error {
			doc.Fail(problem.Key, problem.Text)
		}
	}
	if err := doc.Err(); err != nil {
		return nil, err
	}
	return p, nil
}
