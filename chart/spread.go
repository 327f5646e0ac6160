package chart

import "sort"

// spread places labels of the given sizes along a line from low to high, each as near as it can be to its wish (the
// centre it would like), in the order of the wishes, gap apart and none overlapping. It returns the centres, or false
// when the labels do not fit.
func spread(wishes, sizes []float64, low, high, gap float64) ([]float64, bool) {
	n := len(wishes)
	need := gap * float64(max(n-1, 0))
	for _, s := range sizes {
		need += s
	}
	if need > high-low {
		return nil, false
	}
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return wishes[order[a]] < wishes[order[b]] })
	centres := make([]float64, n)
	for _, c := range clusters(order, wishes, sizes, low, high, gap) {
		at := c.from
		for _, i := range c.members {
			centres[i] = at + sizes[i]/2
			at += sizes[i] + gap
		}
	}
	return centres, true
}

// cluster is a run of labels that touch; it is placed where the mean shift of its labels is zero.
type cluster struct {
	members []int
	length  float64 // with the gaps inside
	wishSum float64 // sum of the starts each member would give the cluster
	from    float64
}

func clusters(order []int, wishes, sizes []float64, low, high, gap float64) []cluster {
	var out []cluster
	for _, i := range order {
		c := cluster{members: []int{i}, length: sizes[i], wishSum: wishes[i] - sizes[i]/2}
		c.place(low, high)
		for len(out) > 0 && out[len(out)-1].from+out[len(out)-1].length+gap > c.from {
			c = out[len(out)-1].joined(c, gap)
			out = out[:len(out)-1]
			c.place(low, high)
		}
		out = append(out, c)
	}
	return out
}

func (c cluster) joined(next cluster, gap float64) cluster {
	offset := c.length + gap
	return cluster{
		members: append(append([]int{}, c.members...), next.members...),
		length:  offset + next.length,
		wishSum: c.wishSum + next.wishSum - offset*float64(len(next.members)),
	}
}

func (c *cluster) place(low, high float64) {
	c.from = min(max(c.wishSum/float64(len(c.members)), low), max(low, high-c.length))
}
