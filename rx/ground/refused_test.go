package ground

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/geo/track"
	"rxsplit/label/unit"
)

// refusedOnce is a context that says once, when it is asked for the at-th time, that work is to end.
type refusedOnce struct {
	context.Context
	at int
	n  *int
}

func (c refusedOnce) Err() error {
	if *c.n++; *c.n == c.at {
		return context.Canceled
	}
	return nil
}

// Whichever part of the work is canceled, all of it ends with that error.
func TestCanceledInAnyPart(t *testing.T) {
	field := func() *Field {
		f := meshed(t, planned([]orb.Polygon{rectangle(0, 0, 100, 60), rectangle(0, 60, 100, 120)}, 130, 200))
		f.Prescription.LonLat = &geo.Shapes{}
		f.Prescription.LonLat.Append(orb.MultiPolygon{rectangle(-93, 42, -92.998, 42.004)})
		return f
	}
	course := tenMeters
	course.Dead, course.Ramp, course.Laps, course.Sections = unit.Second, unit.Second, 1, 2
	look := func(f *Field, c Course, o Options) (*Result, error) {
		d, err := f.Passes(0, c)
		if err != nil {
			return nil, err
		}
		return f.Look([]*Drive{d}, o)
	}
	for name, do := range map[string]func(o Options) error{
		"best look-ahead": func(o Options) error { _, err := field().BestAhead(0, course, o); return err },
		"tables":          func(o Options) error { _, err := look(field(), course, o); return err },
		"strips":          func(o Options) error { _, err := look(sprayedBut(), tenMeters, o); return err },
		"layers": func(o Options) error {
			r, err := look(sprayedBut(), tenMeters, o)
			if err == nil {
				_, err = r.Drawn(o)
			}
			return err
		},
	} {
		try := func(at int) (asked int, err error) {
			err = do(Options{Context: refusedOnce{t.Context(), at, &asked}})
			return asked, err
		}
		all, err := try(0)
		if err != nil || all < 2 {
			t.Fatalf("%s: asked %d times, %v", name, all, err)
		}
		for at := 1; at <= all; at += max(all/12, 1) {
			if _, err := try(at); !errors.Is(err, context.Canceled) {
				t.Errorf("%s: canceled at %d of %d: %v", name, at, all, err)
			}
		}
	}
}

// What can't be laid over a field is refused in these words, and so is what to do.
func TestWhatCannotBeLaid(t *testing.T) {
	logged := func(change func(*Drive)) error {
		f := sprayedBut()
		d := loggedNorth(t, f, 100, 300)
		change(d)
		_, err := f.Look([]*Drive{d}, Options{})
		return err
	}
	already := func(change func(*Drive)) error {
		f := sprayedBut()
		d := loggedNorth(t, f, 100, 300)
		change(d)
		_, err := AlreadyDriven(f.Prescription, d)
		return err
	}
	for _, c := range []struct {
		what, says, hint string
		err              error
	}{
		{"of dry product", "boom: its rates are of dry product, and layer liquid is liquid", "name the layer that the log is of in its map, and the unit of its rates", logged(func(d *Drive) { d.Log.Amount = track.Mass })},
		{"of a mix", "boom: its rates are of the mix, and the plan does not know how much of that is product", "give the boom in the job file, or a log of the product", logged(func(d *Drive) { d.Mix = true })},
		{"too wide", "boom: it works 201 m wide, and no machine is wider than 200 m", "compare the unit of the width in the map, width-unit", logged(func(d *Drive) { d.Log.Width = 201 })},
		{"too wide once", "boom: it works 201 m wide, and no machine is wider than 200 m", "compare the unit of the width in the map, width-unit", already(func(d *Drive) { d.Log.Width = 201 })},
		{"elsewhere", "lies nowhere on this field", "compare its places with the field's", already(func(d *Drive) {
			for i := range d.Log.Rows {
				d.Log.Rows[i].At[1] += 0.1
			}
		})},
		{"nothing on", "none of its rows lays anything: compare the columns that its map names, and the form of the time", "lay it over its own plan, which tells more: rxsplit applied", already(func(d *Drive) {
			for i := range d.Log.Rows {
				d.Log.Rows[i].Open = 0
			}
		})},
		{"too narrow a machine", "the field is more than 20 000 passes across", "compare the units of the machine's width", func() error {
			c := tenMeters
			c.Width = unit.Meter / 150
			_, err := sprayedBut().Passes(0, c)
			return err
		}()},
	} {
		var e *Error
		if !errors.As(c.err, &e) || e.What != c.says || e.Hint != c.hint || fmt.Sprint(c.err) != c.says {
			t.Errorf("%s: %v, %+v, want %q, %q", c.what, c.err, e, c.says, c.hint)
		}
	}
	at := tenMeters // the ends themselves are taken
	at.Width = 200 * unit.Meter / mostPasses
	if _, err := sprayedBut().Passes(0, at); err == nil || !strings.Contains(err.Error(), "change on every step") { // not that they are too many
		t.Errorf("%d passes: %v", mostPasses, err)
	}
	if err := logged(func(d *Drive) { d.Log.Width = 200 }); err != nil {
		t.Errorf("200 m wide: %v", err)
	}
	f := sprayedBut()
	where := &geo.Shapes{}
	where.Append(orb.MultiPolygon{rectangle(-93, 42, -92.998, 42.004)})
	where.Points[2][1] = 95
	if _, err := Already(f.Prescription, where, []unit.LiquidRate{1}); err == nil {
		t.Error("a layer beyond the pole is taken")
	} else if got, want := err.Error(), "a place lies too far from the field: point 2: -92.998 95: out of the range of transverse Mercator about the field"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
}
