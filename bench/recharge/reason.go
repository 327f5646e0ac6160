package recharge

import (
	"fmt"
	"math"
	"strings"
)

// cause is one of the seven, with its name in prose.
type cause int

const (
	normalCause cause = iota
	gasCause
	internalCause
	externalCause
	pumpCause
	airCause
	sensorCause
)

var causeNames = []struct {
	cause cause
	name  string
	of    func(Causes) float64
}{
	{normalCause, "nothing wrong", func(c Causes) float64 { return c.Normal }},
	{gasCause, "gas lost from the accumulator", func(c Causes) float64 { return c.GasLoss }},
	{internalCause, "an internal leak (valve or seal)", func(c Causes) float64 { return c.InternalLeak }},
	{externalCause, "an external leak", func(c Causes) float64 { return c.ExternalLeak }},
	{pumpCause, "a weak pump", func(c Causes) float64 { return c.WeakPump }},
	{airCause, "air in the fluid", func(c Causes) float64 { return c.Air }},
	{sensorCause, "the pressure sensor", func(c Causes) float64 { return c.Sensor }},
}

// ranked is a cause with its chance.
type ranked struct {
	cause  cause
	name   string
	chance float64
}

// likeliest are the causes in order, the likeliest first.
func (c Causes) likeliest() []ranked {
	var list []ranked
	for _, n := range causeNames {
		p, at := n.of(c), 0
		for at < len(list) && list[at].chance >= p {
			at++
		}
		list = append(list[:at], append([]ranked{{n.cause, n.name, p}}, list[at:]...)...)
	}
	return list
}

// worthTelling is the smallest chance that is told beside a larger one.
const worthTelling = 0.01

// inWords names the likeliest of a list, and the next where it has a chance worth
// telling.
func inWords(list []ranked) string {
	text := fmt.Sprintf("%s is likeliest (%s)", list[0].name, percent(list[0].chance))
	if len(list) > 1 && list[1].chance >= worthTelling {
		text += fmt.Sprintf(", then %s (%s)", list[1].name, percent(list[1].chance))
	}
	return text
}

// told are the likeliest causes, that nothing is wrong among them.
func (u *unit) told() string { return inWords(u.r.Causes.likeliest()) }

// led is the sign that speaks for the likeliest fault, and the fault: the reason
// of a fail, in which that nothing be wrong has no place.
func (u *unit) led() string {
	var faults []ranked
	for _, c := range u.r.Causes.likeliest() {
		if c.cause != normalCause {
			faults = append(faults, c)
		}
	}
	if sign := u.leading(faults[0].cause); sign != "" {
		return sign + ": " + inWords(faults)
	}
	return inWords(faults)
}

// leading is what was read that speaks most for a fault.
func (u *unit) leading(c cause) string {
	switch c {
	case gasCause:
		return u.gasSign()
	case internalCause, externalCause:
		return u.leakSign()
	case pumpCause:
		return u.pumpSign()
	case airCause:
		return u.airSign()
	case sensorCause:
		return strings.Join(u.sensorSigns(), ", and ")
	}
	return ""
}

func (u *unit) gasSign() string {
	e := &u.e
	if p := u.r.PrechargeBar; p != nil && e.p0 < e.nominalP0 {
		if u.c.Log == nil {
			return fmt.Sprintf("the fill from empty took %.0f times as long as a recharge, which makes the pre-charge about %.0f %% of cut-in", u.r.Cycles[0].FillS/u.usualRun(), 100*e.p0/e.cutIn)
		}
		if e.p0 < 0.5*e.cutIn {
			return fmt.Sprintf("pre-charge %.1f bar, far below the cut-in of %.1f bar", p.Value, e.cutIn-AtmosphereBar)
		}
		return fmt.Sprintf("pre-charge %.1f bar, where about %.0f bar belong to such a unit", p.Value, e.nominalP0-AtmosphereBar)
	}
	if e.sdLogPump > 0 && u.r.Interval.MeanS != nil {
		return fmt.Sprintf("a recharge takes %.1f s and comes every %.0f s, both short as when there is little gas", u.usualRun(), *u.r.Interval.MeanS)
	}
	return ""
}

func (u *unit) leakSign() string {
	e := &u.e
	charge := e.nominalP0 * e.volumeMl
	if e.sdLogP0 > 0 {
		charge = e.p0 * e.volumeMl
	}
	usual := healthy.leakMlSBar / charge
	switch {
	case e.otherState > 0 && e.leak < 1.5*usual:
		return otherStateSign
	case u.c.Log == nil && u.r.Duty != nil && *u.r.Duty > u.usualDuty():
		return fmt.Sprintf("the pump runs %.1f %% of the time at rest, where about %.1f %% is usual", 100**u.r.Duty, 100*u.usualDuty())
	case e.sdLogLeak > 0 && e.leak > usual:
		return fmt.Sprintf("pressure falls %.2g bar/min in the static stretches, cooling apart, where about %.2g is usual", LeakRate(e.middle, e.leak), LeakRate(e.middle, usual))
	case u.c.ReservoirDropMl != nil && *u.c.ReservoirDropMl > 2*before.levelSDMl:
		return fmt.Sprintf("the reservoir fell by %.0f mL", *u.c.ReservoirDropMl)
	}
	return ""
}

// usualDuty is the share of the time that the pump of a healthy unit runs.
func (u *unit) usualDuty() float64 {
	return healthy.leakMlSBar * (u.e.middle - AtmosphereBar) / u.e.flow
}

func (u *unit) pumpSign() string {
	run := u.usualRun()
	charge := u.e.nominalP0 * u.e.volumeMl
	if u.e.sdLogP0 > 0 {
		charge = u.e.p0 * u.e.volumeMl
	}
	usual := run * u.e.pump * charge / u.e.flow
	if !(run > usual) || usual <= 0 {
		return ""
	}
	return fmt.Sprintf("the pump needs %.1f s for a recharge, where about %.1f s is usual", run, usual)
}

func (u *unit) airSign() string {
	switch {
	case u.e.sdDelay > 0 && u.e.delay-2*u.e.sdDelay > 0.3:
		return fmt.Sprintf("%.1f s pass before the cold fill meets the gas, in which air is squeezed", u.e.delay)
	case len(u.e.runs) >= 3:
		return fmt.Sprintf("the pump's runs scatter by %.0f %%", 100*spreadOf(u.e.runs)/meanOf(u.e.runs))
	}
	return ""
}

func (u *unit) sensorSigns() (list []string) {
	s := u.r.Screen
	if s == nil {
		return nil
	}
	if n := s.Dropouts + s.Spikes; n > 0 {
		list = append(list, fmt.Sprintf("%d of %d readings jump far off and back, which no pressure does", n, s.Readings))
	}
	if s.Jumps > 0 {
		list = append(list, fmt.Sprintf("%d %s faster than the pump can make: the reading stood still", s.Jumps, verb(s.Jumps, "recharge rises", "recharges rise")))
	}
	if s.ZeroSeen && math.Abs(s.ZeroBar) > 1+s.QuantumBar/2 {
		list = append(list, fmt.Sprintf("the sensor reads %.1f bar while the unit is drained", s.ZeroBar))
	}
	return list
}

// usualRun is the run time that the ratios were taken of.
func (u *unit) usualRun() float64 {
	run, _, _ := u.meanRun()
	return run
}

// levelWanted tells what would part the two leaks, where that is the question.
func (u *unit) levelWanted() string {
	c := u.r.Causes
	if c.InternalLeak+c.ExternalLeak <= 0.5 || u.c.ReservoirDropMl != nil {
		return ""
	}
	return "inside and outside leaks look the same in pressure: the reservoir's level before and after, and wet spots, would part them"
}

// counted is the settled interval as a figure.
func (u *unit) counted() string {
	i := u.r.Interval
	return fmt.Sprintf("%d settled intervals of %.0f s on average (95 %% interval %s to %s s)", i.N, *i.MeanS, seconds(*i.LowS, *i.MeanS), seconds(*i.HighS, *i.MeanS))
}

// seconds writes an end of an interval as finely as it takes to tell it from the
// middle.
func seconds(end, middle float64) string {
	if math.Abs(end-middle) < 1 {
		return fmt.Sprintf("%.1f", end)
	}
	return fmt.Sprintf("%.0f", end)
}

// interval is the settled interval against the rule of the trade.
func (u *unit) interval(rule string) string {
	switch rule {
	case Pass:
		return u.counted() + ", over the two minutes of common practice"
	case Fail:
		return u.counted() + ", under the two minutes of common practice, which cannot tell gas loss from a leak"
	}
	return u.counted() + ", too near the two minutes of common practice to go by"
}

// besideFault is the interval beside a fault that other readings show.
func (u *unit) besideFault(rule string) string {
	switch rule {
	case Pass:
		return "the interval alone would not show it: " + u.counted()
	case Fail:
		return u.counted() + ", under the two minutes of common practice"
	}
	return "the interval alone would leave it open: " + u.counted()
}

// worthReading is the chance from which on what speaks for a leak is told beside a
// long interval, and the reservoir's level asked for.
const worthReading = 0.2

// undecided is the interval where that nothing is wrong, or that something is, is
// not sure enough to say; with what was read against a pass.
func (u *unit) undecided(rule string) string {
	text := u.interval(rule)
	against := ""
	if c := u.r.Causes; c.InternalLeak+c.ExternalLeak > worthReading {
		against = u.leakSign()
	}
	switch {
	case rule == Fail:
		text += ", but the other readings do not bear it out"
	case rule == Pass && against != "":
		text += ", but " + against
	case rule == Pass:
		text += ", but that nothing is wrong is not sure enough to pass it"
	}
	return text
}

func verb(n int, one, many string) string {
	if n == 1 {
		return one
	}
	return many
}

func plural(n int, what string) string {
	switch {
	case n == 1:
		return what
	case strings.HasSuffix(what, "ch"):
		return what + "es"
	}
	return what + "s"
}

// percent never says certain of what is only likely.
func percent(p float64) string {
	switch {
	case p >= 0.995:
		return ">99 %"
	case p < 0.005:
		return "<1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}
