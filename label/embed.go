package label

import (
	_ "embed" // for the two files below
)

//go:embed demo.yaml
var demo []byte

//go:embed template.yaml
var template string

// DemoFile is the name of the demo profile in messages.
const DemoFile = "demo-label.yaml"

// Template returns a profile to fill in, with a comment on every key. It can't be
// used before its name and rate are given.
func Template() string { return template }

// DemoYAML returns the invented profile of the demonstration as a file.
func DemoYAML() []byte { return append([]byte(nil), demo...) }

// Demo returns the invented profile of the demonstration.
func Demo() *Profile {
	p, err := Parse(DemoFile, demo)
	if err != nil {
		panic("the embedded profile can't be read: " + err.Error()) // a test reads it
	}
	return p
}
