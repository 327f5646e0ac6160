package rebuild

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"time"
)

// JointState is where a joint stands.
type JointState string

// The states of a joint.
const (
	JointNever     JointState = "never"  // never tightened, as far as the book knows
	JointUndone    JointState = "undone" // and not tightened since
	JointNotProven JointState = "not proven"
	JointProven    JointState = "proven"
)

// JointStates lists them.
var JointStates = []JointState{JointNever, JointUndone, JointNotProven, JointProven}

// JointStand is how a joint stands, and why.
type JointStand struct {
	State JointState
	// Why says what is missing until it is proven, in sentences; empty when it is.
	Why []string
	// Doubts are what a proven joint leaves open: that nobody else checked it, that
	// its torque is not the maker's.
	Doubts []string
	// UndoneAt is when it was last undone (RFC 3339; empty: never), UndoneBy the
	// strip item by which it was; 0: by none.
	UndoneAt string
	UndoneBy int64
	// Last is the tightening that counts: the latest after it was undone. Nil:
	// there is none.
	Last *Tightening
	// RetorqueAtKm is at what distance it is to be tightened once more; 0: not at
	// all, done already, or not known since the distance was not read.
	RetorqueAtKm float64
	// RetorqueDue reports that the car is known to have gone so far.
	RetorqueDue bool
	// Retorque says so in a sentence; empty: nothing to do.
	Retorque string
}

// Proven reports whether nothing is missing.
func (s JointStand) Proven() bool { return s.State == JointProven }

// Of works out how the joint stands on that day (ISO date; empty: on any). It is proven by a tightening after the last time it was undone, within
// its specification, with a tool in its range and calibration, with new fasteners
// where they are renewed each time, the locking done, and, where lives hang on
// it, checked by a second person or with a reason why not.
func (b JointStands) Of(j Joint, today string) JointStand {
	s := JointStand{State: JointNever}
	s.UndoneAt, s.UndoneBy = b.lastUndone(j)
	counts := tighteningsAfter(j, s.UndoneAt)
	switch {
	case len(counts) > 0:
		s.Last = &counts[len(counts)-1]
		s.State = JointNotProven
	case s.UndoneAt != "":
		s.State = JointUndone
		s.Why = []string{fmt.Sprintf("it was undone on %s and not tightened since", day(s.UndoneAt))}
		return s
	default:
		s.Why = []string{"it was never tightened, as far as the book knows"}
		return s
	}
	s.Why = slices.Concat(
		j.offSpecification(*s.Last, b.r.toleranceOf(j, *s.Last)), b.r.wrongTool(*s.Last), j.notFinished(counts),
		j.overstretched(counts, b.r.toleranceOf(j, *s.Last)), b.holdsNothing(j, *s.Last), datedAhead(*s.Last, today),
	)
	if len(s.Why) == 0 {
		s.State = JointProven
	}
	s.Doubts = append(j.doubts(*s.Last), b.r.lostCalibration(*s.Last)...)
	b.setRetorque(&s, j, counts)
	return s
}

// lastUndone is when the joint was last undone and by which strip item.
func (b JointStands) lastUndone(j Joint) (at string, by int64) {
	later := func(other string) bool { return at == "" || instant(other).After(instant(at)) }
	for _, u := range j.Undone {
		if later(u.At) {
			at = u.At
		}
	}
	for _, s := range b.undoing[j.ID] {
		if later(s.At) {
			at, by = s.At, s.ID
		}
	}
	return at, by
}

// tighteningsAfter are those later than the moment, in the order of time.
func tighteningsAfter(j Joint, undoneAt string) []Tightening {
	var after []Tightening
	for _, t := range j.Tightenings {
		if undoneAt == "" || instant(t.At).After(instant(undoneAt)) {
			after = append(after, t)
		}
	}
	slices.SortStableFunc(after, func(a, b Tightening) int { return instant(a.At).Compare(instant(b.At)) })
	return after
}

// toleranceOf is how far the torque may be off: what the specification says, or,
// where it says nothing, what the class of the tool allows anyway.
func (r *Rebuild) toleranceOf(j Joint, t Tightening) float64 {
	if j.ToleranceNm > 0 {
		return j.ToleranceNm
	}
	tool := r.Tool(t.Tool)
	if tool == nil {
		tool = &Tool{}
	}
	return j.TorqueNm * min(tool.ClassShare(), widestClass)
}

// rounding is what a figure may be off by, relative to itself, when it was typed
// in another unit.
const rounding = 0.002

func (j Joint) offSpecification(t Tightening, toleranceNm float64) []string {
	var why []string
	say := func(wrong bool, format string, args ...any) {
		if wrong {
			why = append(why, fmt.Sprintf(format, args...))
		}
	}
	say(j.TorqueNm == 0, "nobody has said what torque it needs")
	off := math.Abs(t.TorqueNm-j.TorqueNm) - toleranceNm - rounding*j.TorqueNm
	say(j.TorqueNm > 0 && off > 0, "it was tightened to %.4g N·m, but it needs %.4g ± %.3g N·m", t.TorqueNm, j.TorqueNm, toleranceNm)
	say(j.AngleDeg > 0 && t.AngleDeg == 0, "it was not turned on by %.4g degrees after the torque", j.AngleDeg)
	off = math.Abs(t.AngleDeg-j.AngleDeg) - j.AngleToleranceDeg - rounding*j.AngleDeg
	say(t.AngleDeg > 0 && off > 0, "it was turned on by %.4g degrees, but it needs %.4g ± %.3g", t.AngleDeg, j.AngleDeg, j.AngleToleranceDeg)
	passes := len(j.Passes) + 1
	say(passes > 1 && t.Passes == 0, "it needs %d passes, and nobody has said how many were made", passes)
	say(t.Passes > 0 && t.Passes < passes, "it needs %d passes, but %d were made", passes, t.Passes)
	return why
}

func (r *Rebuild) wrongTool(t Tightening) []string {
	tool := r.Tool(t.Tool)
	if tool == nil {
		return []string{"nobody has said with what tool it was tightened"}
	}
	var why []string
	title := short(tool.Title)
	switch {
	case tool.HighNm == 0:
		why = append(why, fmt.Sprintf("the range of the tool %q is not known", title))
	case !tool.Reaches(t.TorqueNm):
		why = append(why, fmt.Sprintf("%.4g N·m is outside the range of the tool %q, %.4g to %.4g N·m", t.TorqueNm, title, tool.LowNm, tool.HighNm))
	}
	switch on := day(t.At); {
	case t.CalibratedOn == "":
		why = append(why, fmt.Sprintf("when the tool %q was calibrated is not known", title))
	case t.CalibratedOn > on:
		why = append(why, fmt.Sprintf("the tool %q was calibrated on %s only, after the joint was tightened", title, t.CalibratedOn))
	case !CalibratedFor(t.CalibratedOn, on):
		why = append(why, fmt.Sprintf("the calibration of the tool %q was out of date: %s, more than %d months before", title, t.CalibratedOn, CalibrationMonths))
	}
	return why
}

// notFinished says what a tightening needs besides torque and tool. New fasteners
// count from the first tightening after the joint was undone, for they stay when
// it is only tightened once more.
func (j Joint) notFinished(counts []Tightening) []string {
	var why []string
	last := counts[len(counts)-1]
	if j.OneTime && !slices.ContainsFunc(counts, func(t Tightening) bool { return t.Renewed }) {
		why = append(why, "its fasteners must be renewed each time, and they were not since it was undone")
	}
	if j.Locking != LockNone && !last.Locked {
		why = append(why, fmt.Sprintf("its locking (%s) was not done", j.Locking))
	}
	if j.Safety.Critical() && last.SecondBy == "" && last.Alone == "" {
		why = append(why, "lives hang on it, and no second person has checked it")
	}
	return why
}

// overstretched says that the fasteners in it were tightened too far before: a
// right torque afterwards does not mend them.
func (j Joint) overstretched(counts []Tightening, toleranceNm float64) []string {
	worst := 0.0
	for i, t := range counts {
		if t.Renewed {
			worst = 0
		}
		if i < len(counts)-1 {
			worst = max(worst, t.TorqueNm)
		}
	}
	if j.TorqueNm == 0 || worst <= j.TorqueNm*(1+rounding)+toleranceNm {
		return nil
	}
	return []string{fmt.Sprintf("it had been tightened to %.4g N·m before, too much for %.4g ± %.3g N·m: renew its fasteners, or correct that entry", worst, j.TorqueNm, toleranceNm)}
}

// lostCalibration says that the tool was calibrated then and has lost that since,
// as it does where it was found off.
func (r *Rebuild) lostCalibration(t Tightening) []string {
	tool := r.Tool(t.Tool)
	if tool == nil || tool.CalibratedOn != "" || t.CalibratedOn == "" {
		return nil
	}
	return []string{fmt.Sprintf("the tool %q has lost its calibration since: where it was found off, tighten once more with one that is right", short(tool.Title))}
}

// holdsNothing says which strip item it should hold and is still off, or went back
// on a later day than it was tightened: the record may be a few taps early, not a
// day.
func (b JointStands) holdsNothing(j Joint, last Tightening) []string {
	for _, s := range b.undoing[j.ID] {
		if s.Off() {
			return []string{fmt.Sprintf("%q, which it holds, is still off", short(s.What))}
		}
		if day(last.At) < day(s.BackAt) && instant(last.At).Before(instant(s.BackAt)) {
			return []string{fmt.Sprintf("it was tightened on %s, before %q, which it holds, went back on %s", day(last.At), short(s.What), day(s.BackAt))}
		}
	}
	return nil
}

func datedAhead(t Tightening, today string) []string {
	if today == "" || day(t.At) <= today {
		return nil
	}
	return []string{fmt.Sprintf("its tightening is dated %s, which is still to come", day(t.At))}
}

func (j Joint) doubts(t Tightening) []string {
	var doubts []string
	if j.Safety.Critical() && t.SecondBy == "" && t.Alone != "" {
		doubts = append(doubts, "not checked by a second person: "+t.Alone)
	}
	if j.Safety.Critical() && j.Source != SourceMaker {
		doubts = append(doubts, "lives hang on it, and its torque is not known to be the maker's: "+cmp.Or(string(j.Source), "nobody has said where it comes from"))
	}
	if j.ToleranceNm == 0 {
		doubts = append(doubts, "no tolerance is said, so the class of the tool stands for it")
	}
	return doubts
}

// setRetorque works out when the joint is to be tightened once more. The distance
// runs from the first tightening after it was undone at which it was read; a later
// one at or beyond the distance settles it.
func (b JointStands) setRetorque(s *JointStand, j Joint, counts []Tightening) {
	if j.RetorqueAfterKm == 0 {
		return
	}
	first := slices.IndexFunc(counts, func(t Tightening) bool { return t.AtKm != nil })
	if first < 0 {
		s.Retorque = fmt.Sprintf("to be tightened once more after %s; what the car had gone was not read", b.distance(j.RetorqueAfterKm))
		return
	}
	due := *counts[first].AtKm + j.RetorqueAfterKm
	if slices.ContainsFunc(counts[first+1:], func(t Tightening) bool { return t.AtKm != nil && *t.AtKm >= due }) {
		return
	}
	s.RetorqueAtKm, s.RetorqueDue = due, b.knownKm >= due
	s.Retorque = "to be tightened once more at " + b.distance(due)
	if s.RetorqueDue {
		s.Retorque += ", and the car has gone " + b.distance(b.knownKm)
	}
}

// distance shows a distance in the unit that the car counts in.
func (b JointStands) distance(km float64) string {
	if b.r.Car.DistanceUnit == "mi" {
		return fmt.Sprintf("%.0f mi", km/KmPerMile)
	}
	return fmt.Sprintf("%.0f km", km)
}

// KmPerMile is exact (international mile).
const KmPerMile = 1.609344

// KnownKm is the longest distance in km that the car is known to have gone: when
// it was bought, at a tightening, or at the end of a run of the shakedown. 0: none
// is known.
func (r *Rebuild) KnownKm() float64 {
	km := float64(r.Car.Distance)
	if r.Car.DistanceUnit == "mi" {
		km *= KmPerMile
	}
	for _, j := range r.Joints {
		for _, t := range j.Tightenings {
			if t.AtKm != nil {
				km = max(km, *t.AtKm)
			}
		}
	}
	for i := range r.Shakedown {
		if at := r.Shakedown[i].AtKm; at != nil {
			km = max(km, *at)
		}
	}
	return km
}

// AgainstCalibration says in a sentence why a tool should not tighten anything on
// that day; empty: nothing.
func (t *Tool) AgainstCalibration(today string) string {
	switch {
	case t.CalibratedOn == "":
		return "when it was calibrated is not known"
	case t.CalibratedOn > today:
		return fmt.Sprintf("its calibration is dated %s, which is still to come", t.CalibratedOn)
	case !t.InCalibration(today):
		from, err := time.Parse(time.DateOnly, t.CalibratedOn)
		if err != nil {
			return "when it was calibrated is not known"
		}
		return fmt.Sprintf("its calibration of %s held until %s", t.CalibratedOn, from.AddDate(0, CalibrationMonths, 0).Format(time.DateOnly))
	}
	return ""
}
