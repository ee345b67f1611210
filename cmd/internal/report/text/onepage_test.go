package text_test

import (
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/equip"
	"rxsplit/rx/rxtest"
	"rxsplit/rx/sheet"
	"rxsplit/rx/tell"
)

// However much a plan depends on, and however much was found, its release card is one page of 66
// lines, and counts what it has no room for.
func TestReleaseCardIsOnePageWhateverItDependsOn(t *testing.T) {
	yaml, err := os.ReadFile("../../app/demo/job.yaml")
	if err != nil {
		t.Fatal(err)
	}
	job, err := equip.ParseJob("job.yaml", yaml)
	if err != nil {
		t.Fatal(err)
	}
	terms := rxtest.Terms(rxtest.Profile(t, string(label.DemoYAML())))
	terms.Job = job
	r := reporttest.PlanFor(t, rxtest.Read(t, reporttest.Contours(t)), terms, rx.Refit)
	one := r.Plan.Way.Conditions
	if len(one) == 0 {
		t.Fatal("nothing to depend on")
	}
	seen := map[string]bool{}
	for _, n := range []int{1, 2, 4, 8, 40} {
		r.Plan.Way.Conditions = slices.Repeat(one, n)
		r.Plan.Findings = nil
		for range n {
			for _, f := range r.Findings {
				if !f.Concerns(rx.Work{Prescription: r.Prescription, Terms: r.Assessment.Terms, Plan: r.Plan}) {
					continue // what a plan is there to mend never stands on its card
				}
				f.Severity = rx.Warning
				f.Zones = append(slices.Clone(f.Zones), len(r.Plan.Findings)) // no two are equal
				r.Plan.Findings = append(r.Plan.Findings, f)
			}
		}
		longest := func(a, b rx.Finding) int { return len(tell.Text(b, unit.US)) - len(tell.Text(a, unit.US)) }
		slices.SortStableFunc(r.Plan.Findings, longest) // the first is told in any case
		card := sheet.Release(r.Prescription, r.Assessment, r.Plan, r.Ways, &rx.Approval{By: "A", License: "00", Note: strings.Repeat("noted ", 40), Plan: strings.Repeat("0", 64)})
		var b strings.Builder
		if err := text.Sheets(&b, []rx.Sheet{card}); err != nil {
			t.Fatal(err)
		}
		if lines := strings.Count(b.String(), "\n"); lines > 66 {
			t.Errorf("%d conditions: %d lines\n%s", len(r.Plan.Way.Conditions), lines, b.String())
		}
		told := strings.Count(b.String(), "Only if")
		more := ""
		if left := len(r.Plan.Way.Conditions) - told; left > 0 {
			more = fmt.Sprintf("before %d conditions are met, of which %d stand", told+left, told)
		}
		seen[more] = true
		if told == 0 || !strings.Contains(b.String(), more) || more == "" && strings.Contains(b.String(), "Not to be released") {
			t.Errorf("%d of %d conditions are told, and not %q:\n%s", told, len(r.Plan.Way.Conditions), more, b.String())
		}
	}
	if len(seen) < 3 {
		t.Errorf("told were only %v", seen)
	}
}
