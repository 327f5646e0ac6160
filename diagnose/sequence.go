package diagnose

import "math"

// sequencer values a belief by the plan without tests that tries repairs by
// chance of cure per cost, the chances brought up to date after each failure,
// and buys the whole unit at the best point along it. It is what the look-ahead
// stands on and an upper bound on the best plan's cost.
//
// ref: HECKERMAN_1995 sequence by chance per cost
type sequencer struct {
	p      *problem
	w      []float64
	used   []bool
	take   []int
	queue  []ranked
	before []int // the repairs in the order of the last full queue
}

// ranked is a repair with its gain per cost when last worked out.
type ranked struct {
	k     int
	ratio float64
}

func newSequencer(p *problem) *sequencer {
	s := &sequencer{p: p, w: make([]float64, len(p.sets.members)), used: make([]bool, len(p.repairs))}
	for k := range p.repairs {
		s.before = append(s.before, k)
	}
	return s
}

// single reports whether there is one fault at a time.
func (s *sequencer) single() bool { return len(s.p.sets.members) == len(s.p.sets.having) }

// cost is the expected cost of the better of the orders, for weights w (which
// need not sum to 1) and the repairs not used yet.
func (s *sequencer) cost(w []float64, used []bool) float64 {
	best, _ := s.run(w, used, (*sequencer).byFault)
	if !s.single() {
		other, _ := s.run(w, used, (*sequencer).byCure)
		best = min(best, other)
	}
	return best
}

// order is the repairs of the better of the orders, up to the point where the
// whole unit is bought.
func (s *sequencer) order(w []float64, used []bool) []int {
	best, n := s.run(w, used, (*sequencer).byFault)
	order := append([]int{}, s.take[:n]...)
	if !s.single() {
		if other, n := s.run(w, used, (*sequencer).byCure); other < best {
			order = append(order[:0], s.take[:n]...)
		}
	}
	return order
}

// run walks along one order and gives the least cost with the number of repairs
// before the whole unit.
func (s *sequencer) run(w []float64, used []bool, choose func(*sequencer) int) (best float64, n int) {
	copy(s.w, w)
	copy(s.used, used)
	s.take, s.queue = s.take[:0], s.queue[:0]
	mass := sum(w)
	spent := 0.0
	best = s.p.wholeCost(mass)
	for mass > 0 && spent < best {
		k := choose(s)
		if k < 0 {
			break
		}
		c := &s.p.repairs[k]
		spent += mass * c.effort.cost
		mass = math.Max(0, mass-c.cures(s.w))
		c.apply(&s.p.sets, s.w)
		s.used[k] = true
		s.take = append(s.take, k)
		if s.p.whole == nil {
			n = len(s.take)
		} else if total := spent + mass*s.p.whole.cost; total < best {
			best, n = total, len(s.take)
		}
	}
	if s.p.whole == nil {
		best = spent
	}
	return best, n
}

// byFault is the repair that takes away the most faults per cost, whether or not
// others stay; with one fault at a time that is the chance of cure. -1: none does
// anything. What a repair can take away only shrinks along the way, so a repair
// that is still the first when worked out anew is the first of all.
func (s *sequencer) byFault() int {
	if len(s.queue) == 0 {
		if len(s.take) > 0 {
			return -1
		}
		s.fill()
	}
	for len(s.queue) > 0 {
		last := len(s.queue) - 1
		top := s.queue[last]
		now := s.ratio(top.k)
		if now <= 0 {
			s.queue = s.queue[:last]
			continue
		}
		if last == 0 || now >= s.queue[last-1].ratio {
			s.queue = s.queue[:last]
			return top.k
		}
		s.sink(ranked{k: top.k, ratio: now})
	}
	return -1
}

// fill queues the repairs, the best last; of equal ones the first of the case is
// the better. The order of the time before is a good start.
func (s *sequencer) fill() {
	for _, k := range s.before {
		if s.used[k] {
			continue
		}
		if r := s.ratio(k); r > 0 {
			s.queue = append(s.queue, ranked{k: k, ratio: r})
			s.sink(s.queue[len(s.queue)-1])
		}
	}
	if len(s.queue) == len(s.before) {
		for i, r := range s.queue {
			s.before[i] = r.k
		}
	}
}

// sink moves the last of the queue down to its place.
func (s *sequencer) sink(r ranked) {
	i := len(s.queue) - 1
	for i > 0 && (s.queue[i-1].ratio > r.ratio || s.queue[i-1].ratio == r.ratio && s.queue[i-1].k < r.k) {
		s.queue[i] = s.queue[i-1]
		i--
	}
	s.queue[i] = r
}

func (s *sequencer) ratio(k int) float64 {
	c := &s.p.repairs[k]
	gain := c.touches(&s.p.sets, s.w)
	if gain <= 0 {
		return 0
	}
	return gain / c.effort.cost
}

// byCure is the repair with the most chance of ending it per cost; where none
// can end it alone, the one that takes away most; -1: none does anything.
func (s *sequencer) byCure() int {
	best, most := -1, 0.0
	for k := range s.p.repairs {
		c := &s.p.repairs[k]
		if s.used[k] {
			continue
		}
		if gain := c.cures(s.w); gain > 0 {
			if ratio := gain / c.effort.cost; best < 0 || ratio > most {
				best, most = k, ratio
			}
		}
	}
	if best < 0 {
		best = s.mostFaults()
	}
	return best
}

func (s *sequencer) mostFaults() int {
	best, most := -1, 0.0
	for k := range s.p.repairs {
		if s.used[k] {
			continue
		}
		if r := s.ratio(k); r > most {
			best, most = k, r
		}
	}
	return best
}
