package plan

import (
	"math"
	"time"

	"wreckwright/uncertain"
)

// Problem is everything that is to be done, by whom, and by when. Days are
// counted from midnight of Start: 0 is that morning, 1.5 noon of the next day.
type Problem struct {
	Start    time.Time // only its date counts
	TodayDay float64   // what has not begun yet begins no earlier; a slot of that day lasts until its end; 0 at the start

	HoursPerWeek float64 // own work in a week; needed where tasks are in hours; 0 where Week says it
	Week         *Week   // nil: own work goes on at the same pace on every day
	Closed       []Span  // nobody works: holidays, weeks away

	Resources  []Resource
	Tasks      []Task
	Milestones []Milestone

	Currency    string
	CostPerDay  float64        // what every day until the finish costs: storage, hire, insurance
	Correlation float64        // of the lengths of own work, 0..0.95; waits and outside work are independent
	Bias        uncertain.Bias // own habit, read into every length of own work; the zero value: none
	Trials      int            // 0: DefaultTrials
	Seed        uint64
}

// Week is the working time of each weekday, time.Sunday first.
type Week [7][]Hours

// Hours is one stretch of working time within a day, in hours after midnight.
type Hours struct{ From, To float64 }

// Span is whole days, From included, To not.
type Span struct{ FromDay, ToDay float64 }

// Resource is people or things that tasks hold from their start to their end:
// own hands, a helper, a lift, a bay, a hired tool.
type Resource struct {
	ID       string
	Name     string // ID where empty
	Capacity int
	Week     *Week     // its own working time; nil: the problem's
	Away     []Span    // days on which it is not there
	Extra    []Opening // working time besides: the helper comes on a Sunday
	Always   bool      // there day and night: a bay, a lift, a tool
}

// Task is one piece of work or one wait.
type Task struct {
	ID   string
	Name string // ID where empty

	Days  *uncertain.Range // length in days; either this or Hours
	Hours *uncertain.Range // length in hours of own work

	Skip  float64 // chance that it turns out not to be needed and takes nothing; 0: it is needed
	Again *Again  // how it may fail at first; nil: it does not

	// Draws is the key of its random numbers, ID where empty: a job that is drawn in
	// money/forecast under the same key and seed has the same fate there. SkipAs is
	// the id of the task whose fate of being needed it shares; empty: its own.
	Draws  string
	SkipAs string

	Wait    bool // a lead time, a cure: runs on calendar days
	Outside bool // done by somebody else: runs on calendar days
	Uses    []Use
	After   []Link

	NotBeforeDay float64
	SlotDays     []float64 // outside work begins on one of these days only
	SlotEvery    float64   // days between further slots after the last one; 0: DefaultSlotEvery

	StartedDay *float64 // when it really began
	DoneDay    *float64 // when it was really done, or a part really came

	// For the list of today.
	Zone     string // what is opened or stripped for it
	Tool     string // what has to be set up for it
	Noisy    bool   // not in quiet hours
	Daylight bool   // wants daylight
}

// Again is more work of the same task that follows where its first way fails.
type Again struct {
	Chance float64          // that the first way fails
	Days   *uncertain.Range // in the unit of the task: either this
	Hours  *uncertain.Range // or this
}

// Use is how much of a resource a task holds.
type Use struct {
	Resource string
	Count    int
}

// Link is a task or a milestone that comes before, and the days that must lie
// between its end and the start.
type Link struct {
	ID      string
	LagDays float64
}

// Milestone is reached when all its tasks are done.
type Milestone struct {
	ID             string
	Name           string // ID where empty
	After          []Link
	ByDay          *float64 // the wished date: its morning; nil: none
	LateCost       float64  // once, where it is missed: a deposit, a slot lost
	LateCostPerDay float64
}

// Limits and usual settings.
const (
	// MaxTasks bounds a plan.
	MaxTasks = 1000
	// MaxResources bounds how many kinds of people and things there are.
	MaxResources = 64
	// MaxDays bounds every length and date.
	MaxDays = 20_000
	// MaxSpan bounds what everything takes one after the other, in days.
	MaxSpan = 1_000_000
	// MaxCapacity bounds how many there are of a resource.
	MaxCapacity = 10_000
	// DefaultTrials gives a chance to one point (95 %).
	DefaultTrials = 10_000
	// MaxTrials bounds the memory of a simulation.
	MaxTrials = 1_000_000
	// DefaultSlotEvery is how long somebody waits for another slot where nothing
	// is known: two weeks.
	//
	// ref: DESIGN_PLAN
	DefaultSlotEvery = 14.0
)

// Search is how much is spent on looking for a better order.
type Search struct {
	Schedules int            // the budget; 0: what SchedulesFor(1, tasks) says
	OnBetter  func(Progress) // called after each improvement, from the same goroutine; may be nil
	From      []string       // order of an earlier plan to begin with; may be nil
}

// Progress is how far a search is.
type Progress struct {
	Schedules  int // made so far
	Budget     int
	FinishDay  float64 // of the best so far
	LateDays   float64 // of all milestones together, of the best so far
	LowerBound float64
}

// SchedulesFor is the budget that a slow machine gets through in about the given
// seconds: what a wish in seconds is turned into, so that the seed alone decides
// what comes out. A schedule takes a little more than its tasks, since each looks
// through what is placed already.
//
// ref: DESIGN_PLAN
func SchedulesFor(seconds float64, tasks int) int {
	const rate = 8e6
	return max(200, int(min(1e7, seconds*rate/math.Pow(float64(max(tasks, 10)), 1.5))))
}
