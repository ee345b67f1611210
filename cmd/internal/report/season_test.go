package report

import (
	"strings"
	"testing"

	"rxsplit/rx/ground"
)

// What the tables head "season alone" is told beside the season's figure, where there is any.
func TestSeasonAlone(t *testing.T) {
	l := &ground.Liquid{Graded: true, Limit: 60, Grades: ground.Grades{Season: ground.Extent{Area: 2}}}
	l.Liquid.Name = "stabilizer"
	if got := (Ground{}).SeasonText(l); strings.Contains(got, "season alone") {
		t.Errorf("got %q", got)
	}
	l.Classes[ground.OverSeason].Area = 1.5
	if got := (Ground{}).SeasonText(l); !strings.HasSuffix(got, ": 2.00 ac got more, 1.50 ac of them inside the label's range in this pass (season alone).") {
		t.Errorf("got %q", got)
	}
}
