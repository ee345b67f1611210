package page

import (
	"bytes"
	"fmt"
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/cmd/internal/report/text"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/sheet"
	"rxsplit/rx/split"
	"rxsplit/rx/write"
)

// numbers are those of a sentence, as they are printed.
var numbers = regexp.MustCompile(`\d[\d,.]*\d|\d`)

// costs are those of the sentence of a way.
var costs = regexp.MustCompile(`, \$[\d,.]+\d( to \$[\d,.]+\d)?( without what is not priced)?`)

// plainly is a text as it is read, whatever its line ends and tags.
func plainly(s string) string {
	return strings.Join(strings.Fields(html.UnescapeString(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(s, " "))), " ")
}

// The decision has the same figures wherever it stands: in the terminal, in JSON, on the
// page and, all but its cost, on each sheet, in either system of units. No card has a price.
func TestDecisionIsTheSameEverywhere(t *testing.T) {
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads, rx.Base, rx.Refit} {
		for _, s := range []unit.System{unit.US, unit.Metric} {
			r := reporttest.Plan(t, reporttest.Contours(t), "")
			r.Units, r.Assessment.Terms.Units = s, s
			want, places, titles := report.DecisionText(r), map[string]string{}, map[string]bool{}
			var printed bytes.Buffer
			if way == "" {
				places["JSON"] = figuresOf(t, r)["decision.text"].(string)
				if err := text.Brief(&printed, r); err != nil {
					t.Fatal(err)
				}
			} else {
				plan, err := split.For(r.Prescription, r.Assessment, nil).Plan(way)
				if err != nil {
					t.Fatal(err)
				}
				r.Plan, r.Sheets = plan, sheet.For(r.Prescription, r.Assessment, plan)
				want = report.WayText(r)
				if err := text.Plan(&printed, r, "plan", &write.Manifest{}); err != nil {
					t.Fatal(err)
				}
				for _, one := range r.Sheets {
					var b bytes.Buffer
					if err := text.Sheets(&b, []rx.Sheet{one}); err != nil {
						t.Fatal(err)
					}
					places[one.Title], titles[one.Title] = b.String(), true
					if one.Card != nil && strings.Contains(b.String(), "$") {
						t.Errorf("%s, %s: %s has a price", way, s, one.Title)
					}
				}
			}
			places["terminal"], places["page"] = printed.String(), string(pageOf(t, r))
			if len(numbers.FindAllString(want, -1)) < 3 {
				t.Errorf("%s: %q has no figures", way, want)
			}
			for place, got := range places {
				want := want
				if titles[place] { // who works by it doesn't decide by what it costs
					want = costs.ReplaceAllString(want, "")
				}
				if got = plainly(got); !strings.Contains(got, want) {
					t.Errorf("%s, %s: %s does not say %q", way, s, place, want)
				}
			}
			checkDecided(t, r, want)
		}
	}
}

// checkDecided holds the figures of a decision against those that JSON has with all digits.
func checkDecided(t *testing.T, r report.Result, said string) {
	t.Helper()
	all := figuresOf(t, r)
	want := map[string]string{}
	if r.Plan == nil {
		for _, key := range []string{"decision.off_label_area", "area.treated", "area.below", "area.above"} {
			want[key] = "%.2f"
		}
	} else {
		want["summary.rate_min"], want["summary.cost.high"] = "%.1f", "%.2f"
		if r.Units == unit.Metric {
			want["summary.rate_min"] = "%.0f"
		}
		if !r.Plan.Way.KeepsRates() {
			want["summary.dry_added"], want["summary.dry_removed"] = "%.0f", "%.0f"
		}
		if r.Plan.Way.Undeliverable > 0 {
			want["summary.undeliverable_area"] = "%.2f"
		}
	}
	list := numbers.FindAllString(strings.ReplaceAll(said, ",", ""), -1)
	for key, format := range want {
		text := fmt.Sprintf(format, all[key])
		if format == "%.1f" {
			text = strings.TrimSuffix(text, ".0") // a sentence has no idle zero
		}
		if !slices.Contains(list, text) {
			t.Errorf("%s is %s, which %q does not say", key, text, said)
		}
	}
}
