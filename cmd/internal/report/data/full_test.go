package data

import (
	"bytes"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/cmd/internal/report"
	"rxsplit/cmd/internal/report/reporttest"
	"rxsplit/geo/invent"
	"rxsplit/label/unit"
	"rxsplit/rx"
	"rxsplit/rx/ground"
	"rxsplit/rx/write"
)

var errFull = errors.New("the disk is full")

// room is a writer that fails once so many bytes are written.
type room int

func (r *room) Write(p []byte) (int, error) {
	if len(p) > int(*r) {
		n := int(*r)
		*r = 0
		return n, errFull
	}
	*r -= room(len(p))
	return len(p), nil
}

// A disk that is full, from the first byte on or at the last, is told of, and so is a figure that
// no document can hold.
func TestFullDisksAreTold(t *testing.T) {
	plan := reporttest.Plan(t, invent.FourZones(), rx.Loads)
	wrong := plan
	wrong.Assessment = new(*plan.Assessment)
	wrong.Assessment.Loading = unit.Loading(math.NaN())
	spots := func(area unit.Area) report.Ground {
		return report.Ground{Result: &ground.Result{Spots: []ground.Spot{{What: "twice", Of: "dry", Area: area, Place: orb.Point{-90, 47}}, {What: "bare", Of: "dry", Area: 1}}}}
	}
	for what, print := range map[string]func(io.Writer) error{
		"check": func(w io.Writer) error { return Check(w, plan) }, "zones": func(w io.Writer) error { return ZonesCSV(w, plan) }, "KML": func(w io.Writer) error { return KML(w, plan, 0) },
		"manifest": func(w io.Writer) error { return Manifest(w, &write.Manifest{}) }, "approval": func(w io.Writer) error { return Approval(w, rx.Approval{By: "A. Nobody (invented)"}) }, "day": func(w io.Writer) error { return Day(w, report.Day{}) },
		"spots": func(w io.Writer) error { return Spots(w, spots(2)) }, "strips": func(w io.Writer) error { return StripsGeoJSON(w, &rx.Strips{}) }, "record": func(w io.Writer) error { return Record(w, report.Record{}) },
	} {
		var all bytes.Buffer
		if err := print(&all); err != nil {
			t.Errorf("%s: %v", what, err)
		}
		for _, most := range []int{0, 1, all.Len() - 1} {
			left := room(most)
			if err := print(&left); !errors.Is(err, errFull) {
				t.Errorf("%s: %d of %d bytes have room: %v", what, most, all.Len(), err)
			}
		}
		enough := room(all.Len())
		if err := print(&enough); err != nil {
			t.Errorf("%s: all bytes have room: %v", what, err)
		}
	}
	for what, print := range map[string]func(io.Writer) error{
		"check": func(w io.Writer) error { return Check(w, wrong) }, "spots": func(w io.Writer) error { return Spots(w, spots(unit.Area(math.Inf(1)))) },
	} {
		if err := print(io.Discard); err == nil {
			t.Errorf("%s: a figure that is none is printed", what)
		}
	}
}

// What strips say is read from a document of their form alone.
func TestOnlyWhatStripsSayIsRead(t *testing.T) {
	var b bytes.Buffer
	if err := Readout(&b, report.Readout{Unit: "bu/ac"}); err != nil {
		t.Fatal(err)
	}
	whole := b.String()
	if _, err := ParseReadout([]byte(whole)); err != nil {
		t.Fatalf("%v: %s", err, whole)
	}
	for what, text := range map[string]string{"nothing": "", "no object": "[]", "torn": whole[:len(whole)/2], "of another form": strings.Replace(whole, readoutSchema, readoutSchema+"0", 1), "of none": "{}"} {
		if f, err := ParseReadout([]byte(text)); err == nil || f != nil || err.Error() != "does not hold what strips say" {
			t.Errorf("%s: %v, %v", what, f, err)
		}
	}
}
