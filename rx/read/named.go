package read

import "strings"

// named returns the place of the name that is meant: the one that is spelled so or,
// without one, the one that differs from it in capitals alone. Where two are as near,
// it is -1, and several is true: nobody can know which is meant.
func named(names []string, meant string) (at int, several bool) {
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		at = -1
		for i, name := range names {
			switch {
			case !same(name, meant):
			case at >= 0:
				return -1, true
			default:
				at = i
			}
		}
		if at >= 0 {
			return at, false
		}
	}
	return -1, false
}
