package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"wreckwright/rebuild"
)

// mostAtOnce is how many things a plan may hold to be worked out while a page waits
// for something else.
const mostAtOnce = 300

// planAtOnce is the plan where it is at hand quickly; nil: there is none, or it is
// too large for that.
func (w *Workshop) planAtOnce(ctx context.Context, r *rebuild.Rebuild) (*WorkPlan, error) {
	if len(r.Jobs)+len(r.Deliveries) > mostAtOnce {
		return nil, nil
	}
	p, err := w.shortPlan(ctx, r)
	if err != nil || p.Why != "" {
		return nil, err
	}
	return p, nil
}

// planned answers by the plan when it is done: waits, other people's work, the first
// drives and the inspection are counted.
func (a *Answers) planned(p *WorkPlan, o *Outlook) {
	left := inHours("own hours left, even chance", o.Hours.P50)
	f := p.FinishDates
	d := Answer{Question: a.Done.Question, Short: a.Done.Short, Tone: Fair, Link: Target{Page: "plan"}, Working: p.Result.Working}
	d.Figures = []Figure{left, day("one chance in ten by", f.P10), day("even chance by", f.P50), day("nine in ten by", f.P90)}
	d.Headline = phrase("Between %s and %s", d.Figures[1], d.Figures[3])
	d.Detail = phrase("Even chance to be done by %s, waiting for parts, other people's work, the first drives and the inspection counted.", d.Figures[2])
	if n := len(p.Assumed); n > 0 {
		d.Notes = append(d.Notes, count(n, "thing is", "things are")+" taken for granted; the plan's page says which.")
	}
	if wanted, err := time.Parse(time.DateOnly, a.Finish.WantedBy); err == nil {
		// By that day's end.
		by := chance("chance to be done by the day wanted", p.ChanceWithin(wanted.Sub(p.startUTC()).Hours()/24+daysEnd))
		d.Figures = append(d.Figures, by, day("wanted by", a.Finish.WantedBy))
		d.Headline = phrase("Between %s and %s, %s by %s", d.Figures[1], d.Figures[3], by, d.Figures[5])
		d.Tone = toneOf(by.Value)
	}
	a.Done = d
}

// turn finds the job that the plan puts first among those that can be begun now;
// nil: it has none, or there is no plan.
func (a *adviser) turn() (*rebuild.Job, *NowLine) {
	if a.plan == nil {
		return nil, nil
	}
	list, err := nowOf(a.rebuild, a.plan, Present{})
	if err != nil {
		return nil, nil
	}
	i := slices.IndexFunc(list.Now, func(l NowLine) bool {
		j := a.rebuild.Job(l.JobID)
		return l.Kind == TaskJob && j != nil && j.State == rebuild.JobOpen && j.ChosenRoute() != nil
	})
	if i < 0 {
		return nil, nil
	}
	return a.rebuild.Job(list.Now[i].JobID), &list.Now[i]
}

// workInTurn is the job whose turn it is by the plan.
func (a *adviser) workInTurn(j *rebuild.Job, line *NowLine) {
	action := about(Work, j, "Do")
	why := "By the plan it is next: it " + line.Startable.Why[0] + "."
	if n := len(line.Batch); n > 0 {
		why += fmt.Sprintf(" With it, while it is open: %s.", namedFirst(line.Batch, 3))
	}
	action.Why = words(why)
	a.add(action, 0.3)
}

// namedFirst names the first of a list and counts the others.
func namedFirst(list []string, most int) string {
	out := ""
	for i, s := range list {
		switch {
		case i == most:
			return out + fmt.Sprintf(" and %d more", len(list)-most)
		case i > 0:
			out += ", "
		}
		out += fmt.Sprintf("%q", s)
	}
	return out
}
