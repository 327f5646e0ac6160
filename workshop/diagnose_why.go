package workshop

import (
	"context"
	"fmt"

	"wreckwright/diagnose"
)

// advised is what the engine says of a case, and why.
type advised struct {
	advice diagnose.Advice
	reason diagnose.Reason
}

func askEngine(ctx context.Context, c diagnose.Case) (advised, error) {
	advice, reason, err := diagnose.Consult(ctx, c)
	return advised{advice, reason}, err
}

// Way is one way in which the next action may come out, and what is best then.
type Way struct {
	Outcome string
	Chance  float64
	Then    string
	Cost    float64 // from there on
}

// leastWorth is what an action must be worth for the sum to be told: below it the
// words would say "worth nothing".
const leastWorth = 1

// why says in a sentence why that is next.
func (q *question) why(c *Choice, a advised) Phrase {
	currency, reason := a.advice.Currency, a.reason
	worth := 0.0
	if reason.Worth != nil {
		worth = *reason.Worth
	}
	switch c.Kind {
	case diagnose.KindTest:
		effort, figures := effortOf(c, currency)
		said := "A " + effort + " test"
		if len(reason.Splits) == 2 {
			said += ", because it tells %s from %s"
			figures = append(figures, named(q.faultCalled(reason.Splits[0])), named(q.faultCalled(reason.Splits[1])))
		}
		if worth >= leastWorth {
			said += ": worth %s on average"
			figures = append(figures, money("worth", worth, currency))
		}
		return phrase(said+".", figures...)
	case diagnose.KindRepair:
		return q.whyRepair(reason, worth, currency)
	case diagnose.KindReplace:
		return words("Every way of testing and mending from here costs more on average than the whole unit.")
	}
	return Phrase{}
}

func (q *question) whyRepair(reason diagnose.Reason, worth float64, currency string) Phrase {
	cured := 0.0
	for _, c := range reason.Cures {
		cured += c.Chance
	}
	said, figures := "The chance that it cures is %s", []Figure{chance("it cures", min(1, cured))}
	if len(reason.Cures) > 0 {
		said += ", most likely %s"
		figures = append(figures, named(q.faultCalled(reason.Cures[0].ID)))
	}
	said += "; no test before it is worth what it costs"
	if worth >= leastWorth {
		said += ". To do without it would cost %s more on average"
		figures = append(figures, money("worth", worth, currency))
	}
	return phrase(said+".", figures...)
}

// effortOf is what a test takes, before the word: "20-minute", "20-minute, £15".
func effortOf(c *Choice, currency string) (string, []Figure) {
	said := fmt.Sprintf("%.0f-minute", c.Minutes)
	if c.Minutes >= 90 {
		said = fmt.Sprintf("%.2g-hour", c.Minutes/60)
	}
	if c.Cost > 0 {
		return said + ", %s", []Figure{money("cost", c.Cost, currency)}
	}
	return said, nil
}

func (q *question) faultCalled(id string) string {
	return q.faultQuoted(faultAt(&q.model.Case, id))
}

// ways are where the next action leads, in the model's words.
func (q *question) ways(c *Choice, reason diagnose.Reason) []Way {
	var list []Way
	for _, w := range reason.Ways {
		way := Way{Outcome: w.Outcome, Chance: wholeChance(w.Chance), Then: q.actionName(w.Then), Cost: w.Then.ExpectedCost}
		for _, o := range c.Outcomes {
			if o.ID == w.Outcome {
				way.Outcome = o.Name
			}
		}
		if c.Measured {
			way.Outcome = between(w.From, w.To, c.Unit)
		}
		switch w.Then.Kind {
		case diagnose.KindDone:
			way.Then = "nothing is left to do"
		case diagnose.KindNothing:
			way.Then = "nothing is left to try"
		}
		list = append(list, way)
	}
	return list
}

// wholeChance takes off what adding up many small chances leaves.
func wholeChance(p float64) float64 {
	const dust = 1e-9
	if p > 1-dust {
		return 1
	}
	return p
}

// between words a stretch of readings.
func between(from, to *float64, unit string) string {
	if unit != "" {
		unit = " " + unit
	}
	switch {
	case from == nil && to == nil:
		return "any reading"
	case from == nil:
		return fmt.Sprintf("below %.3g%s", *to, unit)
	case to == nil:
		return fmt.Sprintf("above %.3g%s", *from, unit)
	}
	return fmt.Sprintf("%.3g to %.3g%s", *from, *to, unit)
}
