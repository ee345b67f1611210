package write

import (
	"strings"

	"rxsplit/rx"
)

// names hands out column names: the source's as they are, ours out of their way.
type names struct{ taken map[string]bool }

func newNames(p *rx.Prescription) *names {
	n := &names{taken: map[string]bool{}}
	for i, short := range p.ShortNames() {
		n.taken[strings.ToUpper(p.Fields[i].Name)] = true
		n.taken[strings.ToUpper(short)] = true
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
