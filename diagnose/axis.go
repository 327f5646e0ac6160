package diagnose

// axis is what may be known of one test: which outcome it had, or, of a test
// that can be repeated, how often each. State 0 is that it was not done; what
// comes later has a higher number.
type axis struct {
	look   int // in problem.tests
	stride int
	rows   [][]float64 // [state][set]: the chance of what was seen
	next   [][]int     // [state][outcome]: the state after it; nil: it cannot be done again
	last   []bool      // states in which a repeatable test was done as often as it is weighed
}

// newAxis is a test that is done at most times times.
func newAxis(l *look, index, times int) axis {
	a := axis{look: index}
	ones := make([]float64, len(l.rows[0]))
	for i := range ones {
		ones[i] = 1
	}
	a.rows = [][]float64{ones}
	counts := [][]int{make([]int, len(l.rows))}
	done := []int{0}
	number := map[string]int{countKey(counts[0]): 0}
	for s := 0; s < len(counts); s++ {
		a.last = append(a.last, l.again && done[s] == times)
		if done[s] == times {
			a.next = append(a.next, nil)
			continue
		}
		next := make([]int, len(l.rows))
		for o := range l.rows {
			c := append([]int{}, counts[s]...)
			c[o]++
			key := countKey(c)
			to, ok := number[key]
			if !ok {
				to = len(counts)
				number[key] = to
				counts, done = append(counts, c), append(done, done[s]+1)
				a.rows = append(a.rows, product(a.rows[s], l.rows[o]))
			}
			next[o] = to
		}
		a.next = append(a.next, next)
	}
	return a
}

func countKey(counts []int) string {
	key := make([]byte, len(counts))
	for i, n := range counts {
		key[i] = byte(n)
	}
	return string(key)
}

func product(a, b []float64) []float64 {
	out := make([]float64, len(a))
	for i := range a {
		out[i] = a[i] * b[i]
	}
	return out
}
