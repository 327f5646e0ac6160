package rebuild

import (
	"fmt"
	"slices"
	"strings"
)

// JointSource is where the specification of a joint comes from.
type JointSource string

// The sources; empty: not said.
const (
	SourceMaker    JointSource = "maker's manual"
	SourceOwn      JointSource = "own calculation"
	SourcePractice JointSource = "common practice"
)

// JointSources lists those that have a name.
var JointSources = []JointSource{SourceMaker, SourceOwn, SourcePractice}

// Locking is what keeps a joint from working loose.
type Locking string

// The kinds of locking.
const (
	LockNone      Locking = "none"
	LockStaked    Locking = "staked"
	LockPinned    Locking = "pinned"
	LockWired     Locking = "wired"
	LockPaintMark Locking = "paint mark"
	LockNut       Locking = "locking nut"
)

// Lockings lists them.
var Lockings = []Locking{LockNone, LockStaked, LockPinned, LockWired, LockPaintMark, LockNut}

// Joint is a bolted joint whose tightening is recorded.
type Joint struct {
	ID  int64 `json:"id"`
	Rev int   `json:"rev"`

	Title  string      `json:"title"`
	Zone   string      `json:"zone"` // empty: not said
	Safety SafetyClass `json:"safety"`
	Thread string      `json:"thread"` // with class: "M12x1.5-10.9"; empty: not said
	Count  int         `json:"count"`  // equal fasteners in it

	TorqueNm          float64     `json:"torque_nm"`    // of the last pass, before any angle; 0: not known
	ToleranceNm       float64     `json:"tolerance_nm"` // plus and minus; 0: not said
	AngleDeg          float64     `json:"angle_deg"`    // turned on after TorqueNm; 0: none
	AngleToleranceDeg float64     `json:"angle_tolerance_deg"`
	Passes            []float64   `json:"passes"` // torques in N·m before the last one
	Source            JointSource `json:"source"` // of the specification; empty: not said
	SourceWhere       string      `json:"source_where"`
	Friction          float64     `json:"friction"`  // 0: not said
	Lubricant         string      `json:"lubricant"` // "dry", "engine oil"; empty: not said

	Locking Locking `json:"locking"`
	OneTime bool    `json:"one_time"` // its fasteners are renewed each time
	// RetorqueAfterKm is after how many km it is tightened once more; 0: never.
	RetorqueAfterKm float64 `json:"retorque_after_km"`

	Jobs        []int64      `json:"jobs"`        // that want it tight
	Undone      []Undoing    `json:"undone"`      // besides the strip items that name it
	Tightenings []Tightening `json:"tightenings"` // in the order they were entered
	Note        string       `json:"note"`
}

// Undoing is one time a joint was undone with nothing coming off.
type Undoing struct {
	At  string `json:"at"` // RFC 3339
	Why string `json:"why"`
}

// Tightening is one time a joint was tightened.
type Tightening struct {
	At   string `json:"at"` // RFC 3339
	Who  string `json:"who"`
	Tool int64  `json:"tool"` // a tool's ID; 0: not said
	// CalibratedOn is when that tool had last been calibrated, as the book knew
	// it when the tightening was entered. It is given by the book.
	CalibratedOn string  `json:"calibrated_on"`
	TorqueNm     float64 `json:"torque_nm"`
	AngleDeg     float64 `json:"angle_deg"`
	Passes       int     `json:"passes"`    // all of them, the last one too; 0: not said
	Renewed      bool    `json:"renewed"`   // with new fasteners
	Locked       bool    `json:"locked"`    // the locking was done
	SecondBy     string  `json:"second_by"` // who else checked it
	SecondAt     string  `json:"second_at"` // RFC 3339
	Alone        string  `json:"alone"`     // why nobody else checked it
	// AtKm is what the car had gone, in km; nil: not read.
	AtKm   *float64     `json:"at_km"`
	Photos []Attachment `json:"photos"`
	Note   string       `json:"note"`
}

// ItemKind is part of [Item].
func (j Joint) ItemKind() Kind { return KindJoint }

// ItemID is part of [Item].
func (j Joint) ItemID() int64 { return j.ID }

// Revision is part of [Item].
func (j Joint) Revision() int { return j.Rev }

// Label is part of [Item].
func (j Joint) Label() string { return j.Title }

// NeededBy reports whether the job wants the joint tight.
func (j *Joint) NeededBy(job int64) bool { return slices.Contains(j.Jobs, job) }

// TightenedWith reports whether a tightening of the joint names the tool.
func (j *Joint) TightenedWith(tool int64) bool {
	return slices.ContainsFunc(j.Tightenings, func(t Tightening) bool { return t.Tool == tool })
}

// Bounds of a joint: far above any on a car.
const (
	maxTorqueNm    = 5000
	maxAngleDeg    = 1080
	maxPasses      = 20
	maxTightenings = 200
	maxKm          = 10_000_000
	leastFriction  = 0.04
	mostFriction   = 0.5
)

// Validate checks the joint by itself.
func (j Joint) Validate() error {
	var c checks
	c.text(j.Title, "title", "the joint's name", 1, 200)
	c.zone(j.Zone)
	c.oneOf(string(j.Safety), "safety", "the safety class", names(SafetyClasses)...)
	c.text(j.Thread, "thread", "the thread", 0, 60)
	c.that(j.Count >= 1 && j.Count <= maxCount, "count", "the number of fasteners must be between 1 and %d, not %d", maxCount, j.Count)
	j.checkSpecification(&c)
	c.oneOf(string(j.Locking), "locking", "the locking", names(Lockings)...)
	c.number(j.RetorqueAfterKm, 10_000, "retorque_after_km", "the distance after which it is tightened once more", "km")
	c.distinct(j.Jobs, "jobs", "job")
	c.that(len(j.Jobs) <= maxNamed, "jobs", "it names %d jobs; at most %d fit", len(j.Jobs), maxNamed)
	c.that(len(j.Undone) <= maxTightenings, "undone", "it was undone %d times; at most %d fit", len(j.Undone), maxTightenings)
	for i, u := range j.Undone {
		at := fmt.Sprintf("undone.%d.", i+1)
		c.moment(u.At, at+"at", "the moment it was undone", true)
		c.text(u.Why, at+"why", "why it was undone", 0, 300)
	}
	c.that(len(j.Tightenings) <= maxTightenings, "tightenings", "it was tightened %d times; at most %d fit", len(j.Tightenings), maxTightenings)
	for i, t := range j.Tightenings {
		c.fold(fmt.Sprintf("tightenings.%d.", i+1), t.problems())
	}
	c.text(j.Note, "note", "the note", 0, 4000)
	return c.err()
}

func (j Joint) checkSpecification(c *checks) {
	c.number(j.TorqueNm, maxTorqueNm, "torque_nm", "the torque", "N·m")
	c.that(j.ToleranceNm >= 0 && (j.ToleranceNm == 0 || j.ToleranceNm < j.TorqueNm), "tolerance_nm", "the tolerance must be less than the torque of %.4g N·m, not %.4g", j.TorqueNm, j.ToleranceNm)
	c.number(j.AngleDeg, maxAngleDeg, "angle_deg", "the angle", "degrees")
	c.that(j.AngleToleranceDeg >= 0 && (j.AngleToleranceDeg == 0 || j.AngleToleranceDeg < j.AngleDeg), "angle_tolerance_deg", "the angle's tolerance must be less than the angle of %.4g degrees, not %.4g", j.AngleDeg, j.AngleToleranceDeg)
	c.that(len(j.Passes) <= maxPasses, "passes", "%d passes are too many; at most %d fit", len(j.Passes), maxPasses)
	for i, p := range j.Passes {
		c.that(p > 0 && p <= maxTorqueNm, fmt.Sprintf("passes.%d", i+1), "the torque of pass %d must be above 0 and at most %d N·m, not %.4g", i+1, maxTorqueNm, p)
	}
	c.that(j.TorqueNm > 0 || len(j.Passes) == 0, "passes", "passes before the last need the torque of the last")
	c.oneOfIfSaid(string(j.Source), "source", "the source of the specification", names(JointSources)...)
	c.text(j.SourceWhere, "source_where", "where the source says so", 0, 200)
	c.that(j.Friction == 0 || j.Friction >= leastFriction && j.Friction <= mostFriction, "friction", "friction is between %.2f and %.1f, not %.4g", leastFriction, mostFriction, j.Friction)
	c.text(j.Lubricant, "lubricant", "the lubricant", 0, 100)
}

func (t Tightening) problems() []Problem {
	var c checks
	c.moment(t.At, "at", "the moment it was tightened", true)
	c.text(t.Who, "who", "who tightened it", 1, 80)
	c.that(t.Tool >= 0, "tool", "there is no tool %d", t.Tool)
	c.date(t.CalibratedOn, "calibrated_on", "the day the tool was calibrated", false)
	c.that(t.TorqueNm != 0, "torque_nm", "the torque it was tightened to is missing")
	c.number(t.TorqueNm, maxTorqueNm, "torque_nm", "the torque", "N·m")
	c.number(t.AngleDeg, maxAngleDeg, "angle_deg", "the angle", "degrees")
	c.that(t.Passes >= 0 && t.Passes <= maxPasses+1, "passes", "the number of passes must be between 0 and %d, not %d", maxPasses+1, t.Passes)
	t.checkSecond(&c)
	if t.AtKm != nil {
		c.number(*t.AtKm, maxKm, "at_km", "what the car had gone", "km")
	}
	c.attachments(t.Photos, "photos")
	c.text(t.Note, "note", "the note", 0, 2000)
	return c.problems
}

func (t Tightening) checkSecond(c *checks) {
	c.text(t.SecondBy, "second_by", "who checked it", 0, 80)
	c.moment(t.SecondAt, "second_at", "the moment it was checked", false)
	c.text(t.Alone, "alone", "why nobody else checked it", 0, 300)
	c.that(t.SecondBy == "" || !strings.EqualFold(strings.TrimSpace(t.SecondBy), strings.TrimSpace(t.Who)), "second_by", "the second person must be somebody else than %s, who tightened it", short(t.Who))
	c.that(t.SecondBy == "" || t.Alone == "", "alone", "%s checked it, so nobody has to say why it was done alone", short(t.SecondBy))
	c.that(t.SecondBy != "" || t.SecondAt == "", "second_by", "say who checked it, or leave out when")
	c.that(t.SecondAt == "" || t.At == "" || !instant(t.SecondAt).Before(instant(t.At)), "second_at", "it was checked before it was tightened")
}
