package rebuild

import (
	"fmt"
	"slices"

	"wreckwright/money/amount"
	"wreckwright/uncertain"
)

// JobState is where a job stands.
type JobState string

// The states of a job.
const (
	JobOpen    JobState = "open"
	JobWaiting JobState = "waiting" // for a part, a slot, an answer
	JobDoing   JobState = "doing"
	JobDone    JobState = "done"
	JobProven  JobState = "proven" // done, and evidence shows it
	JobDropped JobState = "dropped"
)

// JobStates lists them in the order a job goes through.
var JobStates = []JobState{JobOpen, JobWaiting, JobDoing, JobDone, JobProven, JobDropped}

// Job is a piece of work with the ways it could be done.
type Job struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Title    string  `json:"title"`
	Zone     string  `json:"zone"`     // where most of it happens
	Findings []int64 `json:"findings"` // that it settles
	Stage    int64   `json:"stage"`    // of StagePlaces; 0 not said
	// Safety is what the job touches that people's lives hang on; None otherwise.
	Safety SafetyClass `json:"safety"`
	// Needed is the chance that the job is needed at all: 1 for certain.
	Needed float64 `json:"needed"`

	Routes []Route `json:"routes"`
	Chosen int64   `json:"chosen"` // a route's ID; 0: not chosen yet
	// Estimate is the chosen route's cost as it stood when it was chosen: what
	// the own record is scored against, whatever is edited afterwards.
	Estimate *uncertain.Range `json:"estimate"`

	// Reference is what the trade would have charged; zero: not known.
	Reference     amount.Amount `json:"reference"`
	ReferenceFrom string        `json:"reference_from"` // who said so

	State      JobState `json:"state"`
	WaitingFor string   `json:"waiting_for"`
	DoneOn     string   `json:"done_on"` // ISO date
	HoursSpent float64  `json:"hours_spent"`
	// Failed says that the chosen route did not work and its fallback was paid.
	Failed bool `json:"failed"`
	// CostNothing says that a finished job without a ledger entry really cost
	// nothing, rather than that it was forgotten.
	CostNothing bool         `json:"cost_nothing"`
	Proof       string       `json:"proof"`  // what shows that it is done right
	Proofs      []Attachment `json:"proofs"` // photos and records of that
	Note        string       `json:"note"`
}

// RouteKind is the kind of way to do a job.
type RouteKind string

// The kinds of route.
const (
	Repair      RouteKind = "repair"
	Recondition RouteKind = "recondition"
	Used        RouteKind = "used"
	NewPart     RouteKind = "new"
	Leave       RouteKind = "leave"
)

// RouteKinds lists them.
var RouteKinds = []RouteKind{Repair, Recondition, Used, NewPart, Leave}

// Method is how a route joins or changes material, as far as safety asks.
type Method string

// The methods.
const (
	MethodPlain      Method = "plain"      // take off, put on, set
	MethodBonded     Method = "bonded"     // glued, filled, taped
	MethodWelded     Method = "welded"     // any fusion
	MethodStraighten Method = "straighten" // bent back
	MethodMachined   Method = "machined"   // skimmed, bored, re-threaded
)

// Methods lists them.
var Methods = []Method{MethodPlain, MethodBonded, MethodWelded, MethodStraighten, MethodMachined}

// Route is one way to do a job.
type Route struct {
	ID     int64           `json:"id"`
	Kind   RouteKind       `json:"kind"`
	Method Method          `json:"method"`
	Name   string          `json:"name"`
	Cost   uncertain.Range `json:"cost"`  // all of it, in the rebuild's currency
	Hours  uncertain.Range `json:"hours"` // own hours
	// Works is the chance that the route cures; Fallback is paid on top when it
	// does not.
	Works    float64   `json:"works"`
	Fallback *Fallback `json:"fallback"`
	Basis    string    `json:"basis"` // where the figures come from: an offer, own estimate
}

// Fallback is what is paid on top when a route does not work.
type Fallback struct {
	Name  string          `json:"name"`
	Cost  uncertain.Range `json:"cost"`
	Hours uncertain.Range `json:"hours"`
}

// ItemKind is part of [Item].
func (j Job) ItemKind() Kind { return KindJob }

// ItemID is part of [Item].
func (j Job) ItemID() int64 { return j.ID }

// Revision is part of [Item].
func (j Job) Revision() int { return j.Rev }

// Label is part of [Item].
func (j Job) Label() string { return j.Title }

// Settles reports whether the job is meant to settle the finding.
func (j *Job) Settles(finding int64) bool { return slices.Contains(j.Findings, finding) }

// Finished reports whether the work is over: done or proven.
func (j *Job) Finished() bool { return j.State == JobDone || j.State == JobProven }

// Ahead reports whether money or hours may still go into the job.
func (j *Job) Ahead() bool { return !j.Finished() && j.State != JobDropped }

// Route is the route with that number, or nil.
func (j *Job) Route(id int64) *Route {
	for i := range j.Routes {
		if j.Routes[i].ID == id {
			return &j.Routes[i]
		}
	}
	return nil
}

// ChosenRoute is the route the job goes, or nil.
func (j *Job) ChosenRoute() *Route {
	if j.Chosen == 0 {
		return nil // routes not entered yet have no number either
	}
	return j.Route(j.Chosen)
}

// Validate checks the job by itself and its routes against the safety bars. That
// a proven job has its evidence is checked where the measurements are known.
func (j Job) Validate(currency string) error {
	var c checks
	c.text(j.Title, "title", "the job's title", 1, 200)
	c.that(j.Zone == "" || zoneNumber(j.Zone) > 0, "zone", "there is no zone %q", j.Zone)
	c.that(j.Stage >= 0 && int(j.Stage) <= len(StagePlaces), "stage", "there is no stage %d", j.Stage)
	c.oneOf(string(j.Safety), "safety", "the safety class", names(SafetyClasses)...)
	c.chance(j.Needed, "needed", "the chance that it is needed")
	c.that(len(j.Routes) <= 20, "routes", "%d routes are too many to choose from; at most 20 fit", len(j.Routes))
	for i, r := range j.Routes {
		c.fold(fmt.Sprintf("routes.%d.", i+1), r.problems())
	}
	c.that(j.Chosen == 0 || j.ChosenRoute() != nil, "chosen", "the chosen route is not among the job's routes")
	if r := j.ChosenRoute(); r != nil {
		for _, bar := range Bars(j.Safety, *r) {
			c.that(false, "chosen", "%s", bar.Reason)
		}
	}
	c.money(j.Reference, currency, "reference", "the reference price")
	c.that(j.Reference.Minor >= 0, "reference", "the reference price cannot be below zero")
	c.text(j.ReferenceFrom, "reference_from", "the source of the reference price", 0, 200)
	j.checkState(&c)
	c.text(j.Note, "note", "the note", 0, 4000)
	return c.err()
}

func (j Job) checkState(c *checks) {
	c.oneOf(string(j.State), "state", "the state of a job", names(JobStates)...)
	c.text(j.WaitingFor, "waiting_for", "what it waits for", 0, 200)
	c.date(j.DoneOn, "done_on", "the day it was done", j.Finished())
	c.that(j.HoursSpent >= 0 && j.HoursSpent <= maxHours, "hours_spent", "the hours spent must be between 0 and %d, not %.4g", maxHours, j.HoursSpent)
	c.text(j.Proof, "proof", "the evidence", 0, 2000)
	c.attachments(j.Proofs, "proofs")
}

func (r Route) problems() []Problem {
	var c checks
	c.oneOf(string(r.Kind), "kind", "the kind of route", names(RouteKinds)...)
	c.oneOf(string(r.Method), "method", "the method", names(Methods)...)
	c.text(r.Name, "name", "the route's name", 1, 200)
	c.rangeOf(r.Cost, "cost", "its cost", maxCost)
	c.rangeOf(r.Hours, "hours", "its hours", maxHours)
	c.chance(r.Works, "works", "the chance that it works")
	if r.Fallback != nil {
		c.text(r.Fallback.Name, "fallback.name", "the fallback's name", 0, 200)
		c.rangeOf(r.Fallback.Cost, "fallback.cost", "the fallback's cost", maxCost)
		c.rangeOf(r.Fallback.Hours, "fallback.hours", "the fallback's hours", maxHours)
	}
	c.that(r.Works >= 1 || r.Fallback != nil, "fallback", "a route that may not work needs a fallback: what is paid on top when it does not?")
	c.text(r.Basis, "basis", "where the figures come from", 0, 500)
	return c.problems
}
