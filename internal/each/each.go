// Package each makes one list of another, and puts lists in order.
package each

// Of returns what a function makes of each element of a list, in its order; nil of none.
func Of[T, U any](list []T, of func(T) U) []U {
	if len(list) == 0 {
		return nil
	}
	made := make([]U, len(list))
	for i, one := range list {
		made[i] = of(one)
	}
	return made
}

// YesFirst compares two elements of a list in which those of which something is so come first.
func YesFirst(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}
