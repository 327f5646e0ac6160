package main

import (
	"github.com/bojanz/currency"

	"wreckwright/casefile"
	"wreckwright/money/forecast"
	"wreckwright/uncertain"
)

// The parts that several case files share: jobs, hidden damage, the settings
// of a simulation.

// readCurrency reads an ISO 4217 code.
func readCurrency(root *casefile.Mapping) string {
	v := root.Need("currency")
	code := v.Text()
	if code != "" && !currency.IsValid(code) {
		v.Fail("is \""+code+"\"", "a currency code of ISO 4217 such as EUR or GBP")
	}
	return code
}

var hourValueBounds = uncertain.Bounds{Min: 0, Max: 1e6}

// readSettings reads correlation, trials and seed into a case that holds the
// usual ones.
func readSettings(root *casefile.Mapping, c *forecast.Case) {
	if v, ok := root.May("correlation"); ok {
		c.Correlation = v.Number(uncertain.Bounds{Min: 0, Max: uncertain.MaxCorrelation})
	}
	if v, ok := root.May("trials"); ok {
		c.Trials = v.Whole(1, forecast.MaxTrials)
	}
	if v, ok := root.May("seed"); ok {
		c.Seed = uint64(v.Whole(0, 1<<53))
	}
}

func readJobs(list casefile.Value) []forecast.Job {
	var jobs []forecast.Job
	for _, v := range list.List() {
		jobs = append(jobs, readJob(v.Mapping()))
	}
	return jobs
}

func readJob(m *casefile.Mapping) forecast.Job {
	job := forecast.Job{
		Name:   m.Need("name").Text(),
		Cost:   m.Need("cost").Range(uncertain.MoneyBounds),
		Hours:  readHours(m),
		Needed: readChance(m, "needed"),
		Works:  readChance(m, "works"),
	}
	if v, ok := m.May("fallback"); ok {
		fallback := v.Mapping()
		job.Fallback = &forecast.Fallback{
			Cost:  fallback.Need("cost").Range(uncertain.MoneyBounds),
			Hours: readHours(fallback),
		}
	}
	return job
}

func readHours(m *casefile.Mapping) *uncertain.Range {
	v, ok := m.May("hours")
	if !ok {
		return nil
	}
	return new(v.Range(uncertain.HoursBounds))
}

func readChance(m *casefile.Mapping, key string) *float64 {
	v, ok := m.May(key)
	if !ok {
		return nil
	}
	return new(v.Number(uncertain.ChanceBounds))
}

// readHidden reads one group of hidden damage, or a list of them by zone. An
// empty group is none.
func readHidden(root *casefile.Mapping) []forecast.Hidden {
	v, ok := root.May("hidden")
	if !ok {
		return nil
	}
	groups := []casefile.Value{v}
	if v.IsList() {
		groups = v.List()
	}
	var hidden []forecast.Hidden
	for _, g := range groups {
		m := g.Mapping()
		if m.Empty() {
			continue
		}
		h := forecast.Hidden{
			Expected: m.Need("expected").Number(uncertain.Bounds{Min: 0, Max: forecast.MaxHidden}),
			Cost:     m.Need("cost").Range(uncertain.MoneyBounds),
		}
		if zone, ok := m.May("zone"); ok {
			h.Zone = zone.Text()
		}
		hidden = append(hidden, h)
	}
	return hidden
}
