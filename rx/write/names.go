package write

import (
	"strings"

	"rxsplit/rx"
)

// names hands out column names: the source's as they are, ours out of their way.
type names struct{ taken map[string]bool }

func newNames(p *rx.Prescription) *names {
	n := &names{taken: map[string]bool{}}
	for _, f := range p.Fields {
		n.taken[strings.ToUpper(f.Name)] = true
	}
	return n
}

func (n *names) ours(name string) string {
	for n.taken[name] {
		name += "_"
	}
	n.taken[name] = true
	return name
}
