package workshop

import (
	"fmt"

	"wreckwright/rebuild"
)

// refitting: what is off and can go back, and what must be bought before the rest
// can.
func (a *adviser) refitting() {
	off := len(a.rebuild.StillOff(""))
	if off == 0 {
		a.leftOver()
		return
	}
	if ready := len(a.rebuild.Refit().Ready().Steps); ready > 0 {
		a.add(Action{
			Kind: Work, Title: "Put back what can go back: " + count(ready, "thing", "things"), Target: Target{Page: "refit"},
			Why: words(fmt.Sprintf("%s off the car, and nothing stands against %s. What is back is not lost.", count(off, "thing is", "things are"), map[bool]string{true: "this one", false: "these"}[ready == 1])),
		}, 0.2)
	}
	if lines := notOrdered(a.rebuild); lines > 0 {
		a.add(Action{
			Kind: Ask, Title: "Order what must be new before it goes back: " + count(lines, "line", "lines"), Target: Target{Page: "refit"},
			Why: words("One-time fasteners and worn parts hold up the refit until they are there, and a day's wait in time is a week's wait in the end."),
		}, 0.4)
	}
}

// leftOver: all is back on, yet something lies on the bench.
func (a *adviser) leftOver() {
	if len(a.rebuild.Strip) == 0 {
		return
	}
	left := LooseEnds(a.rebuild)
	if len(left.Bags)+len(left.Connectors) == 0 {
		return
	}
	a.add(Action{
		Kind: Prove, Title: "Find where what is left over belongs", Target: Target{Page: "refit"},
		Why: words(fmt.Sprintf("Everything is back on the car, and still %s in bags and %s.", count(left.Fasteners, "fastener is", "fasteners are"), count(len(left.Connectors), "connector is not made", "connectors are not made"))),
	}, 0.9)
}

// notOrdered is how many lines of what to buy were not ordered yet.
func notOrdered(r *rebuild.Rebuild) int {
	n := 0
	for _, b := range r.ToBuy() {
		if len(b.Items) > 0 && BuyOrdered(b) == "" {
			n++
		}
	}
	return n
}
