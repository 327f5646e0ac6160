package rebuild

import (
	"fmt"
	"math"
	"slices"
)

// CaseState is where a diagnosis stands.
type CaseState string

// The states of a case.
const (
	CaseOpen    CaseState = "open"
	CaseSolved  CaseState = "solved"
	CaseGivenUp CaseState = "given up"
)

// CaseStates lists them.
var CaseStates = []CaseState{CaseOpen, CaseSolved, CaseGivenUp}

// CaseStepKind is what was tried in a step.
type CaseStepKind string

// The kinds of step.
const (
	StepTest   CaseStepKind = "test"
	StepRepair CaseStepKind = "repair"
	StepWhole  CaseStepKind = "whole unit" // it was replaced complete
)

// CaseStepKinds lists them.
var CaseStepKinds = []CaseStepKind{StepTest, StepRepair, StepWhole}

// Case is a diagnosis in progress: one symptom, its own copy of a fault model,
// and the trail of what was tried. What the model says and what to do next is
// worked out elsewhere; here the model is a text.
type Case struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	On        string     `json:"on"`         // ISO date on which it was opened
	Title     string     `json:"title"`      // the symptom in the person's words
	Findings  []int64    `json:"findings"`   // findings with that symptom
	ModelFrom string     `json:"model_from"` // key of the fault model it was copied from; empty: own
	Model     string     `json:"model"`      // its fault model, YAML, edited in the book; empty: none yet
	Steps     []CaseStep `json:"steps"`      // the trail, in order
	NotNow    []string   `json:"not_now"`    // IDs of tests and repairs that cannot be done now
	// Together says that the symptom came up together with those of the other
	// open cases.
	Together bool      `json:"together"`
	State    CaseState `json:"state"`
	Cause    string    `json:"cause"` // ID of the fault found, of a solved case; empty: not known
	Jobs     []int64   `json:"jobs"`  // jobs made from it
	Note     string    `json:"note"`
}

// CaseStep is one thing tried.
type CaseStep struct {
	At      string       `json:"at"` // RFC 3339
	Kind    CaseStepKind `json:"kind"`
	What    string       `json:"what"`     // ID of the test or repair in the model; empty for the whole unit
	Outcome string       `json:"outcome"`  // of a test with outcomes
	Value   *float64     `json:"value"`    // of a measured test
	ValueSD float64      `json:"value_sd"` // standard uncertainty of Value in its unit; 0: exact
	Cured   bool         `json:"cured"`    // of a repair or the whole unit: the symptom is gone
	// EvidenceID is the measurement behind the step; 0: none.
	EvidenceID int64  `json:"evidence"`
	Note       string `json:"note"`
}

// ItemKind is part of [Item].
func (k Case) ItemKind() Kind { return KindCase }

// ItemID is part of [Item].
func (k Case) ItemID() int64 { return k.ID }

// Revision is part of [Item].
func (k Case) Revision() int { return k.Rev }

// Label is part of [Item].
func (k Case) Label() string { return k.Title }

// Cured reports whether the last step cured the symptom.
func (k *Case) Cured() bool { return len(k.Steps) > 0 && k.Steps[len(k.Steps)-1].Cured }

// About reports whether the case is about the finding.
func (k *Case) About(finding int64) bool { return slices.Contains(k.Findings, finding) }

// ReadsEvidence reports whether a step of the case leans on the measurement.
func (k *Case) ReadsEvidence(evidence int64) bool {
	return slices.ContainsFunc(k.Steps, func(s CaseStep) bool { return s.EvidenceID == evidence })
}

// Bounds of a case: far above what a diagnosis at home comes to.
const (
	// MaxModelBytes bounds the text of a fault model.
	MaxModelBytes = 64 << 10
	maxSteps      = 500
	maxNotNow     = 200
	maxModelID    = 100
)

// Validate checks the case by itself. Whether the IDs are in its model is for
// those who read the model.
func (k Case) Validate() error {
	var c checks
	c.date(k.On, "on", "the day the case was opened", true)
	c.text(k.Title, "title", "the symptom", 1, 200)
	c.text(k.ModelFrom, "model_from", "where the fault model comes from", 0, maxModelID)
	c.text(k.Model, "model", "the fault model", 0, MaxModelBytes)
	c.that(len(k.Model) <= MaxModelBytes, "model", "the fault model has %d bytes; at most %d fit", len(k.Model), MaxModelBytes)
	c.distinct(k.Findings, "findings", "finding")
	c.distinct(k.Jobs, "jobs", "job")
	k.checkSteps(&c)
	k.checkNotNow(&c)
	c.oneOf(string(k.State), "state", "the state of a case", names(CaseStates)...)
	c.text(k.Cause, "cause", "the cause", 0, maxModelID)
	c.that(k.Cause == "" || k.State == CaseSolved, "cause", "a cause is found only in a solved case; this one is %s", k.State)
	c.text(k.Note, "note", "the note", 0, 4000)
	known := k.Cause != "" || k.Cured() || k.Note != ""
	c.that(k.State != CaseSolved || known, "state", "a solved case needs the cause, a repair that cured, or a note that says how it ended")
	return c.err()
}

func (k Case) checkSteps(c *checks) {
	c.that(len(k.Steps) <= maxSteps, "steps", "there are %d steps; at most %d fit", len(k.Steps), maxSteps)
	c.that(k.Model != "" || len(k.Steps) == 0, "model", "the steps tried need the fault model that they belong to")
	for i, s := range k.Steps {
		at := fmt.Sprintf("steps.%d.", i+1)
		c.fold(at, s.problems())
		c.that(!s.Cured || i == len(k.Steps)-1, at+"cured", "step %d cured the symptom, so none can follow; if it came back, open a new case", i+1)
	}
}

func (k Case) checkNotNow(c *checks) {
	c.that(len(k.NotNow) <= maxNotNow, "not_now", "%d things cannot be done now; at most %d fit", len(k.NotNow), maxNotNow)
	for i, id := range k.NotNow {
		c.text(id, "not_now", "what cannot be done now", 1, maxModelID)
		c.that(!slices.Contains(k.NotNow[:i], id), "not_now", "%q is named twice", short(id))
	}
}

func (s CaseStep) problems() []Problem {
	var c checks
	c.moment(s.At, "at", "the moment of a step", true)
	c.oneOf(string(s.Kind), "kind", "what was tried", names(CaseStepKinds)...)
	switch s.Kind {
	case StepTest:
		c.text(s.What, "what", "which test", 1, maxModelID)
		c.that((s.Outcome != "") != (s.Value != nil), "outcome", "the test %q needs either an outcome or a measured value", short(s.What))
		c.that(!s.Cured, "cured", "a test cures nothing; enter what cured as a repair")
	case StepRepair:
		c.text(s.What, "what", "which repair", 1, maxModelID)
	case StepWhole:
		c.that(s.What == "", "what", "the whole unit is no repair of the model, so %q cannot name it", short(s.What))
	}
	c.that(s.Kind == StepTest || s.Outcome == "" && s.Value == nil, "outcome", "only a test has an outcome or a measured value")
	c.text(s.Outcome, "outcome", "the outcome", 0, maxModelID)
	s.checkValue(&c)
	c.that(s.EvidenceID >= 0, "evidence", "there is no measurement %d", s.EvidenceID)
	c.text(s.Note, "note", "the note", 0, 2000)
	return c.problems
}

func (s CaseStep) checkValue(c *checks) {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	c.that(s.Value == nil || finite(*s.Value), "value", "the measured value is no number")
	c.that(finite(s.ValueSD) && s.ValueSD >= 0, "value_sd", "the uncertainty of the value cannot be below zero or no number")
	c.that(s.Value != nil || s.ValueSD == 0, "value_sd", "an uncertainty needs the measured value that it is of")
}

// distinct checks numbers of other items.
func (c *checks) distinct(ids []int64, field, name string) {
	for i, id := range ids {
		c.that(id > 0, field, "there is no %s %d", name, id)
		c.that(!slices.Contains(ids[:i], id), field, "%s %d is named twice", name, id)
	}
}
