package recharge

import (
	"fmt"
	"slices"
	"strings"
)

// The rule of the trade on the settled interval, with the doubt that "about two
// minutes" and "several" carry: a sixth less and a quarter more. What is sure
// enough to say weighs a needless repair (hundreds) against a fault overlooked
// that the next test would still show: three to one to say that something is
// wrong, two to one that nothing is, where the interval is long as well. Own estimates.
//
// ref: COMMON_PRACTICE under about two minutes between recharges the accumulator is due, several minutes is healthy
// ref: DESIGN_RECHARGE
const (
	shortS        = 100.0
	longS         = 150.0
	needed        = 3
	surePass      = 0.65
	surePassTimed = 0.60 // by times alone, where cut-in and cut-out are a doubt that the interval itself does not have
	sureFail      = 0.75
)

// weigh fills in what is expected and asks for the chances.
func (u *unit) weigh() {
	u.e.levelMl, u.e.screen = u.c.ReservoirDropMl, u.r.Screen
	u.e.expectations(u.c, u.ambientC)
	u.r.Causes = u.e.weigh()
	u.size()
}

// judge is the verdict by a pressure log, with its reason, the signs, and what to
// read next.
func (u *unit) judge() {
	u.signs()
	u.next()
	r, rule, drift := &u.r, u.rule(), u.drift()
	switch {
	case len(r.Cycles) == 0:
		u.leaveOpen("the readings hold no whole recharge")
	case r.Causes.Sensor >= sureFail:
		u.conclude(Fail, u.led(), "the readings themselves are at fault and must be put right before anything else can be told")
	case r.Interval.N < needed:
		u.leaveOpen(tooFew(r.Interval.N), u.leftOut(), "so far "+u.told(), u.levelWanted())
	case 1-r.Causes.Normal >= sureFail:
		u.conclude(Fail, u.led(), u.besideFault(rule), u.levelWanted())
	case rule == Fail && r.Causes.Normal < 0.5:
		u.conclude(Fail, u.interval(rule), u.led(), u.levelWanted())
	case rule == Pass && drift != "":
		u.leaveAdrift(rule, drift)
	case rule == Pass && r.Causes.Normal >= surePass:
		u.conclude(Pass, u.interval(rule), u.told())
	default:
		u.adviseAgain()
		u.leaveOpen(u.undecided(rule), u.told(), u.levelWanted())
	}
}

// conclude sets the verdict and its reasons; empty ones are left out.
func (u *unit) conclude(verdict string, reasons ...string) {
	u.r.Verdict = verdict
	u.r.Reasons = slices.DeleteFunc(reasons, func(reason string) bool { return reason == "" })
	u.r.Why = strings.Join(u.r.Reasons, "; ")
}

// leaveOpen cannot tell, and asks for what would tell.
func (u *unit) leaveOpen(reasons ...string) {
	u.conclude(CannotTell, reasons...)
	u.r.Why += "; " + u.ask()
}

// judgeTimes is the verdict by pump times alone, stops noted or not. The rule of
// the trade goes first: what the times say beyond it leans on a band and a size
// that were not read, so that it can take back a pass but never make a fail of an
// interval near the two minutes.
func (u *unit) judgeTimes() {
	r, rule := &u.r, u.rule()
	u.signs()
	u.nextByTimes(rule)
	stops := u.e.sdLogPump > 0 // with starts alone there are no chances to tell of
	told, led := "", ""
	if stops {
		told, led = u.told(), u.led()
	}
	drift := u.drift()
	switch {
	case r.Interval.N < needed:
		u.adviseWarm(drift)
		u.leaveOpen(tooFew(r.Interval.N), u.leftOut(), drift)
	case rule == Fail && stops && r.Causes.Normal >= 0.5:
		u.conclude(Fail, u.interval(rule), "how long the pump runs shows no cause, so that a pressure log must tell it")
	case rule == Fail:
		u.conclude(Fail, u.interval(rule), led, u.levelWanted())
	case rule == CannotTell:
		u.adviseWarm(drift)
		u.leaveOpen(u.interval(rule), drift, told)
	case rule == Pass && drift != "":
		u.leaveAdrift(rule, drift)
	case !stops:
		u.conclude(rule, u.interval(rule))
	case 1-u.soundChance() >= sureFail:
		u.conclude(Fail, led, u.besideFault(rule), u.levelWanted())
	case u.soundChance() >= surePassTimed:
		u.conclude(Pass, u.interval(rule), told)
	default:
		u.leaveOpen(u.undecided(rule), told, u.levelWanted())
	}
}

// leaveAdrift takes back a pass by intervals that the last ones do not bear out.
func (u *unit) leaveAdrift(rule, drift string) {
	u.adviseWarm(drift)
	u.leaveOpen(u.interval(rule)+", but "+drift, "if nothing was operated in those, the unit is worse than its mean")
}

// adviseWarm asks for intervals in the state of the last ones, where they drift.
func (u *unit) adviseWarm(drift string) {
	if drift != "" {
		u.advise("three intervals more with nothing operated, the oil as warm as at the end of these")
	}
}

// soundChance is the chance of nothing wrong among what pump times can show:
// nobody looked at the sensor.
func (u *unit) soundChance() float64 { return u.r.Causes.Normal / (1 - u.r.Causes.Sensor) }

// rule applies the rule of the trade to the interval.
func (u *unit) rule() string {
	i := u.r.Interval
	switch {
	case i.N < needed:
		return CannotTell
	case *i.HighS < shortS:
		return Fail
	case *i.LowS > longS:
		return Pass
	}
	return CannotTell
}

func tooFew(n int) string {
	count := "no settled interval yet"
	if n > 0 {
		count = fmt.Sprintf("%d settled %s", n, plural(n, "interval"))
	}
	return fmt.Sprintf("%s, where %d are asked for before anything is said", count, needed)
}

// leftOut is how many intervals do not count, and why: who timed four and is told
// of two wants to know.
func (u *unit) leftOut() string {
	all := 0
	for _, c := range u.r.Cycles {
		if c.IntervalS != nil {
			all++
		}
	}
	out := all - u.r.Interval.N
	if out <= 0 {
		return ""
	}
	return fmt.Sprintf("%d of %d intervals left out, as where something is operated, a start is missed or the gas is still warm from the fill", out, all)
}
