package rebuild

import (
	"slices"

	"wreckwright/uncertain"
)

// tidy gives an item the one form in which it is kept, so that two items that
// say the same are equal wherever they come from (a form, the book, an export):
// an empty list is nil and there is no zero below zero.
func tidy(item Item) Item {
	switch v := item.(type) {
	case Car:
		unsign(&v.HoursPerWeek, &v.Correlation)
		return v
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
	}
	return item
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
