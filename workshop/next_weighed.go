package workshop

import (
	"context"
	"errors"
	"time"

	"wreckwright/rebuild"
)

// soonEnough is how long a list of what to do next waits for what the open cases
// ask for, from when weighing them began. Seconds may pass until they are weighed;
// everything else on the list need not wait for that.
const soonEnough = 300 * time.Millisecond

// WeighAhead weighs the open cases of every rebuild in the background, now and after
// each change, so that pages find the advice ready. It returns at once; Close ends
// it.
func (w *Workshop) WeighAhead() {
	w.ahead.Store(true)
	w.aside.Go(func() {
		list, err := w.book.List(w.life)
		if err != nil {
			return // the pages say what is wrong with the book
		}
		for _, s := range list {
			if r, err := w.book.Load(w.life, s.ID); err == nil && w.life.Err() == nil {
				_, _ = w.Answers(w.life, r)
				_, _ = w.weighedCases(w.life, r)
			}
		}
	})
}

// weigh begins to weigh the open cases unless that is done or going on, and gives
// when it began.
func (w *Workshop) weigh(r *rebuild.Rebuild) time.Time {
	want := stamp{r.Version, w.today()}
	if since, ok := w.weighing.look(r.ID, want); ok {
		return since
	}
	since := time.Now()
	w.weighing.keep(r.ID, remembered[time.Time]{want, since})
	w.aside.Go(func() { _, _ = w.weighedCases(w.life, r) }) // who asks gets the error
	return since
}

func (w *Workshop) weighedCases(ctx context.Context, r *rebuild.Rebuild) ([]*Diagnosis, error) {
	return w.weighed.get(ctx, w.life, r, w.today(), func(life context.Context) ([]*Diagnosis, error) { return w.openCases(life, r) })
}

// casesSoon are the open cases weighed; whole is false where they are not yet.
func (w *Workshop) casesSoon(ctx context.Context, r *rebuild.Rebuild) (cases []*Diagnosis, whole bool, err error) {
	soon, end := context.WithDeadline(ctx, w.weigh(r).Add(w.patience))
	defer end()
	cases, err = w.weighedCases(soon, r)
	if errors.Is(err, context.DeadlineExceeded) && ctx.Err() == nil {
		return nil, false, nil
	}
	return cases, err == nil, err
}

func hasOpenCase(r *rebuild.Rebuild) bool {
	for i := range r.Cases {
		if r.Cases[i].State == rebuild.CaseOpen {
			return true
		}
	}
	return false
}

// stillWeighed stands in for what the open cases ask for while that is not known.
func (a *adviser) stillWeighed() {
	for i := range a.rebuild.Cases {
		if k := &a.rebuild.Cases[i]; k.State == rebuild.CaseOpen {
			a.add(Action{
				Kind: FindOut, Title: "See what the case \"" + k.Title + "\" asks for next", Target: Target{Page: "case", ID: k.ID},
				Why: words("It is being weighed; in a moment its page says what to test or mend next."),
			}, 0.1)
		}
	}
}
