package shapefile

import "rxsplit/geo"

// notes are the records in which decoding came upon something odd.
type notes struct {
	z, m        bool
	closed      []int
	winding     []int
	holeOutside []int
	empty       []int
	otherType   []int
}

func (n *notes) join(other *notes) {
	n.z = n.z || other.z
	n.m = n.m || other.m
	n.closed = append(n.closed, other.closed...)
	n.winding = append(n.winding, other.winding...)
	n.holeOutside = append(n.holeOutside, other.holeOutside...)
	n.empty = append(n.empty, other.empty...)
	n.otherType = append(n.otherType, other.otherType...)
}

// remarks returns the notes as remarks, in a fixed order.
func (n *notes) remarks() (list []geo.Remark) {
	if n.z {
		list = append(list, geo.Remark{Rule: "z-dropped", Text: "heights (Z) were left out"})
	}
	if n.m {
		list = append(list, geo.Remark{Rule: "m-dropped", Text: "measures (M) were left out"})
	}
	for _, r := range []geo.Remark{
		{Rule: "ring-closed", Records: n.closed, Text: "rings that did not end where they begin were closed"},
		{Rule: "winding", Records: n.winding, Text: "rings wind the other way than shells (clockwise) and holes (counter-clockwise) should; which is which was told by what lies in what"},
		{Rule: "hole-outside", Records: n.holeOutside, Text: "rings wound as holes lie in no shell; each was taken as ground of its own"},
		{Rule: "empty-polygon", Records: n.empty, Text: "polygons without a ring were taken as null shapes"},
		{Rule: "type-differs", Records: n.otherType, Text: "records are polygons of another type than the file's header states; they were read as what they are"},
	} {
		if len(r.Records) > 0 {
			list = append(list, r)
		}
	}
	return list
}
