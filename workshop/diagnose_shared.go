package workshop

import "wreckwright/diagnose"

// The chance, before anything is known of either, that two symptoms have one
// cause: own estimates. Together is for symptoms that appeared at the same time.
const (
	sameCauseTogether = 0.5
	sameCauseApart    = 0.1
)

// sameCause is the chance that this case has a cause in common with another.
func sameCause(together bool) float64 {
	if together {
		return sameCauseTogether
	}
	return sameCauseApart
}

// sharedWith lists, for each fault of one case, the faults of another that are
// the same thing: those that carry the same key.
func sharedWith(one, other []string) [][]int {
	pairs := make([][]int, len(one))
	for f, key := range one {
		for g, theirs := range other {
			if key != "" && key == theirs {
				pairs[f] = append(pairs[f], g)
			}
		}
	}
	return pairs
}

// sharedLikelihood is what another case says about the faults of this one, up to
// a common factor. prior are this case's priors, theirs and posterior the other's
// before and after its own evidence, pairs the faults they share, s the chance of
// one cause:
//
//	L(f) = 1 - s + s x sum over g shared with f of posterior(g) / Z
//	Z    = sum over all shared pairs of prior(f) x theirs(g)
//
// which is Bayes' rule over "one cause or two": derived in
// docs/decisions/0035-cases-that-share-a-fault.md. Nil where they share nothing
// that can be.
func sharedLikelihood(prior, theirs, posterior []float64, pairs [][]int, s float64) []float64 {
	z := 0.0
	for f, list := range pairs {
		for _, g := range list {
			z += prior[f] * theirs[g]
		}
	}
	if z <= 0 {
		return nil
	}
	likelihood := make([]float64, len(prior))
	for f, list := range pairs {
		likelihood[f] = 1 - s
		for _, g := range list {
			likelihood[f] += s * posterior[g] / z
		}
	}
	return likelihood
}

// scaledPriors are the priors of a case with one cause, scaled to sum 1.
func scaledPriors(faults []diagnose.Fault) []float64 {
	sum := 0.0
	for _, f := range faults {
		sum += f.Prior
	}
	priors := make([]float64, len(faults))
	for i, f := range faults {
		priors[i] = f.Prior / sum
	}
	return priors
}
