package diagnose

import "wreckwright/working"

// Kind is a kind of action.
type Kind string

// The kinds of action.
const (
	KindTest    Kind = "test"
	KindRepair  Kind = "repair"
	KindReplace Kind = "replace_all"
	KindDone    Kind = "done" // cured: nothing is left to do
	// KindNothing: not cured, and the case has no repair left that could cure and no
	// whole unit.
	KindNothing Kind = "nothing_left"
)

// WholeUnit is the ID of replacing everything.
const WholeUnit = "replace_all"

// Method is how the advice was found.
type Method string

// The methods.
const (
	Exact     Method = "exact"     // dynamic programming over the states of the evidence
	LookAhead Method = "lookahead" // two steps over all actions, on the updating order by chance per cost, and on from there where most is to gain
)

// Action is one thing to do, with the expected cost of everything from here on
// when it is done first, itself included.
type Action struct {
	Kind         Kind    `json:"kind"`
	ID           string  `json:"id"` // of the test or repair; WholeUnit; empty when done or nothing is left
	ExpectedCost float64 `json:"expected_cost"`
}

// Advice is what the case comes to.
type Advice struct {
	Currency string `json:"currency"`
	// Posterior is the chance of each fault by its ID; with several faults at
	// once the chances do not sum to 1.
	Posterior        map[string]float64 `json:"posterior"`
	Next             Action             `json:"next"`
	Ranked           []Action           `json:"ranked"` // cheapest first, the whole unit among them
	ExpectedCost     float64            `json:"expected_cost"`
	ReplaceAllCost   *float64           `json:"replace_all_cost"` // nil: the whole unit cannot be had
	ExpectedSaving   *float64           `json:"expected_saving"`
	ExpectedMoney    float64            `json:"expected_money"`   // the share of ExpectedCost that is paid out
	ExpectedMinutes  float64            `json:"expected_minutes"` // and the time it takes
	ChanceReplaceAll float64            `json:"chance_replace_all"`
	// PerfectInformation is the most that any test can be worth.
	PerfectInformation float64 `json:"value_of_perfect_information"`
	LowerBound         float64 `json:"lower_bound"` // no plan costs less: the cause known beforehand
	Method             Method  `json:"method"`
	Flips              []Flip  `json:"flips"`
	// Surprise is set when the evidence fits none of the faults well.
	Surprise string          `json:"surprise,omitempty"`
	Cautions []string        `json:"cautions,omitempty"`
	Working  working.Working `json:"working"`
}

// Side is a side of a value.
type Side string

// The sides.
const (
	Above Side = "above"
	Below Side = "below"
)

// Flip is an input that, moved alone to FlipsAt, changes the next action; the
// nearest ones first.
type Flip struct {
	Input   string  `json:"input"` // "faults.gas_loss.prior", "tests.gauge.cost", "hour_value", ...
	Now     float64 `json:"now"`
	FlipsAt float64 `json:"flips_at"`
	Beyond  Side    `json:"beyond"` // on which side of FlipsAt; it tells where FlipsAt is what the input is now
	To      Action  `json:"to"`     // the action that is best beyond it, with its cost there
	// Approximate: found along the plans made now, and not solved anew there.
	Approximate bool `json:"approximate,omitempty"`
}
