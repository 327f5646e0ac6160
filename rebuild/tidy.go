package rebuild

import (
	"slices"

	"wreckwright/uncertain"
)

// Tidy gives a rebuild that was read from elsewhere the form in which it is kept,
// so that it equals one that was loaded from the book.
func (r *Rebuild) Tidy() *Rebuild {
	t := *r
	t.Car, t.Appraisal = tidied(r.Car), tidied(r.Appraisal)
	t.Zones, t.Stages = tidiedAll(r.Zones), tidiedAll(r.Stages)
	t.Findings, t.Jobs, t.Entries = tidiedAll(r.Findings), tidiedAll(r.Jobs), tidiedAll(r.Entries)
	t.Evidence, t.Cases = tidiedAll(r.Evidence), tidiedAll(r.Cases)
	t.Strip, t.Joints, t.Tools = tidiedAll(r.Strip), tidiedAll(r.Joints), tidiedAll(r.Tools)
	t.GatePasses, t.Shakedown, t.Rehearsal = tidiedAll(r.GatePasses), tidiedAll(r.Shakedown), tidiedAll(r.Rehearsal)
	t.OfficialTests, t.Confirmations = tidiedAll(r.OfficialTests), tidiedAll(r.Confirmations)
	t.Sheets, t.People, t.Things, t.Milestones = tidiedAll(r.Sheets), tidiedAll(r.People), tidiedAll(r.Things), tidiedAll(r.Milestones)
	t.JobPlans, t.Deliveries, t.Timetables = tidiedAll(r.JobPlans), tidiedAll(r.Deliveries), tidiedAll(r.Timetables)
	return &t
}

func tidiedAll[T Item](items []T) []T {
	out := make([]T, len(items))
	for i, item := range items {
		out[i] = tidied(item)
	}
	return nilWhenEmpty(out)
}

func tidied[T Item](item T) T {
	t, _ := tidy(item).(T)
	return t
}

// tidy gives an item the one form in which it is kept, so that two items that
// say the same are equal wherever they come from (a form, the book, an export):
// an empty list is nil and there is no zero below zero.
func tidy(item Item) Item {
	switch v := item.(type) {
	case Car:
		unsign(&v.HoursPerWeek, &v.Correlation)
		return v
	case Appraisal:
		return tidyAppraisal(v)
	case Zone:
		unsign(&v.OpenShare, &v.HiddenExpected)
		unsignRange(&v.HiddenCost)
		return v
	case Finding:
		v.Photos = nilWhenEmpty(v.Photos)
		return v
	case Job:
		return tidyJob(v)
	case Entry:
		v.Receipts = nilWhenEmpty(v.Receipts)
		return v
	case Evidence:
		return tidyEvidence(v)
	case Case:
		return tidyCase(v)
	case StripItem:
		return tidyStripItem(v)
	case Joint:
		return tidyJoint(v)
	case Tool:
		unsign(&v.LowNm, &v.HighNm)
		return v
	case GatePass:
		v.Against = nilWhenEmpty(v.Against)
		return v
	case ShakedownRun:
		return tidyRun(v)
	case Rehearsed:
		v.Value = unsigned(v.Value)
		return v
	case OfficialTest:
		v.Items, v.Photos, v.Chance = nilWhenEmpty(v.Items), nilWhenEmpty(v.Photos), unsigned(v.Chance)
		return v
	case Person:
		v.Hours, v.Away, v.Extra = nilWhenEmpty(v.Hours), nilWhenEmpty(v.Away), nilWhenEmpty(v.Extra)
		return v
	case Milestone:
		v.Jobs = nilWhenEmpty(v.Jobs)
		return v
	case JobPlan:
		v.After, v.Helpers, v.Holds, v.Slots = nilWhenEmpty(v.After), nilWhenEmpty(v.Helpers), nilWhenEmpty(v.Holds), nilWhenEmpty(v.Slots)
		unsign(&v.WaitDays)
		unsignRange(&v.OutsideDays)
		return v
	case Delivery:
		unsignRange(&v.LeadDays)
		return v
	case Timetable:
		return tidyTimetable(v)
	}
	return item
}

func tidyAppraisal(a Appraisal) Appraisal {
	a.Events, a.Other = nilWhenEmpty(a.Events), nilWhenEmpty(a.Other)
	a.Fees = nilWhenEmpty(slices.Clone(a.Fees))
	for i := range a.Fees {
		unsign(&a.Fees[i].Percent)
	}
	unsignRange(&a.Value)
	unsignRange(&a.MarkerDiscount)
	unsign(&a.SellingPercent, &a.FeeTax, &a.PriceTax, &a.Confidence)
	if a.Bought != nil {
		bought := *a.Bought
		unsign(&bought.Chance, &bought.ExpectedProfit, &bought.Cost.Mean, &bought.Cost.P10, &bought.Cost.P50, &bought.Cost.P80, &bought.Cost.P90)
		a.Bought = &bought
	}
	return a
}

func tidyJob(j Job) Job {
	j.Findings, j.Proofs = nilWhenEmpty(j.Findings), nilWhenEmpty(j.Proofs)
	j.Routes = nilWhenEmpty(slices.Clone(j.Routes))
	unsign(&j.Needed, &j.HoursSpent)
	for i := range j.Routes {
		r := &j.Routes[i]
		unsign(&r.Works)
		unsignRange(&r.Cost)
		unsignRange(&r.Hours)
		if r.Fallback != nil {
			fallback := *r.Fallback
			unsignRange(&fallback.Cost)
			unsignRange(&fallback.Hours)
			r.Fallback = &fallback
		}
	}
	if j.Estimate != nil {
		estimate := *j.Estimate
		unsignRange(&estimate)
		j.Estimate = &estimate
	}
	return j
}

func tidyEvidence(e Evidence) Evidence {
	e.Raw = nilWhenEmpty(e.Raw)
	e.Figures = nilWhenEmpty(slices.Clone(e.Figures))
	for i := range e.Figures {
		f := &e.Figures[i]
		unsign(&f.Value)
		for _, bound := range []**float64{&f.Low, &f.High} {
			if *bound != nil {
				v := **bound + 0
				*bound = &v
			}
		}
	}
	return e
}

func tidyCase(k Case) Case {
	k.Findings, k.Jobs, k.NotNow = nilWhenEmpty(k.Findings), nilWhenEmpty(k.Jobs), nilWhenEmpty(k.NotNow)
	k.Steps = nilWhenEmpty(slices.Clone(k.Steps))
	for i := range k.Steps {
		s := &k.Steps[i]
		unsign(&s.ValueSD)
		if s.Value != nil {
			v := *s.Value + 0
			s.Value = &v
		}
	}
	return k
}

func tidyStripItem(s StripItem) StripItem {
	s.Fasteners, s.Connectors, s.Photos = nilWhenEmpty(s.Fasteners), nilWhenEmpty(s.Connectors), nilWhenEmpty(s.Photos)
	s.After, s.Jobs, s.Joints = nilWhenEmpty(s.After), nilWhenEmpty(s.Jobs), nilWhenEmpty(s.Joints)
	s.Marks = nilWhenEmpty(slices.Clone(s.Marks))
	for i := range s.Marks {
		unsign(&s.Marks[i].X, &s.Marks[i].Y)
	}
	return s
}

func tidyJoint(j Joint) Joint {
	unsign(&j.TorqueNm, &j.ToleranceNm, &j.AngleDeg, &j.AngleToleranceDeg, &j.Friction, &j.RetorqueAfterKm)
	j.Passes, j.Jobs, j.Undone = nilWhenEmpty(j.Passes), nilWhenEmpty(j.Jobs), nilWhenEmpty(j.Undone)
	j.Tightenings = nilWhenEmpty(slices.Clone(j.Tightenings))
	for i := range j.Tightenings {
		t := &j.Tightenings[i]
		unsign(&t.TorqueNm, &t.AngleDeg)
		t.Photos = nilWhenEmpty(t.Photos)
		if t.AtKm != nil {
			km := *t.AtKm + 0
			t.AtKm = &km
		}
	}
	return j
}

func tidyRun(s ShakedownRun) ShakedownRun {
	unsign(&s.Km, &s.Minutes)
	s.AtKm = unsigned(s.AtKm)
	s.Findings, s.Evidence, s.Photos = nilWhenEmpty(s.Findings), nilWhenEmpty(s.Evidence), nilWhenEmpty(s.Photos)
	return s
}

func tidyTimetable(t Timetable) Timetable {
	t.Closed, t.Costs = nilWhenEmpty(t.Closed), nilWhenEmpty(t.Costs)
	if t.Kept != nil {
		kept := t.Kept.Tidy()
		t.Kept = &kept
	}
	return t
}

// Tidy gives a plan as it stood the form in which it is kept.
func (s PlanStand) Tidy() PlanStand {
	s.Reached = nilWhenEmpty(slices.Clone(s.Reached))
	for i := range s.Reached {
		s.Reached[i].Chance = unsigned(s.Reached[i].Chance)
	}
	return s
}

// unsigned is a copy of the number with no zero below zero.
func unsigned(n *float64) *float64 {
	if n == nil {
		return nil
	}
	v := *n + 0
	return &v
}

func nilWhenEmpty[T any](list []T) []T {
	if len(list) == 0 {
		return nil
	}
	return list
}

// unsign turns a negative zero into zero.
func unsign(numbers ...*float64) {
	for _, n := range numbers {
		*n += 0
	}
}

func unsignRange(r *uncertain.Range) { unsign(&r.Low, &r.Likely, &r.High) }
