package label

// Range is a closed range, both ends included.
type Range[Q ~float64] struct {
	Min Q `yaml:"min,required"`
	Max Q `yaml:"max,required"`
}

// Contains reports whether q is in the range.
func (r Range[Q]) Contains(q Q) bool { return r.Min <= q && q <= r.Max }

// Middle returns the arithmetic mean of the ends.
func (r Range[Q]) Middle() Q { return (r.Min + r.Max) / 2 }
