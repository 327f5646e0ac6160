package workshop

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
)

// TestTheListDoesNotWaitForTheCases: while a case is being weighed the list and the
// five answers say so; afterwards they say what it asks for. Nothing that was said
// meanwhile is taken for the answer.
func TestTheListDoesNotWaitForTheCases(t *testing.T) {
	w := open(t)
	w.patience = time.Millisecond
	r := stand(t, surveyed, aJob("a", 1, inState(rebuild.JobProven)), pays(100, 1), opens(rebuild.Case{Model: slow}))
	release := make(chan struct{})
	held := w.weighed.flight.DoChan(fmt.Sprintf("%d/%d/%s", r.ID, r.Version, today), func() (any, error) {
		<-release
		return nil, errors.New("it was only held up")
	})
	first, err := w.Next(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	at := slices.IndexFunc(first, func(a Action) bool { return a.Kind == FindOut })
	if at < 0 || first[at].Title != `See what the case "Window winds slowly" asks for next` || !strings.Contains(first[at].Why.String(), "being weighed") {
		t.Fatalf("while it is weighed: %q", titles(first))
	}
	early, err := w.Answers(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	close(release)
	<-held
	w.aside.Wait()
	w.patience = time.Minute
	w.weighing = memory[time.Time]{}
	then, err := w.Next(t.Context(), r)
	if err != nil {
		t.Fatal(err)
	}
	want := diagnosed(t, r, 0).Next.Name + " (Window winds slowly)"
	if !slices.Contains(titles(then), want) || slices.Contains(titles(then), first[at].Title) {
		t.Errorf("once it is weighed: %q, want %q", titles(then), want)
	}
	later, err := w.Answers(t.Context(), r)
	if err != nil || early.Next.Headline.String() == later.Next.Headline.String() {
		t.Errorf("the answer %q stayed (%v)", later.Next.Headline, err)
	}
}

// TestCasesAreWeighedAhead: a book that is served has its open cases weighed before
// a page asks, and again after each change.
func TestCasesAreWeighedAhead(t *testing.T) {
	w := open(t)
	r, err := w.Book().Start(t.Context(), byTest, aCar())
	if err != nil {
		t.Fatal(err)
	}
	if r, _, err = w.Book().Do(t.Context(), byTest, r.ID, opens(rebuild.Case{Model: slow})); err != nil {
		t.Fatal(err)
	}
	w.WeighAhead()
	w.aside.Wait()
	if cases, ok := w.weighed.look(r.ID, stamp{r.Version, today}); !ok || len(cases) != 1 || cases[0].Next == nil {
		t.Errorf("served: %v, %v", cases, ok)
	}
	if r, _, err = w.Book().Do(t.Context(), byTest, r.ID, opens(rebuild.Case{Model: slow, Title: "Another"})); err != nil {
		t.Fatal(err)
	}
	if err := w.keepMark(t.Context(), r.ID); err != nil {
		t.Fatal(err)
	}
	w.aside.Wait()
	if cases, ok := w.weighed.look(r.ID, stamp{r.Version, today}); !ok || len(cases) != 2 {
		t.Errorf("changed: %v, %v", cases, ok)
	}
}
