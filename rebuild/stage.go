package rebuild

// StagePlace is one of the nine stages of every rebuild.
type StagePlace struct{ Key, Name string }

// StagePlaces lists the stages in order.
var StagePlaces = [...]StagePlace{
	{"buy", "Buy"},
	{"make-safe", "Make safe"},
	{"survey", "Survey"},
	{"diagnose", "Diagnose"},
	{"choose", "Choose"},
	{"strip-refit", "Strip and refit"},
	{"prove", "Prove mechanically"},
	{"finish", "Finish"},
	{"hand-over", "Hand over"},
}

// stageBuy is the number of the first stage.
const stageBuy = 1

// StageState is where a stage stands.
type StageState string

// The states of a stage.
const (
	StageAhead    StageState = "ahead"
	StageUnderWay StageState = "under way"
	StageDone     StageState = "done"
)

// Stage is one of the nine in one rebuild.
type Stage struct {
	Number int64      `json:"number"` // place in StagePlaces, from 1
	Rev    int        `json:"rev"`
	State  StageState `json:"state"`
	DoneOn string     `json:"done_on"` // ISO date, empty while not done
	Note   string     `json:"note"`
}

// Place is the stage's key and name.
func (s Stage) Place() StagePlace {
	if s.Number < 1 || int(s.Number) > len(StagePlaces) {
		return StagePlace{}
	}
	return StagePlaces[s.Number-1]
}

// ItemKind is part of [Item].
func (s Stage) ItemKind() Kind { return KindStage }

// ItemID is part of [Item].
func (s Stage) ItemID() int64 { return s.Number }

// Revision is part of [Item].
func (s Stage) Revision() int { return s.Rev }

// Label is part of [Item].
func (s Stage) Label() string { return s.Place().Name }

// Validate checks the stage by itself.
func (s Stage) Validate() error {
	var c checks
	c.that(s.Number >= 1 && int(s.Number) <= len(StagePlaces), "stage", "there is no stage %d", s.Number)
	c.oneOf(string(s.State), "state", "the state of a stage", string(StageAhead), string(StageUnderWay), string(StageDone))
	c.date(s.DoneOn, "done_on", "the day it was done", s.State == StageDone)
	c.text(s.Note, "note", "the note", 0, 2000)
	return c.err()
}
