package rebuild

import (
	"errors"
	"fmt"
	"slices"
)

// ShakedownStage is a stage of the first drives.
type ShakedownStage string

// The stages of the shakedown, in order.
const (
	ShakeYard     ShakedownStage = "yard"     // off the road
	ShakeSlow     ShakedownStage = "slow"     // 20 minutes
	ShakeTouch    ShakedownStage = "touch"    // stopped: look, smell, feel for heat
	ShakeFifty    ShakedownStage = "fifty"    // 50 km
	ShakeRetorque ShakedownStage = "retorque" // joints once more
	ShakeFull     ShakedownStage = "full"
)

// ShakedownStages lists them in order.
var ShakedownStages = []ShakedownStage{ShakeYard, ShakeSlow, ShakeTouch, ShakeFifty, ShakeRetorque, ShakeFull}

// RunResult is how a stage of the shakedown went.
type RunResult string

// The results.
const (
	RunPass RunResult = "pass"
	RunStop RunResult = "stop" // something is to be put right before the stage is done again
)

// RunResults lists them.
var RunResults = []RunResult{RunPass, RunStop}

// ShakedownRun is one time a stage of the shakedown was done.
type ShakedownRun struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Stage   ShakedownStage `json:"stage"`
	At      string         `json:"at"` // RFC 3339, when it ended
	By      string         `json:"by"`
	Km      float64        `json:"km"`      // driven in it; 0: none, or not said
	Minutes float64        `json:"minutes"` // 0: not said
	// AtKm is what the car had gone at its end, in km; nil: not read.
	AtKm     *float64     `json:"at_km"`
	Felt     string       `json:"felt"`
	Heard    string       `json:"heard"`
	Smelt    string       `json:"smelt"`
	Note     string       `json:"note"` // anything else, such as what was measured
	Result   RunResult    `json:"result"`
	Findings []int64      `json:"findings"` // made in it
	Evidence []int64      `json:"evidence"` // measurements made in it
	Photos   []Attachment `json:"photos"`
}

// ItemKind is part of [Item].
func (s ShakedownRun) ItemKind() Kind { return KindShakedownRun }

// ItemID is part of [Item].
func (s ShakedownRun) ItemID() int64 { return s.ID }

// Revision is part of [Item].
func (s ShakedownRun) Revision() int { return s.Rev }

// Label is part of [Item].
func (s ShakedownRun) Label() string { return string(s.Stage) }

// Validate checks the run by itself.
func (s ShakedownRun) Validate() error {
	var c checks
	c.oneOf(string(s.Stage), "stage", "the stage of the shakedown", names(ShakedownStages)...)
	c.moment(s.At, "at", "the moment it ended", true)
	c.text(s.By, "by", "who drove", 1, 80)
	c.number(s.Km, 5000, "km", "the distance driven", "km")
	c.number(s.Minutes, 6000, "minutes", "the time it took", "minutes")
	if s.AtKm != nil {
		c.number(*s.AtKm, maxKm, "at_km", "what the car had gone", "km")
	}
	c.text(s.Felt, "felt", "what was felt", 0, 2000)
	c.text(s.Heard, "heard", "what was heard", 0, 2000)
	c.text(s.Smelt, "smelt", "what was smelt", 0, 2000)
	c.text(s.Note, "note", "the note", 0, 4000)
	c.oneOf(string(s.Result), "result", "how it went", names(RunResults)...)
	said := s.Felt+s.Heard+s.Smelt+s.Note != "" || len(s.Findings) > 0
	c.that(s.Result != RunStop || said, "note", "say what stopped it: what was felt, heard or smelt, or a finding")
	c.distinct(s.Findings, "findings", "finding")
	c.distinct(s.Evidence, "evidence", "measurement")
	c.that(len(s.Findings) <= maxNamed, "findings", "it names %d findings; at most %d fit", len(s.Findings), maxNamed)
	c.that(len(s.Evidence) <= maxNamed, "evidence", "it names %d measurements; at most %d fit", len(s.Evidence), maxNamed)
	c.attachments(s.Photos, "photos")
	return c.err()
}

// RunsOf lists the runs of a stage in the order of time.
func (r *Rebuild) RunsOf(stage ShakedownStage) []*ShakedownRun {
	runs := those(r.Shakedown, func(s *ShakedownRun) bool { return s.Stage == stage })
	slices.SortStableFunc(runs, func(a, b *ShakedownRun) int { return instant(a.At).Compare(instant(b.At)) })
	return runs
}

// AddShakedownRun keeps a run with what was found in it, as one change; numbers
// and revisions are given here. Problems of the findings are those of the fields
// "found.1.what" and so on.
func (r *Rebuild) AddShakedownRun(s ShakedownRun, found ...Finding) (Change, error) {
	var c Change
	next := r
	s.Findings = slices.Clone(s.Findings)
	for i, f := range found {
		add, err := next.AddFinding(f)
		if err != nil {
			return Change{}, foundProblem(i, err)
		}
		if next, err = next.Apply(add); err != nil {
			return Change{}, err
		}
		s.Findings = append(s.Findings, add.Added().ItemID())
		c.Edits = append(c.Edits, add.Edits...)
	}
	s.ID, s.Rev = next.nextID(), 0
	if err := next.checkShakedownRun(s); err != nil {
		return Change{}, err
	}
	c.What, c.nextID = runInWords(s), s.ID+1
	c.add(s)
	return c, nil
}

// foundProblem names the finding whose fields cannot be taken.
func foundProblem(i int, err error) error {
	var invalid *Invalid
	if !errors.As(err, &invalid) {
		return err
	}
	var c checks
	c.fold(fmt.Sprintf("found.%d.", i+1), invalid.Problems)
	return c.err()
}

func runInWords(s ShakedownRun) string {
	if s.Result == RunStop {
		return fmt.Sprintf("stopped the shakedown in the stage %q", s.Stage)
	}
	return fmt.Sprintf("passed the shakedown stage %q", s.Stage)
}

// AddShakedownFinding enters what was found in a run and names it there, as one
// change.
func (r *Rebuild) AddShakedownFinding(run int64, rev int, f Finding) (Change, error) {
	old := r.ShakedownRun(run)
	if old == nil {
		return Change{}, &Missing{KindShakedownRun, run}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindShakedownRun, run, old.Label(), *old}
	}
	c, err := r.AddFinding(f)
	if err != nil {
		return Change{}, err
	}
	next := *old
	next.Rev++
	next.Findings = append(slices.Clone(old.Findings), c.Added().ItemID())
	c.edit(*old, next)
	return c, nil
}

// EditShakedownRun replaces a run. s.Rev is the revision the form was opened with.
func (r *Rebuild) EditShakedownRun(s ShakedownRun) (Change, error) {
	old := r.ShakedownRun(s.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindShakedownRun, ID: s.ID, Label: s.Label()}
	}
	if err := fresh(*old, s); err != nil {
		return Change{}, err
	}
	if err := r.checkShakedownRun(s); err != nil {
		return Change{}, err
	}
	return changed(fmt.Sprintf("changed a run of the shakedown stage %q", s.Stage), *old, s), nil
}

// DeleteShakedownRun takes a run out. Findings and measurements stay.
func (r *Rebuild) DeleteShakedownRun(id int64, rev int) (Change, error) {
	old := r.ShakedownRun(id)
	if old == nil {
		return Change{}, &Missing{KindShakedownRun, id}
	}
	if old.Rev != rev {
		return Change{}, &Conflict{KindShakedownRun, id, old.Label(), *old}
	}
	c := Change{What: fmt.Sprintf("deleted a run of the shakedown stage %q", old.Stage)}
	c.remove(*old)
	return c, nil
}

func (r *Rebuild) checkShakedownRun(s ShakedownRun) error {
	if err := s.Validate(); err != nil {
		return err
	}
	for _, id := range s.Findings {
		if r.Finding(id) == nil {
			return &Invalid{[]Problem{{"findings", fmt.Sprintf("finding %d is not there any more", id)}}}
		}
	}
	for _, id := range s.Evidence {
		if r.EvidenceAt(id) == nil {
			return &Invalid{[]Problem{{"evidence", fmt.Sprintf("measurement %d is not there any more", id)}}}
		}
	}
	return nil
}

// knowsAllOfRun refuses a run that names something gone.
func (r *Rebuild) knowsAllOfRun(s ShakedownRun) error {
	for _, id := range s.Findings {
		if r.Finding(id) == nil {
			return &Conflict{Kind: KindFinding, ID: id}
		}
	}
	for _, id := range s.Evidence {
		if r.EvidenceAt(id) == nil {
			return &Conflict{Kind: KindEvidence, ID: id}
		}
	}
	return nil
}

// names reports whether the run names that finding or measurement.
func (s *ShakedownRun) names(kind Kind, id int64) bool {
	return kind == KindFinding && slices.Contains(s.Findings, id) || kind == KindEvidence && slices.Contains(s.Evidence, id)
}

// without is the run's next revision with nothing that names that item.
func (s *ShakedownRun) without(kind Kind, id int64) ShakedownRun {
	loose := *s
	loose.Rev++
	switch kind {
	case KindFinding:
		loose.Findings = without(s.Findings, id)
	case KindEvidence:
		loose.Evidence = without(s.Evidence, id)
	}
	if loose.Validate() != nil && loose.Note == "" {
		// What stopped it was that finding alone: a stop has to say something.
		loose.Note = "what it was stopped for was taken out of the book"
	}
	return loose
}
