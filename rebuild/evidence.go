package rebuild

import (
	"encoding/json"
	"fmt"
	"math"
)

// Verdict is what an instrument makes of its readings.
type Verdict string

// The verdicts.
const (
	VerdictPass       Verdict = "pass"
	VerdictFail       Verdict = "fail"
	VerdictCannotTell Verdict = "cannot tell"
)

// Verdicts lists them.
var Verdicts = []Verdict{VerdictPass, VerdictFail, VerdictCannotTell}

// Instrument is what was measured with.
type Instrument string

// The instruments.
const (
	InstrumentRecharge Instrument = "recharge" // pump times and pressures of a hydraulic power unit
	InstrumentCheck    Instrument = "check"    // one measured quantity against its limits
	InstrumentCodes    Instrument = "codes"    // what a reader of the control units showed
	InstrumentSurvey   Instrument = "survey"   // tape distances over a body
	InstrumentAngles   Instrument = "angles"   // where the wheels point
	InstrumentNoise    Instrument = "noise"    // a recording of something that turns

	// InstrumentQuickSurvey is two diagonals and three cross measures of a body: too
	// little of it to show that its structure is right.
	InstrumentQuickSurvey Instrument = "quick survey"
)

// Instruments lists them.
var Instruments = []Instrument{InstrumentRecharge, InstrumentCheck, InstrumentCodes, InstrumentSurvey, InstrumentQuickSurvey, InstrumentAngles, InstrumentNoise}

// Phase tells a measurement before the work of its job from one after it.
type Phase string

// The phases; empty: not said.
const (
	PhaseBefore Phase = "before"
	PhaseAfter  Phase = "after"
)

// Phases lists those that have a name.
var Phases = []Phase{PhaseBefore, PhaseAfter}

// Evidence is one measurement: the raw readings as files and what an engine
// made of them that day, kept as it stood.
type Evidence struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	On         string     `json:"on"` // ISO date of the measurement
	At         string     `json:"at"` // RFC 3339, its first reading by the clock on the wall; empty: not known
	Instrument Instrument `json:"instrument"`
	Title      string     `json:"title"`
	JobID      int64      `json:"job"`   // 0: none
	Phase      Phase      `json:"phase"` // of the job's work; empty: not said

	Raw      []Attachment     `json:"raw"`      // log, recording, list of taps
	Settings string           `json:"settings"` // what the engine was told, as JSON; empty: nothing
	Verdict  Verdict          `json:"verdict"`
	Why      string           `json:"why"`
	Figures  []EvidenceFigure `json:"figures"`
	Engine   string           `json:"engine"` // name and version
	Note     string           `json:"note"`
}

// EvidenceFigure is one figure of a measurement. Low and High bound it; nil
// where no doubt of it is known.
type EvidenceFigure struct {
	Name  string   `json:"name"`
	Value float64  `json:"value"`
	Low   *float64 `json:"low"`
	High  *float64 `json:"high"`
	Unit  string   `json:"unit"` // empty: a plain number
}

// ItemKind is part of [Item].
func (e Evidence) ItemKind() Kind { return KindEvidence }

// ItemID is part of [Item].
func (e Evidence) ItemID() int64 { return e.ID }

// Revision is part of [Item].
func (e Evidence) Revision() int { return e.Rev }

// Label is part of [Item].
func (e Evidence) Label() string { return e.Title }

// Proves reports whether the measurement shows that the work of its job is done
// right by itself: it passed, and not before the work was done. Whether it is
// enough for that job says [Rebuild.Proves].
func (e Evidence) Proves() bool {
	return e.JobID != 0 && e.Verdict == VerdictPass && e.Phase != PhaseBefore
}

// maxFigures bounds what one measurement may tell.
const maxFigures = 100

// Validate checks the measurement by itself.
func (e Evidence) Validate() error {
	var c checks
	c.date(e.On, "on", "the day of the measurement", true)
	c.moment(e.At, "at", "the moment", false)
	c.oneOf(string(e.Instrument), "instrument", "the instrument", names(Instruments)...)
	c.text(e.Title, "title", "what was measured", 1, 200)
	c.that(e.JobID >= 0, "job", "there is no job %d", e.JobID)
	c.oneOfIfSaid(string(e.Phase), "phase", "before or after the work", names(Phases)...)
	c.attachments(e.Raw, "raw")
	c.text(e.Settings, "settings", "what the engine was told", 0, 4000)
	c.that(e.Settings == "" || json.Valid([]byte(e.Settings)), "settings", "what the engine was told is not valid JSON")
	c.oneOf(string(e.Verdict), "verdict", "the verdict", names(Verdicts)...)
	c.text(e.Why, "why", "the reason of the verdict", 1, 4000)
	c.that(len(e.Figures) <= maxFigures, "figures", "there are %d figures; at most %d fit", len(e.Figures), maxFigures)
	for i, f := range e.Figures {
		c.fold(fmt.Sprintf("figures.%d.", i+1), f.problems())
	}
	c.text(e.Engine, "engine", "the engine's name and version", 1, 100)
	c.text(e.Note, "note", "the note", 0, 4000)
	return c.err()
}

func (f EvidenceFigure) problems() []Problem {
	var c checks
	c.text(f.Name, "name", "the name of a figure", 1, 100)
	c.text(f.Unit, "unit", "the unit of "+f.Name, 0, 30)
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	c.that(finite(f.Value), "value", "%s is no number", f.Name)
	for _, bound := range []*float64{f.Low, f.High} {
		c.that(bound == nil || finite(*bound), "low", "a bound of %s is no number", f.Name)
	}
	c.that(f.Low == nil || f.High == nil || *f.Low <= *f.High, "low", "the bounds of %s are not in order", f.Name)
	return c.problems
}
