package diagnose

import (
	"fmt"
	"math"
	"slices"
)

// rowTolerance is how far the chances of a row may be from 1 in sum: what four
// rounded figures may be off, and no more.
const rowTolerance = 1e-6

// maxFaults, maxTests and maxRepairs bound a case to what is answered in a
// moment: twice and more what a symptom of a car asks for.
const (
	maxFaults   = 100
	maxTests    = 100
	maxRepairs  = 200
	maxOutcomes = 50
	maxFigures  = 10e6 // of a plan of two faults at once: sets x repairs x outcomes of a test
)

// Check reports the first thing that cannot be in the case, evidence included,
// as a [*Mistake]; nil: the case can be advised on.
func (c Case) Check() error {
	if _, err := believe(c); err != nil {
		return err
	}
	return nil
}

// checkModel checks everything but the evidence.
func (c Case) checkModel() error {
	for _, check := range []func() error{
		c.checkSize, c.checkIDs, c.checkFaults, c.checkTests, c.checkRepairs, c.checkWhole, c.checkCurable,
	} {
		if err := check(); err != nil {
			return err
		}
	}
	return nil
}

func mistake(where, what string, args ...any) error {
	return &Mistake{Where: where, What: fmt.Sprintf(what, args...)}
}

func (c Case) checkSize() error {
	switch {
	case c.Several != 1 && c.Several != 2:
		return mistake("several", "is %d; expected 1, one cause at a time, or 2, up to two at once", c.Several)
	case len(c.Faults) == 0:
		return mistake("faults", "there are none; expected at least one")
	case len(c.Faults) > maxFaults:
		return mistake("faults", "there are %d; expected %d at most", len(c.Faults), maxFaults)
	case len(c.Tests) > maxTests:
		return mistake("tests", "there are %d; expected %d at most", len(c.Tests), maxTests)
	case len(c.Repairs) > maxRepairs:
		return mistake("repairs", "there are %d; expected %d at most", len(c.Repairs), maxRepairs)
	case !(c.HourValue >= 0) || c.HourValue > 1e12:
		return mistake("hour_value", "is %v; expected what an own hour is worth, 0 or more", c.HourValue)
	}
	return c.checkPairs()
}

// checkPairs bounds what pairs of faults come to.
func (c Case) checkPairs() error {
	outcomes := lookBands
	for _, t := range c.Tests {
		outcomes = max(outcomes, len(t.Outcomes))
	}
	n := len(c.Faults)
	if c.Several > 1 && float64(n*(n+1)/2*(len(c.Repairs)+1)*outcomes) > maxFigures {
		return mistake("several", "is %d with %d faults, %d repairs and %d outcomes of a test, which are too many to weigh in pairs; expected several: 1, or fewer of them",
			c.Several, n, len(c.Repairs), outcomes)
	}
	return nil
}

func (c Case) checkIDs() error {
	seen := map[string]bool{}
	one := func(list, id string) error {
		switch {
		case id == "":
			return mistake(list, "one has no id; expected an id for each")
		case id == WholeUnit:
			return mistake(list+"."+id, "this id means the whole unit; expected another")
		case seen[list+"."+id]:
			return mistake(list+"."+id, "%q is given twice; expected an id of its own for each of %s", id, list)
		}
		seen[list+"."+id] = true
		return nil
	}
	for _, f := range c.Faults {
		if err := one("faults", f.ID); err != nil {
			return err
		}
	}
	for _, t := range c.Tests {
		if err := one("tests", t.ID); err != nil {
			return err
		}
	}
	for _, r := range c.Repairs {
		if err := one("repairs", r.ID); err != nil {
			return err
		}
	}
	return nil
}

func (c Case) checkFaults() error {
	total := 0.0
	for _, f := range c.Faults {
		where := "faults." + f.ID + ".prior"
		if !(f.Prior >= 0) || math.IsInf(f.Prior, 0) {
			return mistake(where, "is %v; expected a chance, 0 or more", f.Prior)
		}
		if c.Several > 1 && f.Prior > 1 {
			return mistake(where, "is %v; expected a chance between 0 and 1, since several faults may be there at once", f.Prior)
		}
		total += f.Prior
	}
	if total == 0 {
		return mistake("faults", "every prior is 0; expected at least one above 0")
	}
	if math.IsInf(total, 0) {
		return mistake("faults", "the priors are too large to add up; expected chances")
	}
	return nil
}

// checkEffort checks the money and minutes of one action.
func checkEffort(where string, cost, minutes float64) error {
	if !(cost >= 0) || cost > 1e12 {
		return mistake(where+".cost", "is %v; expected money, 0 or more", cost)
	}
	if !(minutes >= 0) || minutes > 1e12 {
		return mistake(where+".minutes", "is %v; expected minutes, 0 or more", minutes)
	}
	return nil
}

func (c Case) checkTests() error {
	for _, t := range c.Tests {
		where := "tests." + t.ID
		if err := checkEffort(where, t.Cost, t.Minutes); err != nil {
			return err
		}
		var err error
		switch {
		case len(t.Measured) > 0 && len(t.Outcomes) > 0:
			err = mistake(where, "has both outcomes and measured; expected one of them")
		case len(t.Measured) > 0:
			err = c.checkMeasured(where, t)
		default:
			err = c.checkOutcomes(where, t)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func (c Case) checkOutcomes(where string, t Test) error {
	if len(t.Outcomes) == 0 {
		return mistake(where, "has neither outcomes nor measured; expected one of them")
	}
	if len(t.Outcomes) > maxOutcomes {
		return mistake(where+".outcomes", "there are %d; expected %d at most", len(t.Outcomes), maxOutcomes)
	}
	for o, name := range t.Outcomes {
		if slices.Contains(t.Outcomes[:o], name) {
			return mistake(where+".outcomes", "%q is given twice; expected each outcome once", name)
		}
	}
	if len(t.Chance) != len(c.Faults) {
		return mistake(where+".outcomes", "there are %d faults in it; expected all %d", len(t.Chance), len(c.Faults))
	}
	for f, row := range t.Chance {
		if err := checkRow(where+".outcomes."+c.Faults[f].ID, row, len(t.Outcomes)); err != nil {
			return err
		}
	}
	if t.Healthy != nil {
		return checkRow(where+".healthy", t.Healthy, len(t.Outcomes))
	}
	return nil
}

func checkRow(where string, row []float64, outcomes int) error {
	if len(row) != outcomes {
		return mistake(where, "there are %d chances; expected one for each of %d outcomes", len(row), outcomes)
	}
	sum := 0.0
	for _, p := range row {
		if !(p >= 0 && p <= 1) {
			return mistake(where, "a chance is %v; expected one between 0 and 1", p)
		}
		sum += p
	}
	if math.Abs(sum-1) > rowTolerance {
		return mistake(where, "the chances add up to %.6g; expected 1", sum)
	}
	return nil
}

func (c Case) checkMeasured(where string, t Test) error {
	where += ".measured"
	if len(t.Measured) != len(c.Faults) {
		return mistake(where, "there are %d faults in it; expected all %d", len(t.Measured), len(c.Faults))
	}
	if t.Healthy != nil {
		return mistake(where, "a measured test has no healthy row; expected none")
	}
	for f, r := range t.Measured {
		if err := r.check(where + "." + c.Faults[f].ID); err != nil {
			return err
		}
	}
	return nil
}

func (r Reading) check(where string) error {
	finite := math.Abs(r.Centre) <= 1e12 && math.Abs(r.Spread) <= 1e12
	switch r.Shape {
	case Normal:
		if !finite || !(r.Spread > 0) {
			return mistake(where, "mean %v, sd %v; expected an sd above 0", r.Centre, r.Spread)
		}
	case Lognormal:
		if !finite || !(r.Centre > 0) {
			return mistake(where, "median %v; expected one above 0", r.Centre)
		}
		if !(r.Spread > 1) {
			return mistake(where, "spread %v; expected a factor above 1, such as 1.6", r.Spread)
		}
	default:
		return mistake(where, "the shape is %q; expected a median and spread, or a mean and sd", r.Shape)
	}
	return nil
}

func (c Case) checkRepairs() error {
	for _, r := range c.Repairs {
		where := "repairs." + r.ID
		if err := checkEffort(where, r.Cost, r.Minutes); err != nil {
			return err
		}
		if len(r.Fixes) != len(c.Faults) {
			return mistake(where+".fixes", "there are %d faults in it; expected all %d", len(r.Fixes), len(c.Faults))
		}
		for f, p := range r.Fixes {
			if !(p >= 0 && p <= 1) {
				return mistake(where+".fixes."+c.Faults[f].ID, "is %v; expected a chance between 0 and 1", p)
			}
		}
	}
	return nil
}

func (c Case) checkWhole() error {
	if c.ReplaceAll == nil {
		return nil
	}
	return checkEffort(WholeUnit, c.ReplaceAll.Cost, c.ReplaceAll.Minutes)
}

// checkCurable finds a fault that nothing cures.
func (c Case) checkCurable() error {
	if c.ReplaceAll != nil {
		return nil
	}
	for f := range c.Faults {
		cures := func(r Repair) bool { return r.Fixes[f] > 0 }
		if !slices.ContainsFunc(c.Repairs, cures) {
			return mistake("faults."+c.Faults[f].ID, "no repair cures it and there is no replace_all; expected a repair that names it in fixes, or a replace_all")
		}
	}
	return nil
}
