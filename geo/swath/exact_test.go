package swath

import (
	"bytes"
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"strings"
	"testing"

	"github.com/paulmach/orb"
	"github.com/peterstace/simplefeatures/geom"

	"rxsplit/geo"
	"rxsplit/geo/coverage"
	"rxsplit/internal/oracle"
)

var updateExact = flag.Bool("update-exact", false, "write testdata/exact.txt anew, from shapely")

// exactField is a field of 61 ac: slanted passes of seven sections, a headland lap, 3 cm of
// noise.
func exactField() *coverage.Ground {
	random := rand.New(rand.NewPCG(61, 3))
	f := newField(10.5)
	f.log.Sections = []float64{1.5, 1.5, 1.5, 1.5, 1.5, 1.5, 1.5}
	masks := []uint64{127, 0b1110111, 0b1011101, 0b1101101, 0b0110111}
	open := func(at orb.Point) (uint64, float64) {
		return masks[int(math.Abs(at[1])/7)%len(masks)], 20 + at[0]/50
	}
	pass := func(from, to orb.Point) {
		f.clock += 60
		n := int(distance(from, to) / 2)
		for i := range n + 1 {
			t := float64(i) / float64(n)
			f.row(orb.Point{
				from[0] + t*(to[0]-from[0]) + 0.03*random.NormFloat64(),
				from[1] + t*(to[1]-from[1]) + 0.03*random.NormFloat64(),
			}, open)
		}
	}
	for i := range 49 {
		x := 5 + float64(i)*10
		pass(orb.Point{x, 0}, orb.Point{x + 25, 500})
	}
	for _, side := range [][2]orb.Point{{{5, 5}, {495, 5}}, {{495, 5}, {495, 495}}, {{495, 495}, {5, 495}}, {{5, 495}, {5, 5}}} {
		pass(side[0], side[1])
	}
	return &coverage.Ground{
		Pieces: Lay(&f.log, f.places, Options{}).Pieces, Products: 1,
		Zones: shapes(box(0, 0, 500, 240), box(0, 240, 500, 500)), KeepOuts: shapes(box(201, 203, 241, 288)),
	}
}

// exactly is what a sweep says, by the names of the oracle.
func exactly(t testing.TB, g *coverage.Ground, o coverage.Options) map[string]coverage.Measure {
	t.Helper()
	const thrice = markCount
	inner := judge(0, 0, nil)
	o.Marks = markCount + 1
	o.Judge = func(s *coverage.State) coverage.Marks {
		m := inner(s)
		if s.Covers[0] > 2 {
			m |= 1 << thrice
		}
		return m
	}
	got, err := coverage.Sweep(g, o)
	if err != nil {
		t.Fatal(err)
	}
	return map[string]coverage.Measure{
		"covered": got.Marks[covered], "twice": got.Marks[twice], "thrice": got.Marks[thrice],
		"skipped": got.Marks[skipped], "outside": got.Marks[outside], "kept-out": got.Marks[keptOut],
	}
}

// Scan lines against the exact union: at the usual spacing each class is within a
// ten-thousandth of the field, and at none farther off than the estimate says. The figures are
// shapely's, see testdata/exact.py.
func TestAgainstTheExactUnion(t *testing.T) {
	g := exactField()
	text, err := os.ReadFile("testdata/exact.txt")
	if *updateExact {
		text = askShapely(t, g)
		err = os.WriteFile("testdata/exact.txt", text, 0o666)
	}
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range []float64{1, 0.5, 0.25, 0.1} {
		holdAgainst(t, text, exactly(t, g, coverage.Options{Spacing: h}), h)
	}
}

func holdAgainst(t *testing.T, text []byte, got map[string]coverage.Measure, h float64) {
	t.Helper()
	const field = 500 * 500
	rows := 0
	for line := range strings.Lines(string(text)) {
		var name string
		var want float64
		if _, err := fmt.Sscan(line, &name, &want); err != nil {
			continue // says where the figures are from
		}
		rows++
		m := got[name]
		t.Logf("h = %-4v %-8s %11.3f, exact %11.3f, off %7.3f, estimate %7.3f", h, name, m.Area, want, m.Area-want, m.Error)
		if off := math.Abs(m.Area - want); off > min(m.Error, 2e-4*field) || h <= coverage.DefaultSpacing && off > 1e-4*field {
			t.Errorf("h = %v: %s is %.3f m², exactly %.3f: off by %.3f, estimated %.3f", h, name, m.Area, want, off, m.Error)
		}
	}
	if rows != len(got) {
		t.Errorf("%d rows, want %d", rows, len(got))
	}
}

func TestShapelySaysTheSame(t *testing.T) {
	oracle.Asked(t)
	g := exactField()
	holdAgainst(t, askShapely(t, g), exactly(t, g, coverage.Options{}), coverage.DefaultSpacing)
}

// askShapely measures ground by exact unions. It takes Debian's own interpreter where that is:
// packages for it are not seen by others.
func askShapely(t *testing.T, g *coverage.Ground) []byte {
	t.Helper()
	python := "/usr/bin/python3"
	if _, err := os.Stat(python); err != nil {
		python = oracle.Tool(t, "python3")
	}
	if exec.Command(python, "-c", "import shapely").Run() != nil {
		oracle.Missing(t, "python3-shapely is not installed")
	}
	var in bytes.Buffer
	line := func(kind string, ring []orb.Point) {
		in.WriteString(kind)
		for _, p := range ring {
			fmt.Fprintf(&in, " %.17g %.17g", p[0], p[1])
		}
		in.WriteByte('\n')
	}
	for kind, s := range map[string]*geo.Shapes{"zone": g.Zones, "keep": g.KeepOuts} {
		for r := range s.RingEnds {
			ring := s.Ring(r)
			line(kind, ring[:len(ring)-1])
		}
	}
	for i := range g.Pieces {
		line("piece", g.Pieces[i].Ring[:])
	}
	cmd := exec.Command(python, "testdata/exact.py")
	cmd.Stdin = &in
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	head := fmt.Sprintf("# Ground in square meters by exact unions of %d pieces: shapely (GEOS) through exact.py.\n", len(g.Pieces))
	return append([]byte(head), out...)
}

// Small random scraps, bow ties among them, against simplefeatures.
func TestAgainstSimplefeatures(t *testing.T) {
	random := rand.New(rand.NewPCG(9, 9))
	for range 40 {
		g := &coverage.Ground{Products: 1, Zones: shapes(box(20, 20, 80, 70))}
		var all []geom.Geometry
		for range 6 {
			at := orb.Point{100 * random.Float64(), 100 * random.Float64()}
			var p coverage.Piece
			for i := range p.Ring {
				p.Ring[i] = orb.Point{at[0] + 40*random.Float64(), at[1] + 40*random.Float64()}
			}
			lobes, ok := lobesOf(t, p.Ring)
			if !ok {
				continue
			}
			g.Pieces, all = append(g.Pieces, p), append(all, lobes)
		}
		var pairs []geom.Geometry
		for i := range all {
			for k := range i {
				pairs = append(pairs, must(geom.Intersection(all[i], all[k])))
			}
		}
		field := must(geom.UnmarshalWKT("POLYGON((20 20,80 20,80 70,20 70,20 20))"))
		union, double := must(geom.UnionMany(all)), must(geom.UnionMany(pairs))
		got := exactly(t, g, coverage.Options{Spacing: 0.05})
		for name, want := range map[string]float64{
			"covered": union.Area(), "twice": double.Area(), "outside": must(geom.Difference(union, field)).Area(), "skipped": must(geom.Difference(field, union)).Area(),
		} {
			if off := math.Abs(got[name].Area - want); off > 0.05+got[name].Error {
				t.Errorf("%s is %.4f, want %.4f, estimated error %.4f: %v", name, got[name].Area, want, got[name].Error, g.Pieces)
			}
		}
	}
}

// lobesOf returns a quadrilateral as a valid shape, of two triangles where it crosses itself.
func lobesOf(t *testing.T, r [4]orb.Point) (geom.Geometry, bool) {
	t.Helper()
	triangles := [][]orb.Point{r[:]}
	if x, ok := crossing(r[0], r[3], r[1], r[2]); ok {
		triangles = [][]orb.Point{{r[0], r[1], x}, {r[2], r[3], x}}
	} else if x, ok := crossing(r[0], r[1], r[2], r[3]); ok {
		triangles = [][]orb.Point{{r[0], r[3], x}, {r[1], r[2], x}}
	}
	var parts []geom.Geometry
	for _, p := range triangles {
		var text strings.Builder
		text.WriteString("POLYGON((")
		for _, q := range p {
			fmt.Fprintf(&text, "%.17g %.17g,", q[0], q[1])
		}
		fmt.Fprintf(&text, "%.17g %.17g))", p[0][0], p[0][1])
		g, err := geom.UnmarshalWKT(text.String())
		if err != nil {
			return g, false
		}
		parts = append(parts, g)
	}
	union := must(geom.UnionMany(parts))
	if off := math.Abs(union.Area() - swept(r)); off > 1e-9*swept(r)+1e-9 {
		t.Errorf("%v sweeps %v, want %v", r, swept(r), union.Area())
	}
	return union, true
}

func must(g geom.Geometry, err error) geom.Geometry {
	if err != nil {
		panic(err)
	}
	return g
}
