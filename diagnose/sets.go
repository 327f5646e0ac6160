package diagnose

// sets is the list of the sets of faults that may be there at once, none empty.
// A belief is a slice of weights beside it.
type sets struct {
	members [][]int // faults of each set, ascending
	// having lists, by fault, the sets that hold it and what is left of each when
	// that fault is cured; to is -1 when nothing is left.
	having [][]link
}

type link struct{ set, to int }

// newSets lists all sets of one to most of n faults, smaller ones first.
func newSets(n, most int) sets {
	s := sets{having: make([][]link, n)}
	index := map[string]int{}
	grow := [][]int{{}}
	for size := 1; size <= most; size++ {
		var next [][]int
		for _, base := range grow {
			first := 0
			if len(base) > 0 {
				first = base[len(base)-1] + 1
			}
			for f := first; f < n; f++ {
				next = append(next, append(append([]int{}, base...), f))
			}
		}
		for _, m := range next {
			index[setKey(m, -1)] = len(s.members)
			s.link(m, index)
			s.members = append(s.members, m)
		}
		grow = next
	}
	return s
}

// link records, for each fault of the set to be appended, what is left without
// it.
func (s *sets) link(members []int, index map[string]int) {
	for k, f := range members {
		to := -1
		if len(members) > 1 {
			to = index[setKey(members, k)]
		}
		s.having[f] = append(s.having[f], link{set: len(s.members), to: to})
	}
}

// setKey names a set less its k-th member.
func setKey(members []int, k int) string {
	key := make([]byte, 0, 8)
	for i, f := range members {
		if i != k {
			key = append(key, byte(f>>8), byte(f))
		}
	}
	return string(key)
}

// marginal is the weight of each fault: of all sets that hold it.
func (s *sets) marginal(w []float64) []float64 {
	m := make([]float64, len(s.having))
	for i, members := range s.members {
		for _, f := range members {
			m[f] += w[i]
		}
	}
	return m
}

func sum(w []float64) float64 {
	total := 0.0
	for _, x := range w {
		total += x
	}
	return total
}
