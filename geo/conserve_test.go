package geo

import (
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/paulmach/orb"
)

// Acres that leak out of an outline are found on every run, whatever lost them.
func TestLeaksAreFound(t *testing.T) {
	s := picture(
		"#####.##",
		"#...#.##",
		"#.#.#...",
		"#...#...",
		"#####...")
	m := mesh(t, s)
	left := m.boundary(nil)
	g := newGraph(m, left.edges)
	sums := sumRings(m, nil)
	find := func() []face {
		faces, flaw := g.faces()
		if flaw != nil {
			t.Fatal(flaw)
		}
		return faces
	}
	if err := checkConserved(m, g, find(), sums, left); err != nil {
		t.Fatalf("sound: %v", err)
	}
	for _, c := range []struct {
		name string
		leak func(faces []face) []face
	}{
		{"a piece is lost", func(f []face) []face { return f[1:] }},
		{"a piece stands twice", func(f []face) []face { return append(f, f[0]) }},
		{"a hole is lost", func(f []face) []face { return each(f, func(l *face) { l.holes = nil }) }},
		{"a hole is taken for an island", func(f []face) []face {
			return each(f, func(l *face) {
				for _, h := range l.holes {
					h.nodes[0], h.nodes[2] = h.nodes[2], h.nodes[0]
				}
			})
		}},
		{"a corner is cut", func(f []face) []face { return each(f, func(l *face) { l.shell.nodes = l.shell.nodes[1:] }) }},
	} {
		var bad *topologyError
		if err := checkConserved(m, g, c.leak(find()), sums, left); !errors.As(err, &bad) || !strings.Contains(bad.Why, "acres are not those of the rings") {
			t.Errorf("%s: got %v", c.name, err)
		}
	}
	// Outline itself looks: a vertex that changes behind its back.
	m.vertex[2] = m.vertex[0]
	var bad *topologyError
	if o, err := m.Outline(nil); !errors.As(err, &bad) {
		t.Errorf("got %v, %v", o, err)
	}
}

func each(faces []face, change func(*face)) []face {
	for i := range faces {
		change(&faces[i])
	}
	return faces
}

// A neck that is wider than the tolerance holds two halves together; a narrower one
// is none, and the halves touch.
//
//	+--+  +--+
//	|  +--+  |
//	|  +--+  |
//	+--+  +--+
func TestNecks(t *testing.T) {
	for _, c := range []struct {
		width  float64 // meters
		pieces int
	}{{10, 1}, {0.5, 1}, {0.01, 1}, {0.002, 2}, {0, 2}} {
		t.Run(fmt.Sprint(c.width), func(t *testing.T) {
			low, high := 50-c.width/2, 50+c.width/2
			s := &Shapes{}
			s.Append(orb.MultiPolygon{{ring(0, 0, 100, 0, 100, low, 150, low, 150, 0, 250, 0, 250, 100, 150, 100, 150, high, 100, high, 100, 100, 0, 100)}})
			opt := drawnLayer(t, s)
			o := outlineWith(t, s, opt)
			if err := sane(opt.LonLat, o); err != nil || len(o.Polygons) != c.pieces || o.Method != byEdges {
				t.Errorf("%d pieces by %s, want %d: %v", len(o.Polygons), o.Method, c.pieces, err)
			}
		})
	}
}
