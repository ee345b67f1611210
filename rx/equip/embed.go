package equip

import (
	_ "embed" // for the template
	"strings"
)

//go:embed template.yaml
var template string

// JobTemplate returns a job file to fill in, with a comment on every key.
func JobTemplate() string {
	return strings.NewReplacer("{{ways}}", WayChoice(), "{{way}}", string(Ways()[0].Name)).Replace(template)
}
