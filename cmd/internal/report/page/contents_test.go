package page

import (
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/rx"
	"rxsplit/rx/record"
)

// The contents name each part of the page that has a heading, and no other, in their order.
func TestContentsAreTheHeadings(t *testing.T) {
	headings := regexp.MustCompile(`<h2 id="([^"]*)"|<section class="sheet[^"]*" id="([^"]*)"`)
	for _, way := range []rx.WayName{"", rx.WetBoom, rx.Loads} {
		page := pageOf(t, reporttest.Plan(t, reporttest.Contours(t), way))
		from := bytes.Index(page, []byte("<nav"))
		contents, rest, _ := bytes.Cut(page[from:], []byte("</nav>"))
		var linked, there []string
		for _, m := range regexp.MustCompile(`href="#([^"]*)"`).FindAllSubmatch(contents, -1) {
			linked = append(linked, string(m[1]))
		}
		for _, m := range headings.FindAllSubmatch(rest, -1) {
			there = append(there, strings.TrimSuffix(string(m[1])+string(m[2]), "-t"))
		}
		there = slices.Compact(there)                                                                    // a sheet and its heading
		there = slices.DeleteFunc(there, func(id string) bool { return id == "glance" || id == "maps" }) // at the top
		if len(there) < 5 {
			t.Fatalf("way %q: %d headings", way, len(there))
		}
		if !slices.Equal(linked, there) {
			t.Errorf("way %q: the contents lead to %q, and the page has %q", way, linked, there)
		}
	}
}

// A record of a field without a name has a title, too. What is missing comes first, and each part has its heading.
func TestRecordHasATitle(t *testing.T) {
	rows := []record.Row{{What: "known row", Value: "7", From: "plan"}, {What: "missing row", Where: "by hand", Asked: []string{"a rule", "b"}}}
	for n, want := range []string{"known origin cautions", "known origin cautions", "missing known origin cautions"} {
		var page bytes.Buffer
		if err := Record(&page, report.Record{Record: record.Record{Rows: rows[:n]}}); err != nil {
			t.Fatal(err)
		}
		var parts []string
		for _, m := range regexp.MustCompile(`<section aria-labelledby="([^"]*)">\s*<h2 id="([^"]*)"`).FindAllSubmatch(page.Bytes(), -1) {
			if parts = append(parts, string(m[1])); string(m[2]) != string(m[1]) {
				t.Errorf("%q is labeled by %q", m[2], m[1])
			}
		}
		if got := strings.Join(parts, " "); got != want {
			t.Errorf("%d rows: %q, want %q", n, got, want)
		}
	}
	for field, want := range map[string]string{"": "<h1>Record of the application</h1>", "North field (invented)": "<h1>North field (invented)</h1>"} {
		var page bytes.Buffer
		if err := Record(&page, report.Record{Field: field}); err != nil || !bytes.Contains(page.Bytes(), []byte(want)) {
			t.Errorf("%q: %v, want %s in %.800s", field, err, want, &page)
		}
	}
}

// Ways that can be taken are named, in their order.
func TestPossibleWays(t *testing.T) {
	ways := []rx.Way{{Name: rx.Loads, State: rx.Ready}, {Name: rx.Base, State: rx.Impossible}, {Name: rx.WetBoom, State: rx.Conditional}}
	for _, c := range []struct {
		ways []rx.Way
		want string
	}{{ways, "loads, wet boom"}, {ways[1:2], ""}, {nil, ""}} {
		if got := possible(c.ways); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}
