package text

import (
	"fmt"
	"io"

	"rxsplit/label/unit"
	"rxsplit/rx/equip"
)

// PanTests tells how even the pan tests of a job's spreader are; nothing where there
// are none.
func PanTests(w io.Writer, j *equip.Job, s unit.System) error {
	if j.Spreader == nil || len(j.Spreader.PanTests) == 0 {
		return nil
	}
	p := &printer{w: w}
	p.f("\nThe spreader's pattern, by its pan tests:\n\n")
	for i, test := range j.Spreader.PanTests {
		head := fmt.Sprintf("%d", i+1)
		if rate, ok := test.Rate.Get(); ok {
			head += ", " + rate.Brief(s)
		}
		p.wrapped("  ", "     ", head+": "+test.Tell(j.Spreader.Swath, s)+".")
	}
	p.f("\n")
	p.wrapped("", "", fmt.Sprintf("CV under %s is satisfactory, over %s poor (%s).", equip.SatisfactoryCV.Brief(s), equip.PoorCV.Brief(s), equip.SourceCV))
	return p.err
}
