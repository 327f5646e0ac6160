package diagnose

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// Reason says why the next action is the next one.
type Reason struct {
	Action  Action
	Instead *Action // the best other action to begin with; nil: there is none
	// Worth is how much more the best plan costs that has to do without the action;
	// nil: without it there is no plan that surely ends.
	Worth *float64
	// Splits are the two likely faults that a test tells apart best; the IDs, the
	// one that the first way speaks for first. Empty for other actions.
	Splits []string
	// Cures are the faults that a repair may take away, likeliest first.
	Cures []FaultChance
	Ways  []Way // how it may come out and what is best then
}

// FaultChance is a fault with a chance.
type FaultChance struct {
	ID     string
	Chance float64 // that it is there and the repair takes it away
}

// Way is one way an action may come out. A repair has two: "cured" and "not
// cured". Neighbouring readings with the same next action are one way.
type Way struct {
	Outcome string
	From    *float64 // of a measured test: lowest reading; nil: any
	To      *float64 // highest
	Chance  float64
	Then    Action // with the expected cost from there on
}

// What a repair comes to.
const (
	Cured    = "cured"
	NotCured = "not cured"
)

// Explain gives the reason for the next action. The error is a [*Mistake] where
// the case cannot be, else the context's.
func Explain(ctx context.Context, c Case) (Reason, error) {
	b, err := believe(c)
	if err != nil {
		return Reason{}, err
	}
	if b.cured {
		return Reason{Action: Action{Kind: KindDone}}, nil
	}
	s, err := solve(ctx, &c, b)
	if err != nil {
		return Reason{}, err
	}
	if s.stuck() {
		return Reason{Action: Action{Kind: KindNothing}}, nil
	}
	return s.reason(ctx)
}

func (s *solution) reason(ctx context.Context) (Reason, error) {
	next := s.options[0]
	r := Reason{Action: s.action(next)}
	if len(s.options) > 1 {
		instead := s.action(s.options[1])
		r.Instead = &instead
	}
	plan := s.by.strategyOf(s.b.weight, next)
	switch next.kind {
	case KindTest:
		r.Ways = s.testWays(plan)
		r.Splits = s.splits(next.k)
	case KindRepair:
		r.Ways = s.repairWays(plan)
		r.Cures = s.cures(next.k)
	}
	var err error
	r.Worth, err = s.worth(ctx, next)
	return r, err
}

// worth solves the case again without the action.
func (s *solution) worth(ctx context.Context, o option) (*float64, error) {
	if s.p.whole == nil && o.kind != KindTest || o.kind == KindReplace {
		return nil, nil
	}
	c, b := s.c.clone(), *s.b
	switch o.kind {
	case KindTest:
		i := s.p.tests[o.k].index
		c.Tests[i].Repeatable = false
		b.tested = slices.Clone(b.tested)
		b.tested[i]++
	case KindRepair:
		b.repaired = slices.Clone(b.repaired)
		b.repaired[s.p.repairs[o.k].index] = true
	}
	without, err := solve(ctx, &c, &b)
	if err != nil || len(without.options) == 0 {
		return nil, err
	}
	w := math.Max(0, without.options[0].cost-o.cost)
	return &w, nil
}

// testWays lists a test's outcomes with what the plan does after each.
func (s *solution) testWays(plan *strategy) []Way {
	l := &s.p.tests[plan.k]
	t := &s.c.Tests[l.index]
	costs := &account{p: s.p, known: map[*strategy][]float64{}}
	var ways []Way
	after := make([]float64, len(s.b.weight))
	for o, next := range plan.next {
		l.weigh(after, s.b.weight, o)
		w := Way{Chance: sum(after), Then: s.begins(next)}
		if w.Chance > 0 {
			w.Then.ExpectedCost = dot(costs.setCosts(next), after) / w.Chance
		}
		if len(t.Measured) == 0 {
			w.Outcome = t.Outcomes[o]
			ways = append(ways, w)
			continue
		}
		ways = l.addBand(ways, w, o)
	}
	return ways
}

// addBand adds a band to the ways, or to the last of them where the plan goes on
// alike.
func (l *look) addBand(ways []Way, w Way, o int) []Way {
	if o > 0 {
		edge := (l.at[o-1] + l.at[o]) / 2
		w.From = &edge
	}
	if n := len(ways); n > 0 {
		last := &ways[n-1]
		if last.Then.Kind == w.Then.Kind && last.Then.ID == w.Then.ID || w.Chance == 0 {
			if total := last.Chance + w.Chance; total > 0 {
				last.Then.ExpectedCost = (last.Then.ExpectedCost*last.Chance + w.Then.ExpectedCost*w.Chance) / total
				last.Chance = total
			}
			return ways
		}
		last.To = w.From
	}
	return append(ways, w)
}

// begins is the first action of a plan.
func (s *solution) begins(plan *strategy) Action {
	if plan.kind == KindNothing {
		return Action{Kind: KindNothing}
	}
	return s.action(option{kind: plan.kind, k: plan.k})
}

func (s *solution) repairWays(plan *strategy) []Way {
	k := &s.p.repairs[plan.k]
	after := slices.Clone(s.b.weight)
	k.apply(&s.p.sets, after)
	left := sum(after)
	ways := []Way{{Outcome: Cured, Chance: math.Max(0, 1-left), Then: Action{Kind: KindDone}}}
	if left <= 0 {
		return ways
	}
	costs := &account{p: s.p, known: map[*strategy][]float64{}}
	w := Way{Outcome: NotCured, Chance: left, Then: s.begins(plan.next[0])}
	w.Then.ExpectedCost = dot(costs.setCosts(plan.next[0]), after) / left
	return append(ways, w)
}

func (s *solution) cures(k int) []FaultChance {
	chance := s.p.sets.marginal(s.b.weight)
	var all []FaultChance
	for _, f := range s.p.repairs[k].faults {
		if p := chance[f] * s.p.repairs[k].fixes[f]; p > 0 {
			all = append(all, FaultChance{ID: s.c.Faults[f].ID, Chance: p})
		}
	}
	slices.SortStableFunc(all, func(a, b FaultChance) int { return cmp.Compare(b.Chance, a.Chance) })
	return all
}

// splits are the two faults whose chances, times how differently the test comes
// out under them, are the most.
func (s *solution) splits(k int) []string {
	chance := s.p.sets.marginal(s.b.weight)
	rows := s.p.tests[k].rows
	best, x, y := 0.0, -1, -1
	for f := range chance {
		for g := f + 1; g < len(chance); g++ {
			if d := chance[f] * chance[g] * apart(rows, f, g); d > best {
				best, x, y = d, f, g
			}
		}
	}
	if x < 0 {
		return nil
	}
	if rows[0][y] > rows[0][x] {
		x, y = y, x
	}
	return []string{s.c.Faults[x].ID, s.c.Faults[y].ID}
}

// apart is half the sum of the differences of two columns: 1 when the test tells
// the two faults apart for sure. The sets of one fault come first, in order.
func apart(rows [][]float64, f, g int) float64 {
	total := 0.0
	for _, row := range rows {
		total += math.Abs(row[f] - row[g])
	}
	return total / 2
}
