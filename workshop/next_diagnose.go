package workshop

import (
	"context"
	"fmt"

	"wreckwright/rebuild"
)

// openCases weighs the open cases for the list of what to do next. One that cannot
// be weighed stands in it too, to be put right.
func (w *Workshop) openCases(ctx context.Context, r *rebuild.Rebuild) ([]*Diagnosis, error) {
	var open []*Diagnosis
	for i := range r.Cases {
		if r.Cases[i].State != rebuild.CaseOpen {
			continue
		}
		d, err := w.Diagnose(ctx, r, &r.Cases[i])
		if err != nil {
			return nil, fmt.Errorf("the case %q: %w", r.Cases[i].Title, err)
		}
		open = append(open, d)
	}
	return open, nil
}

// diagnosing: what each open case asks to do next, ranked by what it is expected
// to save against the whole unit.
func (a *adviser) diagnosing() {
	for _, d := range a.cases {
		action := Action{Kind: FindOut, Target: Target{Page: "case", ID: d.Case.ID}}
		switch {
		case d.Stop != nil:
			continue // nothing that the workshop does itself
		case d.Wrong != nil:
			action.Title = fmt.Sprintf("Put the case %q right", d.Case.Title)
			action.Why = words("It cannot be weighed as it stands: its model or its trail does not fit together.")
		case d.Next == nil:
			continue
		default:
			action.Title, action.Why = fmt.Sprintf("%s (%s)", d.Next.Name, d.Case.Title), d.Why
			for _, c := range d.Next.Cautions {
				action.Hazards = append(action.Hazards, c.Hazard)
			}
			if s := d.Advice.ExpectedSaving; s != nil && !d.Money.Foreign {
				action.Stake = *s
			}
			action.Working = d.Advice.Working
		}
		a.add(action, a.shareOf(action.Stake))
	}
}
