package workshop

import (
	"math"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// WorkPlan is the order of work of a rebuild with its dates and doubts.
type WorkPlan struct {
	RebuildID, Version int64
	On                 string // the day it was made for
	// Why is why there is none, in words; empty: there is one, and what follows is
	// filled.
	Why string

	Problem plan.Problem
	plan.Result
	Tasks []PlanTask // in the order of Problem.Tasks
	Goals []PlanGoal // in the order of Problem.Milestones
	// Reached are the milestones that are behind.
	Met     []PlanGoal
	Assumed []string  // what is taken for granted, a sentence each
	Over    []DoneJob // really done, by taps, the latest first

	CostPerDay float64 // what every day until the finish costs, major units
	Stand      rebuild.PlanStand

	Improving bool          // a better order is still being searched for
	Progress  plan.Progress // how far that is
}

// TaskKind is what sort of thing a task of the plan is.
type TaskKind string

// The kinds of task.
const (
	TaskJob         TaskKind = "job"
	TaskDelivery    TaskKind = "delivery"
	TaskRefit       TaskKind = "refit"       // something goes back on the car
	TaskTighten     TaskKind = "tighten"     // joints
	TaskDrive       TaskKind = "drive"       // a stage of the first drives
	TaskAppointment TaskKind = "appointment" // waiting for one at the inspection
	TaskInspection  TaskKind = "inspection"
)

// PlanTask is what a task of the plan is in the book.
type PlanTask struct {
	Kind       TaskKind
	JobID      int64
	DeliveryID int64
	ItemID     int64  // of what goes back; 0: all of it at once
	Stage      string // of the first drives
	Title      string
	Who        string   // "you", "you and Bo", "outside"; empty: nobody
	Needed     float64  // chance that it is needed
	Blocks     []string // titles of what waits for it directly
	Target     Target
	StartedAt  string // RFC 3339, of a job that was begun by a tap; empty: not begun
	Note       string // what is taken for granted of it; empty: nothing

	booked []string // slots, as they stand in SlotDays
	zone   string
	safety rebuild.SafetyClass
	welded bool
}

// PlanGoal is what a milestone of the plan is in the book.
type PlanGoal struct {
	Key         string // the gate, or "milestone-" and its number
	Gate        rebuild.Gate
	MilestoneID int64 // 0: a gate of which nothing is entered
	Name        string
}

// DoneJob is a job that was really done, with its moments (RFC 3339).
type DoneJob struct {
	JobID             int64
	Title             string
	StartedAt, DoneAt string // StartedAt may be empty
}

// Index finds a task by its id in the problem.
func (p *WorkPlan) Index(id string) (int, bool) {
	for i := range p.Problem.Tasks {
		if p.Problem.Tasks[i].ID == id {
			return i, true
		}
	}
	return 0, false
}

// TaskOfJob finds the task of a job.
func (p *WorkPlan) TaskOfJob(job int64) (int, bool) { return p.Index(jobTask(job)) }

// Date is a day of the plan as a moment on the clock on the wall, which is told in
// UTC whatever the zone: every day has all its hours there.
func (p *WorkPlan) Date(day float64) time.Time {
	return p.startUTC().Add(time.Duration(math.Round(day*24*60)) * time.Minute)
}

// startUTC is the first day as days are counted.
func (p *WorkPlan) startUTC() time.Time {
	y, m, d := p.Problem.Start.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}
