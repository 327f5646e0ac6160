package workshop

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// Seconds of search: the first answer is for a page that waits, the second for one
// that asks again.
const (
	quickSeconds  = 0.03
	betterSeconds = 1.0
)

// searches are the plans that are being improved, at most one for each rebuild.
type searches struct {
	mu    sync.Mutex
	going map[int64]*search
	all   sync.WaitGroup
	turn  chan struct{} // one search at a time: pages need the other hands
}

// search is one plan being improved.
type search struct {
	stamp
	end context.CancelFunc

	mu       sync.Mutex
	progress plan.Progress
}

func (s *search) note(p plan.Progress) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.progress = p
}

func (s *search) far() plan.Progress {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.progress
}

// Planned is the plan of a rebuild today. The first answer comes from a short
// search; a longer one goes on in the background, and Improving says so: ask again.
func (w *Workshop) Planned(ctx context.Context, r *rebuild.Rebuild) (*WorkPlan, error) {
	want := stamp{r.Version, w.today()}
	if better, ok := w.better.look(r.ID, want); ok {
		return better, nil
	}
	quick, err := w.quickPlan(ctx, r)
	if err != nil || quick.Why != "" || quick.Search.Proven {
		return quick, err
	}
	s, better := w.improve(r, quick, want)
	if better != nil {
		return better, nil
	}
	now := *quick
	now.Improving, now.Progress = true, s.far()
	return &now, nil
}

// quickPlan is the plan after a short search, or the better one where it is known.
func (w *Workshop) quickPlan(ctx context.Context, r *rebuild.Rebuild) (*WorkPlan, error) {
	if better, ok := w.better.look(r.ID, stamp{r.Version, w.today()}); ok {
		return better, nil
	}
	return w.shortPlan(ctx, r)
}

// shortPlan is the plan after a short search: the same for the same book and day.
func (w *Workshop) shortPlan(ctx context.Context, r *rebuild.Rebuild) (*WorkPlan, error) {
	today := w.today()
	return w.plans.get(ctx, w.life, r, today, func(life context.Context) (*WorkPlan, error) {
		return arranged(life, PlanOf(r, today), quickSeconds, nil, nil)
	})
}

// improve goes on searching from a plan, unless that is done already: then it gives
// what was found.
func (w *Workshop) improve(r *rebuild.Rebuild, from *WorkPlan, want stamp) (*search, *WorkPlan) {
	w.searching.mu.Lock()
	defer w.searching.mu.Unlock()
	if better, ok := w.better.look(r.ID, want); ok {
		return nil, better
	}
	if s := w.searching.going[r.ID]; s != nil {
		if s.stamp == want || s.version > want.version {
			return s, nil
		}
		s.end()
	}
	life, end := context.WithCancel(w.life)
	s := &search{stamp: want, end: end, progress: plan.Progress{FinishDay: from.FinishDay, LowerBound: from.LowerBound, Budget: schedulesFor(betterSeconds, from.nodes())}}
	if w.searching.going == nil {
		w.searching.going = map[int64]*search{}
	}
	w.searching.going[r.ID] = s
	w.searching.all.Go(func() {
		defer end()
		defer w.searching.over(r.ID, s)
		select {
		case w.searching.turn <- struct{}{}:
			defer func() { <-w.searching.turn }()
		case <-life.Done():
			return
		}
		better, err := caught(life, func(ctx context.Context) (*WorkPlan, error) {
			return arranged(ctx, from, betterSeconds, from.Order, s.note)
		})
		if err == nil && life.Err() == nil {
			w.better.keep(r.ID, remembered[*WorkPlan]{want, better})
		} else if life.Err() == nil {
			w.log.Warn("the plan was not improved", "rebuild", r.ID, "error", err)
			w.better.keep(r.ID, remembered[*WorkPlan]{want, from})
		}
	})
	return s, nil
}

// over forgets a search that ended, so that nobody waits for it any more.
func (s *searches) over(id int64, ended *search) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.going[id] == ended {
		delete(s.going, id)
	}
}

// schedulesFor is the budget of a search. A schedule of very many tasks takes longer
// than in proportion: each looks through what is placed already.
func schedulesFor(seconds float64, nodes int) int {
	most := seconds * 1e8 / float64(nodes*nodes)
	return max(4, min(plan.SchedulesFor(seconds, nodes), int(most)))
}

// withNames puts the names of milestones, people and things in the place of their
// ids.
func withNames(r plan.Result, p plan.Problem) plan.Result {
	var swap [][2]string
	for _, m := range p.Milestones {
		swap = append(swap, [2]string{m.ID, m.Name})
	}
	for _, who := range p.Resources {
		swap = append(swap, [2]string{who.ID, who.Name})
	}
	// A long id may begin with a short one.
	slices.SortStableFunc(swap, func(a, b [2]string) int { return len(b[0]) - len(a[0]) })
	var flat []string
	for _, s := range swap {
		flat = append(flat, s[0], s[1])
	}
	names := strings.NewReplacer(flat...)
	r.Cautions, r.Working = slices.Clone(r.Cautions), slices.Clone(r.Working)
	for i := range r.Cautions {
		r.Cautions[i] = names.Replace(r.Cautions[i])
	}
	for i := range r.Working {
		r.Working[i].What = names.Replace(r.Working[i].What)
		if strings.HasPrefix(r.Working[i].Formula, "share of trials that reach it by") {
			r.Working[i].Formula = "share of trials that reach it by that day's end"
		}
	}
	return r
}

func (p *WorkPlan) nodes() int { return len(p.Problem.Tasks) + len(p.Problem.Milestones) }

// arranged searches for an order and plays it.
func arranged(ctx context.Context, p *WorkPlan, seconds float64, order []string, tell func(plan.Progress)) (*WorkPlan, error) {
	if p.Why != "" {
		return p, nil
	}
	out := *p
	out.Improving = false
	result, err := plan.Run(ctx, ctx, p.Problem, plan.Search{Schedules: schedulesFor(seconds, p.nodes()), From: order, OnBetter: tell})
	if err != nil {
		return nil, fmt.Errorf("the plan: %w", err)
	}
	out.Result = withNames(result, p.Problem)
	out.Cautions = append(out.Cautions, out.slotCautions()...)
	out.Stand = standOf(&out)
	return &out, nil
}
