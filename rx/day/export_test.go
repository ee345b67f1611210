package day

import "rxsplit/label/unit"

// What tests name.
var Middle = middle

// Miss is what the fields miss in all.
func (p placed) Miss(fields []Dosed) unit.Volume { return p.miss(fields) }
