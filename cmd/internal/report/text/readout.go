package text

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/rx/readout"
)

// Readout tells what untreated strips say.
func Readout(w io.Writer, r report.Readout) error {
	p := &printer{w: w}
	if r.Pooled != nil {
		together(p, r)
	}
	for i, one := range r.Results {
		if i > 0 {
			p.f("\n")
		}
		readoutOf(p, r, one)
	}
	p.f("\n")
	p.wrapped("", "", report.ReadoutCaution)
	return p.err
}

func readoutOf(p *printer, r report.Readout, one readout.Result) {
	p.wrapped("", "  ", report.ReadoutText(r, one))
	if said := report.ProfitText(r, one); said != "" {
		p.wrapped("", "  ", said)
	}
	p.f("\n")
	head, rows := r.Replicates(one)
	columns := []column{{"replicate, " + r.UnitOf(one.What), true}}
	for _, text := range head {
		columns = append(columns, column{text, false})
	}
	p.table("  ", columns, rows)
	p.f("\n")
	readoutFigures(p, r, one)
	for _, remark := range report.ReadoutRemarks(r, one) {
		p.wrapped("", "  ", remark)
	}
}

// readoutFigures prints the figures that stand behind the verdict.
func readoutFigures(p *printer, r report.Readout, one readout.Result) {
	e := one.Estimate
	show := func(what string, e readout.Estimate) {
		p.wrapped("  ", "    ", fmt.Sprintf("%s: mean %s, standard error %s, %s interval %s.", what, report.Signed(one.What, e.Mean), seText(one.What, e.SE), report.LevelText(e.Level), report.Between(one.What, e.Interval)))
	}
	if one.What == readout.Stalk {
		return
	}
	if one.Cleaned == nil {
		show("All points", e)
	} else {
		p.wrapped("  ", "    ", report.CleanText(one.Cleaned))
		show("Cleaned", e)
		if one.All != nil {
			show("All points", *one.All)
		}
	}
	p.wrapped("  ", "    ", report.WithoutOneText(one))
	if said := report.PowerText(r, one); said != "" {
		p.wrapped("  ", "    ", said)
	}
}

// seText prints a standard error, which has no sign.
func seText(what string, se float64) string {
	return strings.TrimPrefix(report.Signed(what, se), "+")
}

// together prints the fields and their mean.
func together(p *printer, r report.Readout) {
	for i, said := range report.PooledText(r) {
		p.wrapped("", "  ", said)
		if i == 0 {
			p.f("\n")
		}
	}
	p.f("\n")
	p.table("  ", []column{{"field, " + r.Unit, true}, {"replicates", false}, {"difference", false}, {"interval", false}, {"treated yields", false}}, r.Joined())
}
