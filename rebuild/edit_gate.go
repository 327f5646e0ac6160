package rebuild

import (
	"fmt"
	"strings"
)

// PassGate keeps that a gate was passed. Whether it may be is for those who know
// the rules; what stood against it is in p. The number and revision are given here.
func (r *Rebuild) PassGate(p GatePass) (Change, error) {
	p.ID, p.Rev = r.nextID(), 0
	p.Reason = strings.TrimSpace(p.Reason)
	if err := p.Validate(); err != nil {
		return Change{}, err
	}
	c := Change{What: passInWords(p), nextID: p.ID + 1}
	c.add(p)
	return c, nil
}

func passInWords(p GatePass) string {
	reason := strings.TrimRight(short(p.Reason), ".") // a stop may follow the words
	switch n := len(p.Against); n {
	case 0:
		return fmt.Sprintf("passed the gate %q", p.Gate)
	case 1:
		return fmt.Sprintf("passed the gate %q against advice, with one thing against it: %s", p.Gate, reason)
	default:
		return fmt.Sprintf("passed the gate %q against advice, with %d things against it: %s", p.Gate, n, reason)
	}
}

// WithdrawPass takes a pass back; it stays in the book with the reason.
func (r *Rebuild) WithdrawPass(id int64, rev int, at, why string) (Change, error) {
	old := lookup(r.GatePasses, id)
	if old == nil {
		return Change{}, &Missing{KindGatePass, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindGatePass, id, old.Label(), *old}
	}
	if !old.Holds() {
		return Change{}, &Invalid{[]Problem{{"withdrawn_at", "it was withdrawn already"}}}
	}
	next := *old
	next.WithdrawnAt, next.WithdrawnWhy = at, strings.TrimSpace(why)
	if err := next.Validate(); err != nil {
		return Change{}, err
	}
	return changed(fmt.Sprintf("withdrew the pass of the gate %q", next.Gate), *old, next), nil
}
