package web

import (
	"fmt"
	"strings"

	"wreckwright/workshop"
)

// PlanFacts are what the plan knows of a job, in words; none where nothing was
// said.
func (f Frame) PlanFacts(job int64) []namedValue {
	p := f.Rebuild.PlanOfJob(job)
	if p == nil {
		return nil
	}
	var facts []namedValue
	add := func(name, value string) {
		if value != "" {
			facts = append(facts, namedValue{name, value})
		}
	}
	add("Who", f.whoWords(job))
	add("After", f.jobNames(p.After))
	var holds []string
	for _, h := range p.Holds {
		if t := f.Rebuild.Thing(h.Thing); t != nil {
			holds = append(holds, plainCount(h.Count, t.Name))
		}
	}
	add("Holds", strings.Join(holds, ", "))
	add("Set up", p.SetUp)
	if p.WaitDays > 0 {
		add("Wait after it", daysWords(p.WaitDays))
	}
	add("Not before", day(p.NotBefore))
	if p.Noisy {
		add("Noisy", "not in quiet hours")
	}
	if p.Daylight {
		add("Daylight", "wanted")
	}
	var slots []string
	for _, s := range p.Slots {
		slots = append(slots, day(s))
	}
	add("Slots", strings.Join(slots, ", "))
	add("Began", shortMoment(p.StartedAt))
	add("Done", shortMoment(p.DoneAt))
	return facts
}

func plainCount(n int, name string) string {
	if n == 1 {
		return name
	}
	return fmt.Sprintf("%d × %s", n, name)
}

// whoWords says who does a job.
func (f Frame) whoWords(job int64) string {
	p := f.Rebuild.PlanOfJob(job)
	var names []string
	for _, id := range p.Helpers {
		if h := f.Rebuild.Person(id); h != nil {
			names = append(names, h.Name)
		}
	}
	helpers := strings.Join(names, ", ")
	switch {
	case p.Outside && p.CarGoes:
		return "somebody elsewhere, the car with it"
	case p.Outside:
		return "somebody elsewhere"
	case p.WithoutMe:
		return helpers + " alone"
	case helpers != "":
		return "own hands and " + helpers
	}
	return "own hands"
}

func (f Frame) jobNames(ids []int64) string {
	var names []string
	for _, id := range ids {
		if j := f.Rebuild.Job(id); j != nil {
			names = append(names, j.Title)
		}
	}
	return strings.Join(names, ", ")
}

// JobBegun reports whether work on a job began by a tap at some time.
func (f Frame) JobBegun(job int64) bool {
	p := f.Rebuild.PlanOfJob(job)
	return p != nil && p.StartedAt != ""
}

// JobGoing reports whether a job is being worked on now.
func (f Frame) JobGoing(job int64) bool { return workshop.GoingOn(f.Rebuild)[job] }
