package geo

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/paulmach/orb"
)

// What no mesh is made of is refused with the numbers that don't fit.
func TestNoMesh(t *testing.T) {
	square := func(ring orb.Ring) *Shapes {
		s := &Shapes{}
		s.Append(orb.MultiPolygon{{box(0, 0, 1, 1)}})
		s.Append(orb.MultiPolygon{{ring}})
		return s
	}
	whole := square(box(2, 0, 3, 1))
	for _, c := range []struct {
		s    *Shapes
		opt  MeshOptions
		want string
	}{
		{whole, MeshOptions{Scale: Scale{1, 1}}, "<nil>"},
		{whole, MeshOptions{Scale: Scale{1, 1}, LonLat: &Shapes{Points: make([]orb.Point, 9)}}, "10 points drawn but 9 in lon/lat"},
		{whole, MeshOptions{Scale: Scale{0, 1}}, "scale 0, 1 and tolerance 0 ft are no lengths"},
		{whole, MeshOptions{Scale: Scale{1, -1}}, "scale 1, -1 and tolerance 0 ft are no lengths"},
		{whole, MeshOptions{Scale: Scale{1, 2}, Tolerance: -1}, "scale 1, 2 and tolerance -1 ft are no lengths"},
		{square(box(2, 0, 3, 1)[:4]), MeshOptions{Scale: Scale{1, 1}}, "record 2: a ring is open or has a coordinate that is not finite"},
		{square(ring(2, 0, 3, 0, math.Inf(1), 1)), MeshOptions{Scale: Scale{1, 1}}, "record 2: a ring is open or has a coordinate that is not finite"},
	} {
		if _, err := NewMesh(c.s, c.opt); fmt.Sprint(err) != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// A place that can't be brought to lon/lat is the error of whatever asked for it, whichever of them it is.
func TestPlacesThatHaveNoLonLat(t *testing.T) {
	lost := errors.New("lost on the way")
	two := func(second orb.Ring) *Shapes {
		s := &Shapes{}
		s.Append(orb.MultiPolygon{{box(0, 0, 100, 100)}})
		s.Append(orb.MultiPolygon{{second}})
		return s
	}
	for name, c := range map[string]struct {
		s  *Shapes
		do func(m *Mesh) error
	}{
		"overlaps": {two(box(50, 50, 150, 150)), func(m *Mesh) error { _, _, _, err := m.Overlaps(9); return err }},
		"outline":  {two(box(50, 50, 150, 150)), func(m *Mesh) error { _, err := m.Outline(nil); return err }},
		"parts":    {two(box(50, 50, 150, 150)), func(m *Mesh) error { _, err := m.Connected([]int32{0, 1}); return err }},
		"bow tie":  {two(ring(50, 50, 150, 150, 150, 60, 50, 130)), func(m *Mesh) error { _, err := m.Outline(nil); return err }},
	} {
		try := func(at int) (calls int, err error) {
			opt := drawnLayer(t, c.s)
			honest := opt.ToLonLat
			opt.ToLonLat = func(dst, src []orb.Point) error {
				if calls++; calls == at {
					return lost
				}
				return honest(dst, src)
			}
			m, err := NewMesh(c.s, opt)
			if err != nil {
				t.Fatal(err)
			}
			err = c.do(m)
			return calls, err
		}
		calls, _ := try(0)
		if calls == 0 {
			t.Errorf("%s: nothing is asked", name)
		}
		for at := 1; at <= calls; at++ {
			if _, err := try(at); !errors.Is(err, lost) {
				t.Errorf("%s: call %d of %d: %v", name, at, calls, err)
			}
		}
	}
}
