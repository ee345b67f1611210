package geo

// sets are disjoint sets of the numbers below n; the least number of each names it.
type sets []int32

func newSets(n int) sets {
	s := make(sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

func (s sets) find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

func (s sets) join(a, b int32) {
	a, b = s.find(a), s.find(b)
	s[max(a, b)] = min(a, b)
}
