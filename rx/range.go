package rx

// Range is a closed range.
type Range[Q ~float64] struct{ Min, Max Q }

// Contains reports whether q is in the range, with both ends allowed and the
// relative leeway that rounding needs: L(1−1e-9) ≤ q ≤ H(1+1e-9).
func (r Range[Q]) Contains(q Q) bool { return !r.Under(q) && !r.Over(q) }

// Under reports whether q is below the range.
func (r Range[Q]) Under(q Q) bool { return q < r.Min*(1-leeway) }

// Over reports whether q is above the range.
func (r Range[Q]) Over(q Q) bool { return q > r.Max*(1+leeway) }

// leeway absorbs rounding at the ends of a range; it is far below what any
// scale or meter can tell.
const leeway = 1e-9

// Widen takes a value into the range; the first one makes it.
func (r *Range[Q]) Widen(q Q, first bool) {
	if first {
		*r = Range[Q]{Min: q, Max: q}
	}
	r.Min, r.Max = min(r.Min, q), max(r.Max, q)
}
