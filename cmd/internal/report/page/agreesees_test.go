package page

import (
	"regexp"
	"strings"
	"testing"

	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/rx"
)

// edit is a page that was changed in one place.
type edit struct{ what, page string }

// unchecked are the tables that have no counterpart but the input itself.
var unchecked = regexp.MustCompile(`^(Files that were read|Rules that looked|Liquids)`)

// edits changes a page in each table, a few rows of each: a row is dropped, two cells change
// places, a digit is another.
func edits(page string, rowsOfEach int) (list []edit) {
	for _, m := range tableOf.FindAllStringSubmatchIndex(page, -1) {
		inner := page[m[2]:m[3]]
		name := ""
		if c := captionOf.FindStringSubmatch(inner); c != nil {
			name = plainText(c[1])
		}
		if unchecked.MatchString(name) {
			continue
		}
		with := func(inner string) string { return page[:m[2]] + inner + page[m[3]:] }
		rows := strings.Split(inner, "<tr")
		for k := 2; k < len(rows); k += max(1, (len(rows)-2)/rowsOfEach) {
			row := rows[k]
			other := func(text string) string {
				changed := append([]string(nil), rows...)
				changed[k] = text
				return with(strings.Join(changed, "<tr"))
			}
			end := ""
			if at := strings.Index(row, "</tbody>"); at >= 0 {
				end = row[at:]
			}
			dropped := append(append([]string(nil), rows[:k]...), rows[k+1:]...)
			dropped[k-1] += end
			list = append(list, edit{name + ": a row dropped", with(strings.Join(dropped, "<tr"))})
			if text, ok := swapped(row); ok {
				list = append(list, edit{name + ": two cells swapped", other(text)})
			}
			if text, ok := redigited(row); ok {
				list = append(list, edit{name + ": another digit", other(text)})
			}
		}
	}
	return list
}

var cellText = regexp.MustCompile(`(<t[hd][^>]*>)([^<]*\d[^<]*)`)

// swapped exchanges the texts of the first two cells of a row that differ and hold digits.
func swapped(row string) (string, bool) {
	cells := cellText.FindAllStringSubmatchIndex(row, -1)
	for i := 1; i < len(cells); i++ {
		a, b := cells[i-1], cells[i]
		x, y := row[a[4]:a[5]], row[b[4]:b[5]]
		if strings.TrimSpace(x) != strings.TrimSpace(y) {
			return row[:a[4]] + y + row[a[5]:b[4]] + x + row[b[5]:], true
		}
	}
	return "", false
}

// redigited changes the first digit of the last cell that holds one.
func redigited(row string) (string, bool) {
	cells := cellText.FindAllStringSubmatchIndex(row, -1)
	if len(cells) == 0 {
		return "", false
	}
	c := cells[len(cells)-1]
	at := c[4] + strings.IndexAny(row[c[4]:c[5]], "0123456789")
	return row[:at] + string('0'+(row[at]-'0'+4)%10) + row[at+1:], true
}

// TestAgreementSees: whatever is changed on a page is found.
func TestAgreementSees(t *testing.T) {
	few, ways := 2, []rx.WayName{"", rx.Refit, rx.Loads}
	if testing.Short() {
		few, ways = 1, ways[2:]
	}
	for _, way := range ways {
		r := reporttest.Plan(t, reporttest.Contours(t), way)
		a, page := agreementOf(t, r), string(pageOf(t, r))
		list := edits(page, few)
		for _, place := range []struct{ what, pattern string }{
			{"the chart of stabilizer", `(?s)<figure class="chart" id="chart-stabilizer">.*?</figure>`},
			{"the chart of dry rates", `(?s)<figure class="chart" id="chart-dry">.*?</figure>`},
			{"the chart of ways", `(?s)<figure class="chart" id="chart-ways">.*?</figure>`},
			{"a legend", `(?s)<div class="legend" data-view="map-verdict".*?</div>`},
			{"a bar", `(?s)<h2 class="bar-title">.*?</dl>`},
			{"the table of zones", `(?s)<table id="zones-table">.*?</table>`},
			{"the data of the explorer", `"area":\[[\d.]+,`},
		} {
			at := regexp.MustCompile(place.pattern).FindStringIndex(page)
			if at == nil {
				t.Fatalf("way %q: no %s", way, place.what)
			}
			list = append(list, edit{place.what + " gone", page[:at[0]] + page[at[1]:]})
		}
		if way == rx.Loads {
			dose := regexp.MustCompile(`<p class="dose"><span>[^<]*</span> <b>\d`).FindStringIndex(page)
			list = append(list, edit{"a dose", page[:dose[1]-1] + "7" + page[dose[1]:]})
		}
		missed := 0
		for _, e := range list {
			if e.page != page && len(a.check(e.page)) == 0 {
				t.Errorf("way %q: unseen: %s", way, e.what)
				if missed++; missed > 10 {
					break
				}
			}
		}
		t.Logf("way %q: %d changes", way, len(list))
		if len(list) < 60 {
			t.Errorf("way %q: only %d changes", way, len(list))
		}
	}
}
