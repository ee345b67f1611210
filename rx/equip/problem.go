package equip

import "rxsplit/label"

// Problems lists what is wrong or odd in a job, in the order of its keys. One from
// [ParseJob] has no [label.Error] among them.
func (j *Job) Problems() []label.Problem {
	var found problems
	found.job(j)
	found.blend(j.Blend)
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
	return found
}

// problems collects what is found; each method below looks at one part of a job.
type problems []label.Problem

func (p *problems) failIf(bad bool, rule, key, text string) bool {
	if bad {
		*p = append(*p, label.Problem{Rule: rule, Severity: label.Error, Key: key, Text: text})
	}
	return bad
}

func (p *problems) warnIf(bad bool, rule, key, text string) {
	if bad {
		*p = append(*p, label.Problem{Rule: rule, Severity: label.Warning, Key: key, Text: text})
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
