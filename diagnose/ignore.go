package diagnose

// ignorable keeps the cost of every test of a look-ahead to what it can be at the
// most: its price above the best plan, since what it shows can be ignored. Where
// that plan does the test later on, it goes on there by what was shown.
func (s *solution) ignorable() {
	g, ok := s.by.(*grown)
	if !ok {
		return
	}
	best := s.options[0]
	plan := g.strategyOf(s.b.weight, best)
	often := s.p.account(plan, s.b.weight).tests
	for i := range s.options[1:] {
		o := &s.options[1+i]
		if o.kind != KindTest {
			continue
		}
		l := &s.p.tests[o.k]
		again := l.again || often[o.k] == 0
		most := best.cost + l.effort.cost
		if !again {
			most -= min(1, often[o.k]) * l.effort.cost
		}
		if o.cost <= most*(1+rounding) {
			continue
		}
		ignoring := l.ignoring(o.k, plan, again)
		if !again && len(s.p.sets.members) > len(s.p.sets.having) {
			most = s.p.account(ignoring, s.b.weight).cost // done later it may see fewer faults
		}
		if most < o.cost {
			o.cost = most
			g.plans[option{kind: KindTest, k: o.k}] = ignoring
		}
	}
	sortOptions(s.options)
}

// ignoring is the plan that does test k and goes on with another plan whatever it
// shows; again: the other plan stays as it is.
func (l *look) ignoring(k int, plan *strategy, again bool) *strategy {
	s := &strategy{kind: KindTest, k: k}
	for out := range l.rows {
		then := plan
		if !again {
			then = plan.shown(k, out, map[*strategy]*strategy{})
		}
		s.next = append(s.next, then)
	}
	return s
}

// shown is a plan where test k showed an outcome before: what has no such test in
// it stays as it is.
func (s *strategy) shown(k, out int, done map[*strategy]*strategy) *strategy {
	if s.kind == KindTest && s.k == k {
		return s.next[out]
	}
	if then, ok := done[s]; ok {
		return then
	}
	then := &strategy{kind: s.kind, k: s.k}
	same := true
	for _, next := range s.next {
		n := next.shown(k, out, done)
		same = same && n == next
		then.next = append(then.next, n)
	}
	if same {
		then = s
	}
	done[s] = then
	return then
}
