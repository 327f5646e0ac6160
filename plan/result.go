package plan

import "wreckwright/working"

// Placed is one task in a schedule.
type Placed struct {
	ID        string  `json:"id"`
	Name      string  `json:"name,omitempty"`
	StartDay  float64 `json:"start_day"`
	EndDay    float64 `json:"end_day"`
	StartDate string  `json:"start_date"` // 2027-01-04
	EndDate   string  `json:"end_date"`
	SlackDays float64 `json:"slack_days"` // how much later it may end without moving the finish, the plan's order kept
	Wait      bool    `json:"wait,omitempty"`
	Outside   bool    `json:"outside,omitempty"`
	Done      bool    `json:"done,omitempty"`
	Started   bool    `json:"started,omitempty"`
}

// Bound is one reason why the finish cannot come earlier.
type Bound struct {
	Name string  `json:"name"` // "critical path", "own", "windows"
	Day  float64 `json:"day"`
}

// Reached is one milestone in a schedule.
type Reached struct {
	ID       string   `json:"id"`
	Name     string   `json:"name,omitempty"`
	Day      float64  `json:"day"`
	Date     string   `json:"date"`
	ByDay    *float64 `json:"by_day,omitempty"`
	ByDate   string   `json:"by,omitempty"`
	LateDays float64  `json:"late_days"`

	ChanceBy      *float64  `json:"chance_by"` // nil without a wished date
	StandardError *float64  `json:"standard_error,omitempty"`
	Quantiles     Quantiles `json:"quantiles"` // of the day
}

// Schedule is an order of work with its dates, lengths taken at their likely
// values.
type Schedule struct {
	FinishDay  float64   `json:"finish_day"`
	FinishDate string    `json:"finish_date"`
	Placed     []Placed  `json:"schedule"` // in the order of the tasks
	Critical   []string  `json:"critical"` // chain through precedence and resources, first to last
	LowerBound float64   `json:"lower_bound"`
	Bounds     []Bound   `json:"bounds"`
	Reached    []Reached `json:"milestones"`
	Search     Found     `json:"search"`
	Order      []string  `json:"order"` // of tasks and milestones by start: what a next search begins with
}

// Found says how the order was found.
type Found struct {
	Schedules int    `json:"schedules"` // made
	Budget    int    `json:"budget"`
	Proven    bool   `json:"proven"`  // nothing better can exist
	Stopped   string `json:"stopped"` // "proven best", "budget", "time"
}

// Quantiles is a distribution of days in six figures.
type Quantiles struct {
	Mean float64 `json:"mean"`
	SD   float64 `json:"sd"`
	P10  float64 `json:"p10"`
	P50  float64 `json:"p50"`
	P80  float64 `json:"p80"`
	P90  float64 `json:"p90"`
}

// TaskDoubt is what the trials say about one task.
type TaskDoubt struct {
	ID          string  `json:"id"`
	Criticality float64 `json:"criticality"`    // share of trials in which the finish hung on it
	DelayDays   float64 `json:"delay_days"`     // how much later the finish comes, on average, when it takes a day longer
	DelayCost   float64 `json:"delay_cost"`     // what that day costs: days until the finish, milestones missed
	StartP10    float64 `json:"start_p10"`      // day
	StartP90    float64 `json:"start_p90"`      // day
	EndP10      float64 `json:"end_p10"`        // day
	EndP50      float64 `json:"end_p50"`        // day
	EndP90      float64 `json:"end_p90"`        // day
	Share       float64 `json:"variance_share"` // Cov(what it took, finish)/Var(finish)
	// Slots are the shares of trials in which it begins on each of its slots, in their
	// order; what is missing to 1 are those in which all were missed.
	Slots []float64 `json:"slots,omitempty"`
}

// Doubt is what the trials say about the whole plan.
type Doubt struct {
	Finish      Quantiles `json:"finish"`
	FinishDates struct {  // dates of the quantiles
		P10 string `json:"p10"`
		P50 string `json:"p50"`
		P80 string `json:"p80"`
		P90 string `json:"p90"`
	} `json:"finish_dates"`
	ChanceOnPlan float64     `json:"chance_on_plan"` // of finishing no later than the schedule says
	Tasks        []TaskDoubt `json:"tasks"`          // in the order of the tasks
	MeanCost     float64     `json:"mean_cost"`      // days until the finish, milestones missed
	Policy       Policy      `json:"policy"`
	Trials       int         `json:"trials"`
	Seed         uint64      `json:"seed"`

	Milestones []Quantiles `json:"-"`
	Chances    []float64   `json:"-"` // of each milestone; NaN without a wished date

	finish  []float64 // of every trial, smallest first
	byTrial []float64
}

// Result is a plan with its doubt.
type Result struct {
	Schedule
	Doubt
	Currency string          `json:"currency,omitempty"`
	Cautions []string        `json:"cautions"`
	Working  working.Working `json:"working"`
}
