package equip

import (
	_ "embed" // for the template
	"strings"
)

//go:embed template.yaml
var template string

// JobTemplate returns a job file to fill in, with a comment on every key: those that are
// options of the command line as well stand in options, each after an empty line.
func JobTemplate(options string) string {
	return strings.Replace(template, "{{options}}\n", options, 1)
}
