package workshop

import (
	"context"
	"testing"
)

func TestPlanSmoke(t *testing.T) {
	w := open(t)
	r := bigBook(t)
	_ = r
	p := PlanOf(r, today)
	t.Log(p.Why, len(p.Problem.Tasks), len(p.Assumed))
	_, err := w.Planned(context.Background(), r)
	t.Log(err)
}
