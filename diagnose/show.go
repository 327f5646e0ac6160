package diagnose

import (
	"cmp"

	"wreckwright/working"
)

// working shows how the figures of the advice come about.
func (s *solution) working(next *account, a *Advice) working.Working {
	var w working.Working
	money := s.c.Currency
	w.Add("worth of a minute", "worth of an hour / 60", s.p.perMin, money, "own estimate")
	s.showChances(&w)
	s.showNext(&w, next, a)
	w.Add("expected cost of the plan", s.planFormula(), a.ExpectedCost, money, s.planSource())
	w.Add("of it paid out", "sum over the actions of how often x money", a.ExpectedMoney, money, "HECKERMAN_1995")
	w.Add("and time", "sum over the actions of how often x minutes", a.ExpectedMinutes, "min", "HECKERMAN_1995")
	if s.p.whole != nil {
		w.Add("chance that the whole unit is bought in the end", "along the plan", a.ChanceReplaceAll, "", "HECKERMAN_1995")
		w.Add("whole unit now", "money + worth of a minute x minutes", s.p.whole.cost, money, "own estimate")
		w.Add("expected saving", "whole unit now - expected cost of the plan", *a.ExpectedSaving, money, "HECKERMAN_1995")
	}
	w.Add("no plan costs less than", "sum over the faults of chance x cost once it is known", a.LowerBound, money, "RUSSELL_NORVIG")
	w.Add("most that testing can be worth", "best cost without tests - cost once the fault is known", a.PerfectInformation, money, "RUSSELL_NORVIG")
	return w
}

func (s *solution) showChances(w *working.Working) {
	for f, p := range s.p.sets.marginal(s.b.weight) {
		w.Add("chance of "+cmp.Or(s.c.Faults[f].Name, s.c.Faults[f].ID), "prior x chance of each result under it, scaled to sum 1 over the sets of faults", p, "", "RUSSELL_NORVIG")
	}
}

// showNext shows how often the plan does each action, the next one being done
// for sure.
func (s *solution) showNext(w *working.Working, next *account, a *Advice) {
	w.Add("cost of "+s.called(s.options[0])+" itself", "money + worth of a minute x minutes", s.p.effortOf(s.options[0]).cost, s.c.Currency, "own estimate")
	for k, n := range next.tests {
		if n > 0 {
			w.Add("how often the plan does "+s.called(option{kind: KindTest, k: k}), "chance of the results that lead there", n, "", "HECKERMAN_1995")
		}
	}
	for k, n := range next.repairs {
		if n > 0 {
			w.Add("how often the plan does "+s.called(option{kind: KindRepair, k: k}), "chance of the results that lead there", n, "", "HECKERMAN_1995")
		}
	}
}

// called is an action's name, where it has one.
func (s *solution) called(o option) string {
	switch o.kind {
	case KindTest:
		t := &s.c.Tests[s.p.tests[o.k].index]
		return cmp.Or(t.Name, t.ID)
	case KindRepair:
		r := &s.c.Repairs[s.p.repairs[o.k].index]
		return cmp.Or(r.Name, r.ID)
	}
	return "the whole unit"
}

func (s *solution) planFormula() string {
	if s.method == Exact {
		return "V = min over actions of cost + sum over outcomes of chance x V after it"
	}
	return "min over actions of cost + sum over outcomes of chance x (min over actions of cost + sum of chance x sequence by chance per cost)"
}

func (s *solution) planSource() string {
	if s.method == Exact {
		return "RUSSELL_NORVIG"
	}
	return "HECKERMAN_1995"
}
