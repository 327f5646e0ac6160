package plan

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"wreckwright/uncertain"
)

// Change is a what-if. Several may be given together.
type Change struct {
	Drop   []string // tasks that are not done; waits that only they needed go too
	Faster []Faster // deliveries that come sooner
	More   []More   // people or places more, all the time
	Extra  []Opening
}

// Faster is a task that takes some days less.
type Faster struct {
	ID   string
	Days float64
}

// More is an addition to a resource for the whole time.
type More struct {
	Resource string
	Count    int
}

// Opening is working time besides the week's: the helper comes on a Sunday. The
// plan needs a week with hours for it.
type Opening struct {
	Resource string
	Day      int // counted from the start
	Hours    Hours
}

// whatIfSeconds is what each side's search takes where no budget is given: a
// page answers within a second.
const whatIfSeconds = 0.2

// Effect is what a change does, on the same draws and after the same search on
// both sides.
type Effect struct {
	Before        Quantiles         `json:"before"` // finish
	After         Quantiles         `json:"after"`
	FinishDays    float64           `json:"finish_days"`  // by which the finish comes earlier, on average
	PlannedDays   float64           `json:"planned_days"` // the same of the schedule
	Milestones    []MilestoneChange `json:"milestones"`
	CostSaved     float64           `json:"cost_saved"`
	BeforePlan    Schedule          `json:"-"`
	AfterPlan     Schedule          `json:"-"`
	Trials        int               `json:"trials"`
	StandardError float64           `json:"standard_error"` // of FinishDays
}

// WhatIf answers what a change does to the finish, the milestones and the cost.
// Both sides are searched with the same budget and seed from the order of the
// schedule, and played on the same draws. It fails with an [*InputError] where
// the changed problem cannot be.
func WhatIf(ctx context.Context, p Problem, s Schedule, c Change, search Search) (Effect, error) {
	changed, err := p.With(c)
	if err != nil {
		return Effect{}, err
	}
	return Compare(ctx, p, s, changed, search)
}

// Compare answers what a changed problem does, whatever the change: a slot
// moved, another week, a delivery paid for. Tasks are the same ones by their
// ids; both problems have one seed. Otherwise it is as [WhatIf].
func Compare(ctx context.Context, p Problem, s Schedule, changed Problem, search Search) (Effect, error) {
	var e Effect
	var err error
	changed.Seed, changed.Trials = p.Seed, p.Trials
	search.From, search.OnBetter = s.Order, nil
	search.Schedules = cmp.Or(search.Schedules, SchedulesFor(whatIfSeconds, len(p.Tasks)+len(p.Milestones)))
	if e.BeforePlan, err = Arrange(ctx, p, search); err != nil {
		return Effect{}, err
	}
	if e.AfterPlan, err = Arrange(ctx, changed, search); err != nil {
		return Effect{}, err
	}
	one, err := newSimulation(p, e.BeforePlan, "")
	if err != nil {
		return Effect{}, err
	}
	e.Trials = one.trials()
	before, err := one.run(ctx, e.Trials)
	if err != nil {
		return Effect{}, err
	}
	two, after, err := e.bestAfter(ctx, changed, one.policy)
	if err != nil {
		return Effect{}, err
	}
	e.compare(one, before, two, after)
	return e, nil
}

// bestAfter plays the changed problem by the order that was found for it and by the
// order there was, and takes what does better in the trials: a search looks at likely
// lengths only, and what it finds for less work must not look worse than leaving the
// order alone.
func (e *Effect) bestAfter(ctx context.Context, changed Problem, policy Policy) (*simulation, *outcome, error) {
	kept, err := Arrange(ctx, changed, Search{Schedules: 1, From: e.BeforePlan.Order})
	if err != nil {
		return nil, nil, err
	}
	var best *simulation
	var bestOutcome *outcome
	for _, way := range []struct {
		plan   Schedule
		policy Policy
	}{{e.AfterPlan, ""}, {kept, policy}} {
		m, err := newSimulation(changed, way.plan, way.policy)
		if err != nil {
			return nil, nil, err
		}
		o, err := m.run(ctx, e.Trials)
		if err != nil {
			return nil, nil, err
		}
		if best == nil || m.worth(o) < best.worth(bestOutcome)-rounding {
			best, bestOutcome, e.AfterPlan = m, o, way.plan
		}
	}
	return best, bestOutcome, nil
}

// worth is what a way of doing it comes to: in money where time costs some, else a
// day of lateness for a thousand of the finish, as the choice of a policy weighs it.
func (m *simulation) worth(o *outcome) float64 {
	sum := 0.0
	for t, day := range o.finish {
		sum += day
		for k, s := range m.p.Milestones {
			if s.ByDay != nil {
				sum += 1000 * max(0, o.milestones[k][t]-*s.ByDay)
			}
		}
	}
	mean := sum / float64(len(o.finish))
	if cost := m.cost(o); cost > 0 {
		return 1000*cost + mean/1e6
	}
	return mean
}

func (e *Effect) compare(one *simulation, before *outcome, two *simulation, after *outcome) {
	differences := make([]float64, e.Trials)
	for k := range differences {
		differences[k] = before.finish[k] - after.finish[k]
	}
	d := quantiles(differences)
	e.FinishDays, e.StandardError = tidy(d.Mean), d.SD/math.Sqrt(float64(e.Trials))
	e.PlannedDays = tidy(e.BeforePlan.FinishDay - e.AfterPlan.FinishDay)
	e.CostSaved = tidy(one.cost(before) - two.cost(after))
	e.Milestones = one.changes(before, two.p, after)
	e.Before, e.After = quantiles(before.finish), quantiles(after.finish)
}

// With is the problem after a change.
func (p Problem) With(c Change) (Problem, error) {
	p.Tasks, p.Milestones, p.Resources = slices.Clone(p.Tasks), slices.Clone(p.Milestones), slices.Clone(p.Resources)
	for _, id := range c.Drop {
		if err := p.drop(id); err != nil {
			return p, err
		}
	}
	for _, f := range c.Faster {
		i := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.ID == f.ID })
		if i < 0 {
			return p, unknownTask(f.ID)
		}
		p.shorten(i, f.Days)
	}
	for _, m := range c.More {
		r := p.resource(m.Resource)
		if r < 0 {
			return p, unknownResource(m.Resource)
		}
		p.Resources[r].Capacity += m.Count
	}
	for _, o := range c.Extra {
		r := p.resource(o.Resource)
		if r < 0 {
			return p, unknownResource(o.Resource)
		}
		p.Resources[r].Extra = append(slices.Clone(p.Resources[r].Extra), o)
	}
	return p, nil
}

func unknownTask(id string) error {
	return fmt.Errorf("plan: %q is no task; expected the id of one", id)
}

func unknownResource(id string) error {
	return fmt.Errorf("plan: %q is not among people; expected the name of one", id)
}

func (p Problem) resource(id string) int {
	return slices.IndexFunc(p.Resources, func(r Resource) bool { return r.ID == id })
}

// shorten makes a task some days of its unit shorter, down to nothing. The whole
// range moves.
func (p Problem) shorten(i int, days float64) {
	t := &p.Tasks[i]
	move := func(r uncertain.Range, by float64) *uncertain.Range {
		return &uncertain.Range{Low: max(0, r.Low-by), Likely: max(0, r.Likely-by), High: max(0, r.High-by)}
	}
	if t.Hours != nil {
		t.Hours = move(*t.Hours, days*p.hoursPerWeek()/7)
		return
	}
	t.Days = move(*t.Days, days)
}

// drop takes a task out, with the waits that only it needed: what came after it
// comes after what it came after. A milestone that nothing is left of goes too.
func (p *Problem) drop(id string) error {
	i := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.ID == id })
	if i < 0 {
		return unknownTask(id)
	}
	gone := p.Tasks[i]
	for _, l := range slices.Clone(gone.After) {
		k := slices.IndexFunc(p.Tasks, func(t Task) bool { return t.ID == l.ID && t.Wait })
		if k >= 0 && !p.neededBesides(l.ID, id) {
			part := p.Tasks[k]
			p.cut(part)
			gone.After = bridge(gone.After, part.ID, part.After)
		}
	}
	p.cut(gone)
	for k := 0; k < len(p.Milestones); k++ {
		if m := p.Milestones[k]; len(m.After) == 0 {
			p.Milestones = slices.Delete(p.Milestones, k, k+1)
			p.relink(m.ID, nil)
			k = -1
		}
	}
	return nil
}

// neededBesides reports that something else than one task comes after an id.
func (p *Problem) neededBesides(id, one string) bool {
	for k, links := range p.links() {
		if p.nodeID(k) != one && slices.ContainsFunc(links, func(l Link) bool { return l.ID == id }) {
			return true
		}
	}
	return false
}

// cut takes a task out and bridges the gap.
func (p *Problem) cut(gone Task) {
	p.Tasks = slices.DeleteFunc(p.Tasks, func(t Task) bool { return t.ID == gone.ID })
	p.relink(gone.ID, gone.After)
}

// relink puts other links in the place of one, everywhere.
func (p *Problem) relink(id string, instead []Link) {
	for k := range p.Tasks {
		p.Tasks[k].After = bridge(p.Tasks[k].After, id, instead)
	}
	for k := range p.Milestones {
		p.Milestones[k].After = bridge(p.Milestones[k].After, id, instead)
	}
}

func bridge(links []Link, id string, instead []Link) []Link {
	var out []Link
	for _, l := range links {
		if l.ID != id {
			out = append(out, l)
			continue
		}
		for _, before := range instead {
			out = append(out, Link{before.ID, before.LagDays + l.LagDays})
		}
	}
	return out
}
