package label

// Known is a value that may be unknown; the zero value is. It keeps "the label
// says nothing" apart from "the label says zero".
type Known[T any] struct {
	value T
	known bool
}

// Know returns v as known.
func Know[T any](v T) Known[T] { return Known[T]{v, true} }

// Get returns the value and whether it is known.
func (k Known[T]) Get() (T, bool) { return k.value, k.known }

// Or returns the value, or another where it is unknown.
func (k Known[T]) Or(other T) T {
	if k.known {
		return k.value
	}
	return other
}

// Target makes the value known and returns where it is to be put, for decoders.
func (k *Known[T]) Target() any {
	k.known = true
	return &k.value
}
