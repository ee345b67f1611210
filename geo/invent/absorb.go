package invent

// absorb gives the smallest region to the neighbor with which it shares the
// longest border, until none is smaller than least and at most most are left. The
// waterway neither gives nor takes.
func (r *regions) absorb(least float64, most int) {
	into := make([]int32, len(r.area))
	for i := range into {
		into[i] = int32(i)
	}
	left := len(r.area)
	for {
		small := r.smallest()
		if small < 0 || (2*least <= r.area[small] && left <= most) {
			break
		}
		host := r.host(small)
		into[small] = host
		r.merge(small, host)
		left--
	}
	for i, region := range r.of {
		for region >= 0 && into[region] != region {
			region = into[region]
		}
		r.of[i] = region
	}
}

// smallest returns the smallest region that has a neighbor to go to, or -1.
func (r *regions) smallest() int32 {
	small := int32(-1)
	for i, area := range r.area {
		if area == 0 || r.host(int32(i)) < 0 {
			continue
		}
		if small < 0 || area < r.area[small] {
			small = int32(i)
		}
	}
	return small
}

// host returns the neighbor that takes a region, or -1.
func (r *regions) host(region int32) int32 {
	host, longest := int32(-1), 0.0
	if r.mark[region].side == 0 {
		return host
	}
	for n, length := range r.borders[region] {
		if r.mark[n].side == 0 {
			continue
		}
		if length > longest || (length == longest && n < host) {
			host, longest = n, length
		}
	}
	return host
}

func (r *regions) merge(small, host int32) {
	r.area[host] += r.area[small]
	r.area[small] = 0
	for n, length := range r.borders[small] {
		delete(r.borders[n], small)
		if n != host {
			r.borders[host][n] += length
			r.borders[n][host] += length
		}
	}
	r.borders[small] = nil
}

// living returns the numbers of the regions that were not absorbed.
func (r *regions) living() []int32 {
	var living []int32
	for i, area := range r.area {
		if area > 0 {
			living = append(living, int32(i))
		}
	}
	return living
}
