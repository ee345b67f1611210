package equip

import _ "embed" // for the template

//go:embed template.yaml
var template string

// JobTemplate returns a job file to fill in, with a comment on every key.
func JobTemplate() string { return template }
