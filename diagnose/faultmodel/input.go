package faultmodel

import (
	"slices"
	"strings"

	"wreckwright/diagnose"
)

// Measure is what kind of a figure an input is.
type Measure string

// The measures.
const (
	Money   Measure = "money"
	Minutes Measure = "minutes"
	Chance  Measure = "chance"
)

// Input is a figure of the model that a person can doubt, in words: "the price of
// “Look”".
type Input struct {
	What    string
	Measure Measure
}

// Input finds an input by its path, as [diagnose.Flip] names it.
func (m Model) Input(path string) (Input, bool) {
	part := strings.Split(path, ".")
	switch {
	case path == "hour_value":
		return Input{"the worth of an own hour", Money}, true
	case len(part) == 2 && part[0] == diagnose.WholeUnit:
		return effort(part[1], quoted(m.UnitName()))
	case len(part) == 3 && part[0] == "faults" && part[2] == "prior":
		at := slices.IndexFunc(m.Case.Faults, func(f diagnose.Fault) bool { return f.ID == part[1] })
		return Input{What: m.faultQuoted(at) + ", before anything is tried,", Measure: Chance}, at >= 0
	case len(part) == 3 && part[0] == "repairs":
		at := slices.IndexFunc(m.Case.Repairs, func(r diagnose.Repair) bool { return r.ID == part[1] })
		if at >= 0 {
			return effort(part[2], quoted(m.RepairName(at)))
		}
	case len(part) >= 3 && part[0] == "tests":
		return m.testInput(part)
	}
	return Input{}, false
}

func quoted(name string) string { return "“" + name + "”" }

func (m Model) faultQuoted(at int) string {
	if at < 0 {
		return ""
	}
	return quoted(m.FaultName(at))
}

// effort is a cost or a time of something.
func effort(key, of string) (Input, bool) {
	switch key {
	case "cost":
		return Input{"the price of " + of, Money}, true
	case "minutes":
		return Input{"the time for " + of, Minutes}, true
	}
	return Input{}, false
}

// testInput is a cost or time of a test, or the chance of an outcome under a
// fault.
func (m Model) testInput(part []string) (Input, bool) {
	at := slices.IndexFunc(m.Case.Tests, func(t diagnose.Test) bool { return t.ID == part[1] })
	if at < 0 {
		return Input{}, false
	}
	name := quoted(m.TestName(at))
	if len(part) == 3 {
		return effort(part[2], name)
	}
	if len(part) != 5 || part[2] != "outcomes" {
		return Input{}, false
	}
	f := slices.IndexFunc(m.Case.Faults, func(f diagnose.Fault) bool { return f.ID == part[3] })
	o := slices.Index(m.Case.Tests[at].Outcomes, part[4])
	if f < 0 || o < 0 {
		return Input{}, false
	}
	return Input{quoted(m.OutcomeName(at, o)) + " in " + name + ", with " + m.faultQuoted(f) + ",", Chance}, true
}
