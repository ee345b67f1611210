package equip

import (
	"rxsplit/label"
	"rxsplit/label/unit"
)

// Problems lists what is wrong or odd in a job, in the order of its keys; its texts
// count in the job's units, or else in US ones. One from [ParseJob] has no
// [label.Error] among them.
func (j *Job) Problems() []label.Problem { return j.ProblemsIn(j.Units.Or(unit.US)) }

// ProblemsIn does the same with texts that count in a system of units.
func (j *Job) ProblemsIn(s unit.System) []label.Problem {
	found := problems{s: s}
	found.job(j)
	found.blend(j.Blend)
	found.analysis(j)
	if j.SecondLiquid != nil {
		found.liquid(*j.SecondLiquid)
	}
	if j.Blender != nil {
		found.blender(*j.Blender)
	}
	if j.Spreader != nil {
		found.spreader(*j.Spreader)
	}
	if j.Boom != nil {
		found.boom(*j.Boom, j)
	}
	return found.list
}

// problems collects what is found; each method below looks at one part of a job.
type problems struct {
	s    unit.System // of the texts
	list []label.Problem
}

func (p *problems) failIf(bad bool, rule, key, text string) bool {
	if bad {
		p.list = append(p.list, label.Problem{Rule: rule, Severity: label.Error, Key: key, Text: text})
	}
	return bad
}

func (p *problems) warnIf(bad bool, rule, key, text string) {
	if bad {
		p.list = append(p.list, label.Problem{Rule: rule, Severity: label.Warning, Key: key, Text: text})
	}
}

// positive fails a quantity that is 0; none that was read is below.
func positive[Q ~float64](p *problems, q Q, key string) {
	p.failIf(!(q > 0), "positive", key, "is not above 0: write what it is, or leave it out")
}

// positiveIfKnown does the same for one that may be unknown.
func positiveIfKnown[Q ~float64](p *problems, k label.Known[Q], key string) {
	if q, known := k.Get(); known {
		positive(p, q, key)
	}
}
