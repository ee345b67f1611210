package geo

// Sets are disjoint sets of the numbers below n, such as records; the least number of
// each names it.
type Sets []int32

// NewSets puts each number below n into a set of its own.
func NewSets(n int) Sets {
	s := make(Sets, n)
	for i := range s {
		s[i] = int32(i)
	}
	return s
}

// Find returns the number that names the set of i.
func (s Sets) Find(i int32) int32 {
	for s[i] != i {
		s[i] = s[s[i]]
		i = s[i]
	}
	return i
}

// Join makes one set of those of a and b.
func (s Sets) Join(a, b int32) {
	a, b = s.Find(a), s.Find(b)
	s[max(a, b)] = min(a, b)
}
