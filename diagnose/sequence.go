package diagnose

import "math"

// sequencer values a belief by the plan without tests that tries repairs by
// chance of cure per cost, the chances brought up to date after each failure,
// and buys the whole unit at the best point along it. It is what the look-ahead
// stands on and an upper bound on the best plan's cost.
//
// ref: HECKERMAN_1995 section 2, sequence by chance per cost with service call
type sequencer struct {
	p    *problem
	w    []float64
	used []bool
	take []int
}

func newSequencer(p *problem) *sequencer {
	return &sequencer{p: p, w: make([]float64, len(p.sets.members)), used: make([]bool, len(p.repairs))}
}

// cost is the expected cost of the better of the orders, for weights w (which
// need not sum to 1) and the repairs not used yet.
func (s *sequencer) cost(w []float64, used []bool) float64 {
	best, _ := s.run(w, used, (*sequencer).byCure)
	if len(s.p.sets.members) > len(s.p.sets.having) {
		other, _ := s.run(w, used, (*sequencer).byFault)
		best = min(best, other)
	}
	return best
}

// order is the repairs of the better of the orders, up to the point where the
// whole unit is bought.
func (s *sequencer) order(w []float64, used []bool) []int {
	best, n := s.run(w, used, (*sequencer).byCure)
	order := append([]int{}, s.take[:n]...)
	if len(s.p.sets.members) > len(s.p.sets.having) {
		if other, n := s.run(w, used, (*sequencer).byFault); other < best {
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
	s.take = s.take[:0]
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

// byCure is the repair with the most chance of ending it per cost; where none
// can end it alone, the one that takes away most; -1: none does anything.
func (s *sequencer) byCure() int {
	if k := s.most(func(k *cure) float64 { return k.cures(s.w) }); k >= 0 {
		return k
	}
	return s.byFault()
}

// byFault is the repair that takes away the most faults per cost, whether or not
// others stay.
func (s *sequencer) byFault() int {
	return s.most(func(k *cure) float64 { return k.touches(&s.p.sets, s.w) })
}

func (s *sequencer) most(gain func(*cure) float64) int {
	best, most := -1, 0.0
	for k := range s.p.repairs {
		if s.used[k] {
			continue
		}
		c := &s.p.repairs[k]
		g := gain(c)
		if g <= 0 {
			continue
		}
		if ratio := g / c.effort.cost; best < 0 || ratio > most {
			best, most = k, ratio
		}
	}
	return best
}
