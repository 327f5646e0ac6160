package diagnose

import (
	"fmt"
	"math"
)

const nothingLeft = "Nothing is left in the model: every repair that could cure has been done and did not. Add the fault that is missing, another repair, or the price of the whole unit."

// surprising is ln of 1/1000: evidence so much less likely than the model
// expects of as many results says that the model is wrong. The limit is our own
// choice.
var surprising = -math.Log(1000)

// surpriseWords says that the evidence fits badly; empty: it does not.
func (b *belief) surpriseWords() string {
	if b.surprise >= surprising {
		return ""
	}
	return "What was found fits none of the faults well: results like these are more than 1000 times rarer than the model expects. A fault is probably missing from the list, or a result is wrong."
}

// cautions is what to know about the figures of a solution.
func (s *solution) cautions(next *account) []string {
	var all []string
	if next.stuck > 1e-9 {
		all = append(all, fmt.Sprintf("In %s of 100 cases the plan ends with the symptom still there: every repair done, and no whole unit to fall back on. What comes then is not in the expected cost.", hundredths(next.stuck)))
	}
	if s.c.Several > 1 {
		all = append(all, s.severalCautions()...)
	}
	if s.repeats() {
		all = append(all, fmt.Sprintf("A test that can be repeated is taken as a fresh, independent reading each time, and weighed at most %d more times. A gauge that is off is off every time: repeat with another one.", s.mostRepeats()))
	}
	if s.method == Exact && s.grain.bands < 24 && s.c.openMeasured(s.b) > 0 {
		all = append(all, fmt.Sprintf("Readings still to come are weighed in %d bands: the expected cost may be some tenths of a percent too high.", s.grain.bands))
	}
	if s.method == LookAhead {
		all = append(all, "The case is too large to be solved exactly: the expected cost is that of the plan proposed, found by looking two steps ahead, and again along its likeliest ways; a better plan may exist.")
	}
	return all
}

func hundredths(p float64) string {
	if p < 0.01 {
		return fmt.Sprintf("%.2g", 100*p)
	}
	return fmt.Sprintf("%.0f", 100*p)
}

func (s *solution) severalCautions() []string {
	all := []string{fmt.Sprintf("Up to two faults at once are weighed. By the priors alone %s of 100 such cases have three or more, which are left out.", hundredths(s.c.threeOrMore()))}
	for i := range s.p.tests {
		if len(s.p.tests[i].test.Measured) > 0 {
			return append(all, "With two faults at once a measured reading is taken to come from either of them with an even chance.")
		}
	}
	return all
}

// threeOrMore is the chance of three faults or more given at least one, with
// independent priors.
//
// ref: TROUBLESHOOT_PROBLEMS share of one, two and three faults of 40
func (c *Case) threeOrMore() float64 {
	chance := [3]float64{1, 0, 0} // of none, one, two
	for _, f := range c.Faults {
		q := f.Prior
		chance[2] = chance[2]*(1-q) + chance[1]*q
		chance[1] = chance[1]*(1-q) + chance[0]*q
		chance[0] *= 1 - q
	}
	if chance[0] >= 1 {
		return 0
	}
	return math.Max(0, 1-(chance[1]+chance[2])/(1-chance[0]))
}

func (s *solution) repeats() bool {
	for i := range s.p.tests {
		if s.p.tests[i].again {
			return true
		}
	}
	return false
}

// mostRepeats is how often the method weighs a repetition.
func (s *solution) mostRepeats() int {
	if s.method == LookAhead {
		return 2 // in one look; each later look may weigh it again
	}
	return s.grain.repeats
}
