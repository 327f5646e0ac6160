package demo

import (
	"errors"
	"fmt"
	"slices"

	"wreckwright/money/amount"
)

// check finds what the rebuild's own rules would not: keys that name nothing or
// come twice, things that happen before what they rest on, receipts that do not
// add up. It reports all of it.
func (s story) check(folder string) error {
	var wrong []error
	say := func(format string, args ...any) {
		wrong = append(wrong, fmt.Errorf("content/%s: %w", folder, fmt.Errorf(format, args...)))
	}
	findings, jobs, entries := map[string]int{}, map[string]int{}, map[string]int{}
	for _, f := range s.Findings {
		named(say, findings, "finding", f.Key, f.Day)
		for _, c := range f.Changes {
			orderly(say, "a change of finding "+f.Key, c.Day, f.Day)
		}
	}
	s.checkRoad(say, findings)
	for _, j := range s.Jobs {
		named(say, jobs, "job", j.Key, j.Day)
		j.check(say, findings)
	}
	s.checkCases(say, findings, jobs)
	s.checkJoints(say, jobs)
	s.checkStrip(say, jobs)
	s.checkPlan(say, jobs)
	s.checkChecks(say, jobs)
	s.checkAngles(say, jobs)
	s.checkNoises(say, jobs)
	s.checkSurveys(say, jobs)
	s.checkProving(say)
	for _, e := range s.Ledger {
		if e.Key != "" {
			named(say, entries, "cost", e.Key, e.enteredOn())
		}
		e.check(say, jobs, s.Car.Currency)
	}
	for _, p := range s.Slips {
		p.check(say, map[string]map[string]int{p.Cost: entries, p.Job: jobs, p.Finding: findings})
	}
	return errors.Join(wrong...)
}

type complain = func(format string, args ...any)

// named notes the day on which the thing of that key comes.
func named(say complain, days map[string]int, what, key string, day int) {
	if _, twice := days[key]; twice || key == "" {
		say("%s key %q is empty or comes twice", what, key)
	}
	days[key] = day
}

// orderly complains where something happens before what it rests on; days are
// counted back.
func orderly(say complain, what string, day, earlier int) {
	if day > earlier {
		say("%s is on day %d, before what it rests on (day %d)", what, day, earlier)
	}
}

func (j jobPage) check(say complain, findings map[string]int) {
	for _, key := range j.Findings {
		day, known := findings[key]
		if !known {
			say("job %s settles the finding %q, which is not there", j.Key, key)
			continue
		}
		orderly(say, "job "+j.Key, j.Day, day)
	}
	day := j.Day
	if j.Choose != nil {
		orderly(say, "the choice of job "+j.Key, j.Choose.Day, day)
		day = j.Choose.Day
		if j.Choose.Route > len(j.Routes) {
			say("job %s chooses route %d of %d", j.Key, j.Choose.Route, len(j.Routes))
		}
	}
	for _, q := range j.Requotes {
		orderly(say, "a new offer for job "+j.Key, q.Day, j.Day)
	}
	for _, m := range j.Timed {
		orderly(say, "a timing of job "+j.Key, m.Day, j.Day)
	}
	for _, m := range j.Moves {
		orderly(say, "a move of job "+j.Key, m.Day, day)
		day = m.Day
	}
}

// checkCases holds the cases against what they name.
func (s story) checkCases(say complain, findings, jobs map[string]int) {
	cases, timed := map[string]int{}, map[string]int{}
	for _, j := range s.Jobs {
		for _, m := range j.Timed {
			named(say, timed, "timing", m.key(j.Key), m.Day)
		}
	}
	for _, k := range s.Cases {
		named(say, cases, "case", k.Key, k.Day)
		k.check(say, findings, jobs, timed)
	}
}

func (k casePage) check(say complain, findings, jobs, timed map[string]int) {
	rests := func(key, what string, days map[string]int, day int) {
		before, known := days[key]
		if !known {
			say("case %s names the %s %q, which is not there", k.Key, what, key)
			return
		}
		orderly(say, "case "+k.Key, day, before)
	}
	for _, key := range k.Findings {
		rests(key, "finding", findings, k.Day)
	}
	for _, key := range k.Jobs {
		rests(key, "job", jobs, k.Day)
	}
	day := k.Day
	for _, t := range k.Steps {
		orderly(say, "a step of case "+k.Key, t.Day, day)
		day = t.Day
		if t.Measured != "" {
			rests(t.Measured, "timing", timed, t.Day)
		}
	}
	for _, n := range k.NotNow {
		orderly(say, "what case "+k.Key+" waits with", n.Day, k.Day)
	}
}

// key names a timing of that job.
func (m timing) key(job string) string { return job + " " + m.Phase }

func (e entryPage) check(say complain, jobs map[string]int, currency string) {
	if e.Job != "" {
		day, known := jobs[e.Job]
		if !known {
			say("the cost %q is for the job %q, which is not there", e.What, e.Job)
		}
		orderly(say, "the cost "+e.What, e.enteredOn(), day)
	}
	if e.Entered != nil {
		orderly(say, "writing down "+e.What, *e.Entered, e.Day)
	}
	if e.Assigned != nil {
		orderly(say, "naming the job of "+e.What, *e.Assigned, e.enteredOn())
	}
	sum, err := amount.Parse(e.Sum, currency, '.')
	if err != nil {
		say("the cost %q: %v", e.What, err)
	}
	left := sum.Minor
	for _, line := range e.Lines {
		part, err := amount.Parse(line[1], currency, '.')
		if err != nil {
			say("the receipt of %q: %v", e.What, err)
		}
		left -= part.Minor
	}
	if len(e.Lines) > 0 && left != 0 {
		say("the receipt of %q does not add up to %s", e.What, e.Sum)
	}
}

func (p slipPage) check(say complain, keys map[string]map[string]int) {
	for key, days := range keys {
		if key == "" {
			continue
		}
		day, known := days[key]
		if !known {
			say("a slip happens to %q, which is not there", key)
		}
		orderly(say, "the slip with "+key, p.Day, day)
	}
	if !slices.Contains(slips, p.Slip) {
		say("there is no slip %q", p.Slip)
	}
}

// enteredOn is the day on which the cost was written down.
func (e entryPage) enteredOn() int {
	if e.Entered != nil {
		return *e.Entered
	}
	return e.Day
}
