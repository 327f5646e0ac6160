package faultmodel

import "wreckwright/diagnose"

// Model is a fault model: the case that the engine weighs, and beside it what
// only people and pages read. Faults, Tests and Repairs are in the order of the
// case's.
type Model struct {
	Title    string
	Zone     string // a key of rebuild.ZonePlaces; empty: none
	Asks     string // what to notice before starting
	Basis    string // where the figures come from, unless a part says otherwise
	Stop     string // a hazard: licensed practice only, no own work is ever advised
	Cautions []string

	Case diagnose.Case

	Faults    []FaultNote
	Tests     []TestNote
	Repairs   []RepairNote
	WholeName string // of the whole unit
}

// FaultNote is what people read of a fault.
type FaultNote struct {
	Shared string // faults of different models with the same key are one thing
	Basis  string
}

// TestNote is what people read of a test.
type TestNote struct {
	How          string
	Unit         string // of a measured value
	Instrument   string // whose evidence can answer the test
	Figure       string // the name of the figure in that evidence
	Basis        string
	Tools        []string
	Cautions     []string
	OutcomeNames []string // for buttons, in the order of the outcomes; nil: none given, "": that one not given
}

// RepairNote is what people read of a repair.
type RepairNote struct {
	How      string
	Kind     string // of the route: one of [RouteKinds]; empty: not said
	Basis    string
	Cautions []string
}

// RouteKinds are the kinds of route that a repair can be.
var RouteKinds = []string{"repair", "recondition", "used", "new"}

// The words for figures without a source; else a basis is a key of
// knowledge/sources.yaml, with the place after it.
const (
	OwnEstimate    = "own estimate"
	CommonPractice = "common practice, no source"
)

// Word is a key that the model borrows from elsewhere: a hazard, a zone.
type Word struct {
	Where string // path in the file, for [Locate]: "tests.gauge.cautions.1"
	Key   string
}

// Hazards are the hazards that the model names, in the order of the file. That
// they are known is for the caller to hold: the cautions are not kept here.
func (m Model) Hazards() []Word {
	words := hazardsAt("cautions", m.Cautions)
	if m.Stop != "" {
		words = append([]Word{{"stop", m.Stop}}, words...)
	}
	for i, t := range m.Tests {
		words = append(words, hazardsAt(join("tests", m.Case.Tests[i].ID, "cautions"), t.Cautions)...)
	}
	for i, r := range m.Repairs {
		words = append(words, hazardsAt(join("repairs", m.Case.Repairs[i].ID, "cautions"), r.Cautions)...)
	}
	return words
}

func hazardsAt(path string, keys []string) []Word {
	var words []Word
	for i, key := range keys {
		words = append(words, Word{item(path, i), key})
	}
	return words
}

// FaultName is the name of fault i, or its ID where it has none.
func (m Model) FaultName(i int) string { return named(m.Case.Faults[i].Name, m.Case.Faults[i].ID) }

// TestName is the name of test i, or its ID where it has none.
func (m Model) TestName(i int) string { return named(m.Case.Tests[i].Name, m.Case.Tests[i].ID) }

// RepairName is the name of repair i, or its ID where it has none.
func (m Model) RepairName(i int) string { return named(m.Case.Repairs[i].Name, m.Case.Repairs[i].ID) }

// UnitName is the name of the whole unit.
func (m Model) UnitName() string { return named(m.WholeName, "the whole unit") }

// OutcomeName is the name of outcome o of test i, or its key where it has none.
func (m Model) OutcomeName(i, o int) string {
	key := m.Case.Tests[i].Outcomes[o]
	if names := m.Tests[i].OutcomeNames; names != nil {
		return named(names[o], key)
	}
	return key
}

func named(name, id string) string {
	if name != "" {
		return name
	}
	return id
}
