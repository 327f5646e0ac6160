package survey

import (
	"math"
	"math/rand/v2"
	"testing"
)

// TestOrderAndDirectionDoNotMatter: the same lines in another order, read from
// the other end, give the same survey.
func TestOrderAndDirectionDoNotMatter(t *testing.T) {
	base := car(t, true)
	want := examine(t, base)
	at := map[string]Point{}
	for _, p := range want.Points {
		at[p.ID] = p
	}
	for seed := range uint64(8) {
		chance := rand.New(rand.NewPCG(seed, 1))
		c := base
		c.Distances = append([]Distance(nil), base.Distances...)
		chance.Shuffle(len(c.Distances), func(i, j int) { c.Distances[i], c.Distances[j] = c.Distances[j], c.Distances[i] })
		for k := range c.Distances {
			if chance.IntN(2) == 0 {
				c.Distances[k].From, c.Distances[k].To = c.Distances[k].To, c.Distances[k].From
			}
		}
		got, err := Examine(c)
		if err != nil {
			t.Fatal(err)
		}
		if len(got.Blunders) != 2 || len(got.Moved) != 1 || math.Abs(got.Sigma0-want.Sigma0) > 1e-9 {
			t.Fatalf("%+v %+v %v", got.Blunders, got.Moved, got.Sigma0)
		}
		for _, p := range got.Points {
			w := at[p.ID]
			if math.Abs(p.X-w.X)+math.Abs(p.Y-w.Y)+math.Abs(*p.Z-*w.Z) > 1e-5 {
				t.Fatalf("%+v, was %+v", p, w)
			}
		}
	}
}
