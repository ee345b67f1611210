package read

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo/taskdata"
	"rxsplit/geo/track"
	"rxsplit/rx"
)

// A map names the product or the element that a log of task data is of: all parts of it are one log,
// and what is of several elements, of another kind or of no width is told.
func TestTracksThatAMapMeans(t *testing.T) {
	of := func(product, element string, amount track.Amount, width float64, rows int) taskdata.Track {
		l := &track.Log{Amount: amount, Width: width}
		for i := range rows {
			l.Rows = append(l.Rows, track.NewRow(orb.Point{-93, 42}, int32(i)))
		}
		if rows > 2 {
			l.Dropped = append(l.Dropped, track.Dropped{Why: "no-place", Count: rows})
		}
		return taskdata.Track{Product: product, Element: element, Log: l}
	}
	dry, more := of("Dry", "DET-3", track.Mass, 20, 3), of("Dry", "DET-3", track.Mass, 20, 4)
	mix := of("Mix", "DET-4", track.Volume, 20, 2)
	for _, c := range []struct {
		tracks       []taskdata.Track
		rate, unit   string
		more         string
		rows, groups int
		why          string
	}{
		{[]taskdata.Track{dry, mix, more}, "dry", "lb/ac", "", 7, 2, ""}, {[]taskdata.Track{dry, mix}, "det-4", "gal/ac", "", 2, 0, ""}, {[]taskdata.Track{dry, mix}, "Mix", "gal/ac", "", 2, 0, ""},
		{[]taskdata.Track{dry, of("Dry", "DET-5", track.Mass, 20, 1)}, "Dry", "lb/ac", "", 0, 0, "Dry is applied by DET-3 and by DET-5"},
		{[]taskdata.Track{dry, mix}, "Dry", "gal/ac", "", 0, 0, "Dry is counted in"},
		{[]taskdata.Track{dry, mix}, "Seed", "lb/ac", "", 0, 0, "has no log of Seed"},
		{[]taskdata.Track{dry}, "Dry", "lb/ac", "columns: {rate: Dry, time: T}\ntime-form: iso\n", 0, 0, "says itself what its values are"},
		{[]taskdata.Track{of("Dry", "DET-3", track.Mass, 20, 0)}, "Dry", "lb/ac", "", 0, 0, "has no record with a place"},
		{[]taskdata.Track{of("Dry", "DET-3", track.Mass, 0, 2)}, "Dry", "lb/ac", "", 2, 0, ""}, // the map's width
	} {
		for i := range c.tracks { // what is joined is changed
			log := *c.tracks[i].Log
			c.tracks[i].Log = &log
		}
		columns := c.more
		if columns == "" {
			columns = "columns: {rate: " + c.rate + "}\n"
		}
		m, err := ParseLogMap("map.yaml", []byte(columns+"width: 70 ft\nrate-unit: "+c.unit+"\n"))
		if err != nil {
			t.Fatal(err)
		}
		logs := &taskLogs{rx.Source{Name: "stick"}, c.tracks}
		got, err := logs.log(m)
		if c.why != "" {
			if err == nil || !strings.Contains(err.Error(), c.why) || !strings.HasPrefix(err.Error(), "stick: ") {
				t.Errorf("%v, want %s", err, c.why)
			}
			continue
		}
		if err != nil || len(got.Log.Rows) != c.rows || len(got.Log.Dropped) != c.groups || got.Log.Name != "stick" || !(got.Log.Width > 0) {
			t.Errorf("%s: %+v, %v, want %d rows", c.rate, got, err, c.rows)
		}
	}
	named := fmt.Sprint((&taskLogs{tracks: []taskdata.Track{dry, mix, more, of("", "DET-9", track.Mass, 1, 1), of("", "", track.Mass, 1, 1)}}).names())
	if named != "[Dry Mix DET-9 rate]" {
		t.Error(named)
	}
}

// What stands twice is told, and a share without its whole.
func TestHoldsRefused(t *testing.T) {
	for holds, want := range map[string]string{
		"[{liquid: a, part: 2 %}, {liquid: a, part: 3 %}]": "a stands twice",
		"[{liquid: a, part: 30 fl oz/ac in gal/ac}]":       "want the rate of the whole behind in",
		"[{liquid: a, part: some in 10 gal/ac}]":           "some",
		"[{liquid: a, part: 100.1 %}]":                     "is more than all of it",
		"[{liquid: a, part: 0 %}]":                         "is not above 0",
	} {
		if _, err := ParseLogMap("m", []byte("columns: {rate: R}\nwidth: 20 m\nrate-unit: gal/ac\nof: mix\nholds: "+holds+"\n")); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: %v, want %s", holds, err, want)
		}
	}
	m, err := ParseLogMap("m", []byte("columns: {rate: R}\nwidth: 20 m\nrate-unit: gal/ac\nof: mix\nholds: [{liquid: a, part: 100 %}, {liquid: b, part: 1 gal/ac in 4 gal/ac}]\n"))
	if err != nil || m.Holds[0].Each() != 1 || m.Holds[1].Each() != 0.25 {
		t.Errorf("%v %v", m, err)
	}
	for text, want := range map[string]int{"rate-unit: gal/ac\n": 1, "rate-unit: gal/ac\nof: mix\n": 0, "rate-unit: lb/ac\n": 0} {
		m, err := ParseLogMap("m", []byte("columns: {rate: R}\nwidth: 20 m\n"+text))
		if err != nil || len(m.Holds) != want || want == 1 && (m.Holds[0].Liquid != "stabilizer" || m.Holds[0].Each() != 1) {
			t.Errorf("%s%+v %v", text, m.Holds, err)
		}
	}
}

// What a map says of the machine stands, where the log does not say it or may be wrong: the boom
// behind or ahead of the antenna, the delay in seconds, which ground a record is of.
func TestMapsCompleteLogs(t *testing.T) {
	const foot = 0.3048
	for text, want := range map[string]track.Log{
		"":                                 {Width: 70 * foot, Back: 1},
		"back: 10 ft\n":                    {Width: 70 * foot, Back: 10 * foot},
		"front: 10 ft\n":                   {Width: 70 * foot, Back: -10 * foot},
		"back: 10 ft\nfront: 4 ft\n":       {Width: 70 * foot, Back: 6 * foot},
		"delay: 1.5 s\n":                   {Width: 70 * foot, Back: 1, Delay: 1.5},
		"record: leading\n":                {Width: 70 * foot, Back: 1, Records: track.Leading},
		"record: trailing\ndelay: 1 min\n": {Width: 70 * foot, Back: 1, Delay: 60},
	} {
		m, err := ParseLogMap("map.yaml", []byte("columns: {rate: R}\nrate-unit: lb/ac\nwidth: 70 ft\n"+text))
		if err != nil {
			t.Fatal(err)
		}
		got := track.Log{Back: 1}
		m.complete(&got)
		if math.Abs(got.Width-want.Width) > 1e-9 || math.Abs(got.Back-want.Back) > 1e-9 || math.Abs(got.Delay-want.Delay) > 1e-9 || got.Records != want.Records {
			t.Errorf("%s%+v, want %+v", text, got, want)
		}
		own := track.Log{Width: 12}
		if m.complete(&own); own.Width != 12 {
			t.Errorf("the log's own width becomes %v", own.Width)
		}
	}
}
