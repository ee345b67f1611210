package geo

// joined tells which polygons of a layer share edges, and so which face of their outline
// they make.
type joined struct {
	part  []int32 // per point: its polygon
	sets  Sets    // of polygons that share edges
	faces []int32 // per set, by its name: its face, from 1; 0 for none, [severalFaces] for several
}

// severalFaces marks polygons that touch themselves at a corner, so that their ground
// falls apart there.
const severalFaces = -1

func newJoined(s *Shapes) *joined {
	j := &joined{part: make([]int32, len(s.Points)), sets: NewSets(len(s.PolyEnds))}
	at := 0
	for p := range s.PolyEnds {
		for from, to := s.RingSpan(p); from < to; from++ {
			for ; at < int(s.RingEnds[from]); at++ {
				j.part[at] = int32(p)
			}
		}
	}
	return j
}

// join notes that the edges that start at two points are one.
func (j *joined) join(src, other int32) { j.sets.Join(j.part[src], j.part[other]) }

// meet notes which face lies along each boundary edge.
func (j *joined) meet(g *graph) {
	j.faces = make([]int32, len(j.sets))
	if g == nil {
		return
	}
	for i, e := range g.edges {
		at := &j.faces[j.sets.Find(j.part[e.src])]
		switch face := g.along[i] + 1; *at {
		case 0:
			*at = face
		case face:
		default:
			*at = severalFaces
		}
	}
}

// face returns the face that a polygon is of, from 0. It is not known of polygons that
// have no edges or are of several faces, nor where a union made the outline.
func (j *joined) face(part int32) (face int32, known bool) {
	face = j.faces[j.sets.Find(part)]
	return face - 1, face > 0
}
