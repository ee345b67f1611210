package text

import (
	"fmt"
	"io"
	"strings"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/figures"
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
	var rows [][]string
	for _, d := range one.Readings {
		row := []string{fmt.Sprint(d.Rep)}
		for _, m := range d.Means() {
			row = append(row, valueText(r, one, m.Value))
		}
		if one.What == readout.Stalk {
			row = append(row, figures.Fixed(readout.Ratio(d.Difference), 2))
		} else {
			row = append(row, report.Signed(one.What, d.Difference))
		}
		rows = append(rows, row)
	}
	last := "difference"
	if one.What == readout.Stalk {
		last = "ratio"
	}
	p.table("  ", []column{{"replicate, " + r.UnitOf(one.What), true}, {"untreated", false}, {"treated", false}, {"treated", false}, {last, false}}, rows)
	p.f("\n")
	readoutFigures(p, r, one)
	for _, remark := range report.ReadoutRemarks(r, one) {
		p.wrapped("", "  ", remark)
	}
}

func valueText(r report.Readout, one readout.Result, v float64) string {
	switch one.What {
	case readout.Stalk:
		return figures.Fixed(v, 0) + " " + r.Limits.Class(v)
	case readout.Index:
		return figures.Fixed(v, 4)
	}
	return figures.Fixed(v, 2)
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
	without := e.LeaveOneOut()
	p.wrapped("  ", "    ", fmt.Sprintf("Without any one replicate the mean lies from %s to %s.", report.Signed(one.What, without.Low), report.Signed(one.What, without.High)))
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
	var rows [][]string
	for _, f := range r.Fields {
		rows = append(rows, []string{f.Name, fmt.Sprint(len(f.Estimate.Differences)), report.Signed(readout.Yield, f.Estimate.Mean), report.Between(readout.Yield, f.Estimate.Interval), f.Estimate.Verdict(0).String()})
	}
	p.table("  ", []column{{"field, " + r.Unit, true}, {"replicates", false}, {"difference", false}, {"interval", false}, {"treated yields", false}}, rows)
}
