package write

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"

	"github.com/paulmach/orb"

	"rxsplit/geo"
	"rxsplit/internal/cores"
	"rxsplit/rx"
)

// What a second reader reads of a layer. go-shp takes 1 µs and jsontext 3 µs of one core a
// cell of 5 vertices, three times as much as our decoders, so a layer of more records is read
// as far as this: a proof then costs at most twice what the plan did. The vertices bound the memory that one long boundary takes.
const (
	secondRecords  = 50_000
	secondVertices = 500_000
)

// Records counts those of all layers of a plan.
type Records struct {
	Twice int // read by a second reader as well
	All   int
}

// ReadTwice returns how many records of a plan's layers a second reader reads after
// [Verify] has compared them all.
func ReadTwice(p *rx.Prescription, plan *rx.Plan) (r Records) {
	for i := range plan.Layers {
		shapes := shapesOf(p, &plan.Layers[i])
		r.Twice, r.All = r.Twice+readTwice(shapes), r.All+shapes.Len()
	}
	return r
}

// readWholeAgain reads the layers of a plan that was just written by the second readers,
// those of them that the readers take whole. Of a larger one they would see a part, and
// all of it was proved when it was written. It returns how many records were read.
func (job Job) readWholeAgain(dir string) (r Records, err error) {
	e := &VerifyError{Dir: dir}
	for i, t := range job.tables {
		r.All += t.shapes.Len()
		if readTwice(t.shapes) < t.shapes.Len() {
			continue
		}
		r.Twice += t.shapes.Len()
		e.Mismatches = append(e.Mismatches, readAgain(dir, job.Plan.Layers[i].Name, t)...)
	}
	if len(e.Mismatches) > 0 {
		return r, e
	}
	return r, nil
}

// readAgain reads both files of a layer, side by side.
func readAgain(dir, name string, want table) []Mismatch {
	var found [2][]Mismatch
	cores.Each(len(found), func(i int) {
		if i == 0 {
			found[i] = readGeoJSONAgain(dir, name+".geojson", want)
			return
		}
		files, wrong := partsOf(dir, name)
		if wrong == nil {
			wrong = readShapefileTwice(files, want.inShapefile())
		}
		found[i] = wrong
	})
	return slices.Concat(found[:]...)
}

func readGeoJSONAgain(dir, name string, want table) []Mismatch {
	file, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		return []Mismatch{unread(name, err)}
	}
	defer file.Close()
	return readGeoJSONTwice(file, name, want)
}

// readTwice returns how many records of a layer, from the first, are read twice.
func readTwice(shapes *geo.Shapes) int {
	n, vertices := min(shapes.Len(), secondRecords), 0
	for row := range n {
		from, to := shapes.PointsOf(row)
		if vertices += to - from; vertices > secondVertices {
			return row
		}
	}
	return n
}

// secondReading holds a file as a decoder read it that is not ours against the plan. Ours
// and our writers could share a mistake about a format; this one does not share it. It
// looks at a file only after ours has found nothing wrong in it.
type secondReading struct {
	comparison
	reader  string // the decoder's name
	shells  orb.Orientation
	records int       // to be read, from the first
	flat    []float64 // x and y of a record's vertices in turn, where one record is read after the other
}

func (s *secondReading) mismatch(file string, row int, format string, args ...any) Mismatch {
	return s.comparison.mismatch(file, row, "read by another decoder, "+s.reader+", %s", fmt.Sprintf(format, args...))
}

// rings compares the rings of a record, x and y of each vertex in turn, bit by bit; and
// wants shells to run as the format asks and holes the other way.
func (s *secondReading) rings(row int, got [][]float64) (why string) {
	from, end := s.want.shapes.ShapeRings(row)
	if len(got) != end-from {
		return fmt.Sprintf("its polygon has %d rings, want %d", len(got), end-from)
	}
	k := 0
	for p, endPoly := s.want.shapes.PolySpan(row); p < endPoly; p++ {
		first, endRing := s.want.shapes.RingSpan(p)
		for r := first; r < endRing; r, k = r+1, k+1 {
			if !sameVertices(got[k], s.want.shapes.Ring(r)) {
				return fmt.Sprintf("ring %d of its polygon is not the one of the plan", k+1)
			}
			asked := s.shells
			if r > first {
				asked = -asked
			}
			if turn := orientation(got[k]); turn != 0 && turn != asked {
				return fmt.Sprintf("ring %d of its polygon runs the wrong way round", k+1)
			}
		}
	}
	return ""
}

// sameVertices compares bit by bit, in either direction.
func sameVertices(flat []float64, ring orb.Ring) bool {
	n := len(ring)
	if len(flat) != 2*n {
		return false
	}
	forward, backward := true, true
	for i := range ring {
		x, y := math.Float64bits(flat[2*i]), math.Float64bits(flat[2*i+1])
		a, b := ring[i], ring[n-1-i]
		forward = forward && x == math.Float64bits(a[0]) && y == math.Float64bits(a[1])
		backward = backward && x == math.Float64bits(b[0]) && y == math.Float64bits(b[1])
	}
	return forward || backward
}

// orientation returns which way a ring runs, by the shoelace formula from its first
// vertex; 0 where rounding could turn the sign.
func orientation(flat []float64) orb.Orientation {
	var sum, size, px, py float64
	for i := 2; i+1 < len(flat); i += 2 {
		x, y := flat[i]-flat[0], flat[i+1]-flat[1]
		sum += float64(px*y) - float64(x*py)
		size += math.Abs(px*y) + math.Abs(x*py)
		px, py = x, y
	}
	switch rounding := float64(len(flat)) * 0x1p-52 * size; {
	case sum > rounding:
		return orb.CCW
	case sum < -rounding:
		return orb.CW
	}
	return 0
}

// area holds the cell of a record's area, as read, against the plan's.
func (s *secondReading) area(row int, got float64) (why string) {
	if want := s.want.areaOf(row); math.Abs(got-want) > 1e-6*want {
		return fmt.Sprintf("its area is %v, want %v", got, want)
	}
	return ""
}

// parsed returns the number that a cell's text stands for; ok is false for none.
func parsed(text []byte) (v float64, ok bool) {
	v, err := strconv.ParseFloat(string(bytes.TrimSpace(text)), 64)
	return v, err == nil
}
