package survey

// givenHeights is a height to start from for each point: what was read of it, or
// what levelling leads to from points that were read. Points that hang together
// by levelling only, and points without a height, lie to those as near says;
// nil near is flat. Without any height it is nil.
func (n *network) givenHeights(near []float64) []float64 {
	levels := make([][]reading, len(n.ids))
	found := false
	for _, r := range n.readings {
		found = found || r.kind != distance
		if r.kind == level {
			levels[r.from], levels[r.to] = append(levels[r.from], r), append(levels[r.to], r)
		}
	}
	if !found {
		return nil
	}
	if near == nil {
		near = make([]float64, len(n.ids))
	}
	z, known := make([]float64, len(n.ids)), make([]bool, len(n.ids))
	plane := levelled(n.overPlane(z), levels, z, known)
	offset := meanOf(z, plane) - meanOf(near, plane)
	for i := range n.ids {
		if known[i] {
			continue
		}
		part := levelled([]int{i}, levels, z, known)
		lift := offset + meanOf(near, part) - meanOf(z, part)
		for _, j := range part {
			z[j] += lift
		}
	}
	return z
}

// overPlane fills in the mean height of each point that was read over the plane.
func (n *network) overPlane(z []float64) []int {
	count := make([]float64, len(n.ids))
	for _, r := range n.readings {
		if r.kind == height {
			z[r.from] += r.mm
			count[r.from]++
		}
	}
	var list []int
	for i, c := range count {
		if c > 0 {
			z[i] /= c
			list = append(list, i)
		}
	}
	return list
}

// levelled adds to a list of points all that levelling leads to from them.
func levelled(list []int, levels [][]reading, z []float64, known []bool) []int {
	for _, i := range list {
		known[i] = true
	}
	for at := 0; at < len(list); at++ {
		i := list[at]
		for _, r := range levels[i] {
			j, rise := r.to, r.mm
			if j == i {
				j, rise = r.from, -r.mm
			}
			if known[j] {
				continue
			}
			known[j], z[j] = true, z[i]+rise
			list = append(list, j)
		}
	}
	return list
}

// meanOf is the mean of the values of a list; 0 of none.
func meanOf(values []float64, list []int) float64 {
	var sum float64
	for _, i := range list {
		sum += values[i]
	}
	return sum / float64(max(len(list), 1))
}
