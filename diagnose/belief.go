package diagnose

import (
	"math"
)

// belief is what is known after the evidence.
type belief struct {
	sets sets
	// weight is the chance of each set of faults that is there now; sums to 1. When
	// cured, it is the chance that the set was what the last action removed.
	weight   []float64
	cured    bool
	tested   []int  // how often each test was done
	repaired []bool // which repairs were done
	// surprise is ln of how much less likely the evidence was than the model
	// expects of that many results; negative: less likely.
	surprise float64
	// logTotal is ln of the sum of the weights before they were scaled: the chance
	// of the evidence, with priors as odds where several faults may be there.
	logTotal float64
}

// believe checks the case and folds in its evidence, in its order: a test sees
// the faults that were there when it was done.
func believe(c Case) (*belief, error) {
	if err := c.checkModel(); err != nil {
		return nil, err
	}
	return c.believeOn(newSets(len(c.Faults), c.most()))
}

// believeOn is the belief of a model that was checked, on its sets.
func (c Case) believeOn(s sets) (*belief, error) {
	b := c.priorBelief(s)
	if b.weight == nil {
		return nil, mistake("faults", "every prior is 0; expected at least one above 0")
	}
	for i, e := range c.Evidence {
		where := item("evidence", i)
		if b.cured {
			return nil, mistake(where, "comes after the cure; expected a new case for what happened since")
		}
		if err := b.take(&c, where, e); err != nil {
			return nil, err
		}
	}
	return b, nil
}

// priorBelief is the belief given nothing but the symptom.
func (c *Case) priorBelief(s sets) *belief {
	b := &belief{sets: s, tested: make([]int, len(c.Tests)), repaired: make([]bool, len(c.Repairs))}
	log := make([]float64, len(b.sets.members))
	for i, members := range b.sets.members {
		for _, f := range members {
			log[i] += math.Log(c.Faults[f].Prior)
			if c.Several > 1 {
				// Relative to no fault at all; 1 - prior is kept off 0 so that a fault that is
				// surely there stays comparable with the others.
				log[i] -= math.Log(math.Max(1-c.Faults[f].Prior, 1e-12))
			}
		}
	}
	b.weight, b.logTotal = fromLog(log)
	return b
}

func (c *Case) most() int { return min(c.Several, len(c.Faults)) }

// fromLog turns log weights into weights that sum to 1, and gives the log of
// their sum; ok is false (weights nil) when all are zero.
func fromLog(log []float64) (w []float64, logSum float64) {
	top := math.Inf(-1)
	for _, l := range log {
		top = math.Max(top, l)
	}
	if math.IsInf(top, -1) {
		return nil, top
	}
	w = make([]float64, len(log))
	total := 0.0
	for i, l := range log {
		w[i] = math.Exp(l - top)
		total += w[i]
	}
	for i := range w {
		w[i] /= total
	}
	return w, top + math.Log(total)
}

// update multiplies in log likelihoods by set and gives ln of the chance of the
// evidence; ok is false when no set allows it.
func (b *belief) update(log []float64) (logChance float64, ok bool) {
	posterior := make([]float64, len(log))
	for i, w := range b.weight {
		posterior[i] = math.Log(w) + log[i]
	}
	w, logChance := fromLog(posterior)
	if w == nil {
		return logChance, false
	}
	b.weight = w
	b.logTotal += logChance
	return logChance, true
}
