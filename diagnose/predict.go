package diagnose

import (
	"cmp"
	"slices"
)

// predictedReadings is how many readings stand for what a measured test may
// show.
const predictedReadings = 9

// OutcomeChance is one way a test may come out.
type OutcomeChance struct {
	Outcome   string
	Value     *float64  // of a measured test: a reading; as many lie near it as near each of the others
	Chance    float64   // of the outcome now
	Posterior []float64 // chance of each fault after it, in the order of the case; nil: it cannot come
}

// Predict says how a test may come out now and what each outcome would make of
// the chances of the faults. The error is a [*Mistake].
func Predict(c Case, test string) ([]OutcomeChance, error) {
	b, err := believe(c)
	if err != nil {
		return nil, err
	}
	i := slices.IndexFunc(c.Tests, func(t Test) bool { return t.ID == test })
	if i < 0 {
		return nil, mistake("tests."+test, "there is no such test; expected one of the case's")
	}
	if t := &c.Tests[i]; len(t.Measured) > 0 {
		return b.predictReadings(t), nil
	}
	return b.predictOutcomes(&c.Tests[i]), nil
}

func (b *belief) predictOutcomes(t *Test) []OutcomeChance {
	var all []OutcomeChance
	for o, row := range t.setRows(&b.sets) {
		p := OutcomeChance{Outcome: t.Outcomes[o], Chance: dot(row, b.weight)}
		p.Posterior = b.after(logs(row))
		all = append(all, p)
	}
	return all
}

// after is the chance of each fault after log likelihoods by set; nil: it cannot
// be.
func (b *belief) after(log []float64) []float64 {
	then := *b
	if _, ok := then.update(log); !ok {
		return nil
	}
	return b.sets.marginal(then.weight)
}

// predictReadings takes readings of equal chance out of the mixture of the
// faults by their chances now.
func (b *belief) predictReadings(t *Test) []OutcomeChance {
	const each = 60
	type weighted struct{ x, w float64 }
	var all []weighted
	for f, p := range mixedMarginal(&b.sets, b.weight) {
		for k := range each {
			all = append(all, weighted{x: t.Measured[f].quantile((float64(k) + 0.5) / each), w: p / each})
		}
	}
	slices.SortFunc(all, func(a, b weighted) int { return cmp.Compare(a.x, b.x) })
	var out []OutcomeChance
	below := 0.0
	for _, r := range all {
		below += r.w
		for k := len(out); k < predictedReadings && below >= (float64(k)+0.5)/predictedReadings; k++ {
			x := r.x
			out = append(out, OutcomeChance{Value: &x, Chance: 1.0 / predictedReadings, Posterior: b.after(t.logRow(&b.sets, x, 0))})
		}
	}
	return out
}
