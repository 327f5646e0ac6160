package workshop

import (
	"context"

	"wreckwright/rebuild"
)

// standOf is a plan as it stands, to be kept.
func standOf(p *WorkPlan) rebuild.PlanStand {
	s := rebuild.PlanStand{On: p.On, P10: p.FinishDates.P10, P50: p.FinishDates.P50, P80: p.FinishDates.P80, P90: p.FinishDates.P90}
	for i, m := range p.Reached {
		s.Reached = append(s.Reached, rebuild.ReachedStand{
			Key: p.Goals[i].Key, Name: p.Goals[i].Name, P50: dateOf(p, m.Quantiles.P50), P80: dateOf(p, m.Quantiles.P80), Wished: m.ByDate, Chance: m.ChanceBy,
		})
	}
	return s
}

func dateOf(p *WorkPlan, day float64) string { return p.Date(day).Format("2006-01-02") }

// PlanHistory is how the plan stood on earlier days.
type PlanHistory struct {
	First *rebuild.PlanStand  // what later plans are held against; nil: none yet
	Kept  bool                // First was chosen; else it is the earliest there is
	Marks []rebuild.PlanStand // by day
}

// PlanHistory tells the plan as it stood on each day that was kept.
func (w *Workshop) PlanHistory(ctx context.Context, r *rebuild.Rebuild) (PlanHistory, error) {
	marks, err := w.book.Marks(ctx, r.ID)
	if err != nil {
		return PlanHistory{}, err
	}
	var h PlanHistory
	for _, m := range marks {
		if m.Plan != nil {
			h.Marks = append(h.Marks, *m.Plan)
		}
	}
	switch kept := r.Timetable().Kept; {
	case kept != nil:
		h.First, h.Kept = kept, true
	case len(h.Marks) > 0:
		h.First = &h.Marks[0]
	}
	return h, nil
}
