package recharge

import (
	"math"

	"wreckwright/uncertain"
)

// factor95 is how many times as large or as small a figure may be within its 95 %
// interval, by its logarithmic standard deviation. Beyond a factor of a million
// nothing is known of it, and that remains a number.
func factor95(sdLog float64) float64 {
	return math.Exp(math.Min(uncertain.HalfOf95*sdLog, math.Log(1e6)))
}

// settledHolds are the spans of which cooling and leak are read: those after
// settled recharges, else any in which nothing was operated, but for the one
// after the fill from empty.
func (u *unit) settledHolds() []int {
	var settled, quiet []int
	for i := range u.legs {
		from, to := u.span(i)
		if to-from < 5 || u.operated(from, to) || u.legs[i].cold {
			continue
		}
		next := i + 1
		switch {
		case next < len(u.r.Cycles) && u.r.Cycles[next].Settled:
			settled = append(settled, i)
		case next == len(u.r.Cycles) && u.r.Cycles[i].Settled, next < len(u.r.Cycles) && u.r.Cycles[next].Static:
			quiet = append(quiet, i)
		}
	}
	if len(settled) > 0 {
		return settled
	}
	if len(quiet) > 2 {
		quiet = quiet[len(quiet)-2:] // the earlier ones are warm from the fill
	}
	return quiet
}

// holdAfter is the hold after recharge i.
func (u *unit) holdAfter(i int) hold {
	from, to := u.span(i)
	guard := math.Max(0.3, 0.5*u.s.step)
	if i+1 == len(u.legs) {
		guard = 0
	}
	return u.s.holdBetween(from, from+0.2, to-guard)
}

// fitCooling fits cooling and leak to the settled holds, and cut-out levels anew
// where they follow from them.
func (u *unit) fitCooling() {
	var holds []hold
	var at []int
	chosen := u.settledHolds()
	if len(chosen) > mostHolds {
		chosen = chosen[len(chosen)-mostHolds:]
	}
	for _, i := range chosen {
		if h := u.holdAfter(i); len(h.t) >= 6 {
			holds, at = append(holds, h), append(at, i)
		}
	}
	if len(holds) == 0 {
		return
	}
	fit, ok := fitHolds(holds, u.e.middle, nil)
	if !ok {
		return
	}
	fit.sdLeak = math.Hypot(fit.sdLeak, leakLawSD*fit.leak)
	u.fit = &fit
	u.r.fit, u.r.fitAt = u.fit, at
	for k, i := range at {
		u.r.Cycles[i].CutOutBar = new(fit.at(k, 0) - AtmosphereBar)
		if i+1 < len(u.legs) {
			_, to := u.span(i)
			u.r.Cycles[i+1].CutInBar = new(fit.at(k, to-u.legs[i].off) - AtmosphereBar)
		}
	}
	u.levelsOf(at)
	p := meanOf(fit.start)
	drop := (fit.cool - fit.lag()) * p
	sd := u.coolingError(&fit, at, drop, p)
	u.r.Settle = &Settle{
		DropBar: drop, DropLow: drop - uncertain.HalfOf95*sd, DropHigh: drop + uncertain.HalfOf95*sd,
		TimeConstantS: fit.tau, TimeLowS: fit.tau * math.Exp(-uncertain.HalfOf95*fit.sdLogTau), TimeHighS: fit.tau * math.Exp(uncertain.HalfOf95*fit.sdLogTau),
	}
	rate := func(g float64) float64 { return LeakRate(u.e.middle, math.Max(g, 0)) }
	u.r.LeakBarPerMin = &Estimate{rate(fit.leak), rate(fit.leak - uncertain.HalfOf95*fit.sdLeak), rate(fit.leak + uncertain.HalfOf95*fit.sdLeak)}
	u.r.LeakConductance = &Estimate{fit.leak, math.Max(fit.leak-uncertain.HalfOf95*fit.sdLeak, 0), fit.leak + uncertain.HalfOf95*fit.sdLeak}
	u.e.leak = math.Max(fit.leak, fit.sdLeak/2)
	u.e.sdLogLeak = math.Hypot(fit.sdLeak/u.e.leak, 0.03)
}

// What the model itself leaves open, relative: one time constant where real gas
// shows two, the fall by cooling apart from the lag that the leak makes (a real
// gas has a gamma of 1.4 to 1.5, and leaks a little faster while warm), and the
// law of the leak, which one band cannot show.
//
// ref: DESIGN_RECHARGE
const (
	oneTauSD  = 0.02
	lagSD     = 0.35
	leakLawSD = 0.015
)

// coolingError is the standard uncertainty of the fall by cooling: that of the
// fit, of the model, and of the moment of the stop, to which the fit is carried
// back.
func (u *unit) coolingError(fit *relaxation, at []int, drop, p float64) float64 {
	stop := 0.0
	for _, i := range at {
		stop = math.Max(stop, u.legs[i].onErr/math.Sqrt2)
	}
	if !u.legs[at[0]].exact {
		stop = math.Max(stop, edgeFloor*u.s.step)
	}
	model := math.Hypot(oneTauSD*drop, lagSD*fit.lag()*p)
	return math.Hypot(math.Hypot(fit.sdCool*p, model), drop*math.Min(stop/fit.tau, 1))
}

// edgeFloor is how well an edge is read off a log at best, in steps between
// readings: the line through a rise is not quite straight.
const edgeFloor = 0.2

// levelsOf takes cut-in and cut-out from the fitted holds.
func (u *unit) levelsOf(at []int) {
	var in, out []float64
	for _, i := range at {
		out = append(out, *u.r.Cycles[i].CutOutBar)
		if i+1 < len(u.legs) {
			in = append(in, *u.r.Cycles[i+1].CutInBar)
		}
	}
	u.r.CutOutBar = new(medianOf(out))
	if len(in) > 0 {
		u.r.CutInBar = new(medianOf(in))
	}
	u.setBand()
}

// readFill reads the cold first fill: its knee, and where it relaxes to.
func (u *unit) readFill() {
	if len(u.legs) == 0 || !u.legs[0].cold {
		return
	}
	l := u.legs[0]
	var on *float64
	if l.exact {
		on = &l.on
	}
	u.fill = u.s.knee(l, on)
	u.s.screen.ZeroSeen, u.s.screen.ZeroBar = u.fill.zeroSeen, u.fill.zero
	if u.fill.sdDelay > 0 {
		u.e.delay, u.e.sdDelay = u.fill.delay, u.fill.sdDelay
		u.r.AirDelayS = &Estimate{u.fill.delay, math.Max(u.fill.delay-uncertain.HalfOf95*u.fill.sdDelay, 0), u.fill.delay + uncertain.HalfOf95*u.fill.sdDelay}
	}
	from, to := u.span(0)
	if h := u.holdAfter(0); !u.operated(from, to) && len(h.t) >= 6 {
		if fit, ok := fitHolds([]hold{h}, u.e.middle, u.fit); ok {
			u.fillFit = &fit
			u.leakOfFill(fit)
		}
	}
	p0, sd := u.fill.p0, u.fill.sd
	if p0 == 0 {
		p0, sd = u.prechargeByTimes()
	}
	if p0 > 0 {
		u.setPrecharge(p0, sd)
	}
}

// leakOfFill takes the leak from the hold after the fill where there is no other.
func (u *unit) leakOfFill(fit relaxation) {
	if u.fit != nil || fit.longestS < settledAfter*fit.tau {
		return
	}
	rate := func(g float64) float64 { return LeakRate(u.e.middle, math.Max(g, 0)) }
	u.r.LeakBarPerMin = &Estimate{rate(fit.leak), rate(fit.leak - uncertain.HalfOf95*fit.sdLeak), rate(fit.leak + uncertain.HalfOf95*fit.sdLeak)}
	u.e.leak = math.Max(fit.leak, fit.sdLeak/2)
	u.e.sdLogLeak = math.Hypot(fit.sdLeak/u.e.leak, 0.15)
}

// prechargeByTimes is the pre-charge by the ratio of fill and recharge times.
func (u *unit) prechargeByTimes() (p0, sd float64) {
	run, sdRun, n := u.meanRun()
	if u.fit == nil || u.fillFit == nil || n == 0 {
		return 0, 0
	}
	relaxed, filled := meanOf(u.fit.start), u.fillFit.start[0]
	p0 = PrechargeFromTimes(u.legs[0].runS(), run, u.e.cutIn, relaxed, filled)
	if !(p0 > AtmosphereBar) || p0 > u.e.cutIn*1.1 {
		return 0, 0
	}
	share := p0 * u.legs[0].runS() / run * (1/u.e.cutIn - 1/relaxed)
	return p0, math.Hypot(0.8, p0*share*math.Hypot(sdRun/run, 0.05))
}

func (u *unit) setPrecharge(p0, sd float64) {
	u.e.p0, u.e.sdLogP0 = p0, sd/p0
	at := func(p float64) float64 { return math.Max(p, AtmosphereBar) - AtmosphereBar }
	u.r.PrechargeBar = &Estimate{at(p0), at(p0 - uncertain.HalfOf95*sd), at(p0 + uncertain.HalfOf95*sd)}
	cold := func(p float64) float64 { return at(PrechargeAt(math.Max(p, AtmosphereBar), u.ambientC, 20)) }
	u.r.PrechargeAt20CBar = &Estimate{cold(p0), cold(p0 - uncertain.HalfOf95*sd), cold(p0 + uncertain.HalfOf95*sd)}
}

// atRestS is how long a rest is enough for the gas to take the wall's
// temperature: five likely time constants.
const atRestS = 40.0

// meanRun is the run time of a settled recharge: of those that began at rest.
func (u *unit) meanRun() (mean, sd float64, n int) {
	var runs []float64
	own, exact := 0.0, true
	for i, c := range u.r.Cycles {
		if !c.Static || c.ColdFill || c.FillS == 0 || *c.IntervalS < atRestS && !c.Settled {
			continue
		}
		if len(u.legs) > 0 {
			if u.legs[i].jump || u.legs[i].blind && !u.legs[i].exact {
				continue
			}
			exact = exact && u.legs[i].exact
			own = math.Max(own, u.legs[i].onErr)
		}
		runs = append(runs, c.FillS)
	}
	if len(runs) == 0 {
		return 0, 0, 0
	}
	mean, n = meanOf(runs), len(runs)
	if len(u.legs) == 0 {
		own = math.Sqrt2 * u.timedTo
	}
	sd = own / math.Sqrt(float64(n))
	if n >= 3 {
		sd = math.Max(sd, spreadOf(runs)/math.Sqrt(float64(n)))
	}
	if exact { // read off a log they scatter by themselves
		u.e.runs, u.e.sdRun = runs, own
	}
	return mean, sd, n
}

// edgeDoubt is what reading the pump's edges off a log adds, relative: read off
// simulated logs of 2 to 5 readings a second they miss by -13 to +18 % (5 to 95 %).
const edgeDoubt = 0.08

// ratios are pump flow over charge, and the duty.
func (u *unit) ratios() {
	if len(u.legs) > 0 {
		u.e.durationS = u.s.t[len(u.s.t)-1] - u.legs[0].on
	}
	run, sdRun, n := u.meanRun()
	if n == 0 || u.fit == nil {
		return
	}
	relaxed := meanOf(u.fit.start)
	d := 1/u.e.cutIn - 1/relaxed
	if d <= 0 {
		return
	}
	u.e.pump = d/run + u.fit.leak*(u.e.middle-AtmosphereBar)
	sdRelaxed := u.fit.sdStart / (relaxed * relaxed * d)
	u.e.sdLogPump = math.Hypot(math.Hypot(sdRun/run, sdRelaxed), 0.03)
	if !u.legs[len(u.legs)-1].exact {
		u.e.sdLogPump = math.Hypot(u.e.sdLogPump, edgeDoubt)
	}
	u.setPump()
	u.setDuty(run)
}

func (u *unit) setPump() {
	f := factor95(u.e.sdLogPump)
	u.r.PumpPerCharge = &Estimate{u.e.pump, u.e.pump / f, u.e.pump * f}
}

func (u *unit) setDuty(run float64) {
	if v := u.settledIntervals(); len(v) > 0 {
		u.r.Duty = new(run / meanOf(v))
	}
}

// Settings of the look at other states of the valves. In 50 s at rest a healthy
// leak takes one bar, more than the step of a coarse sensor; oil that warms up by
// 10 degrees leaks half as much again, which is no other state.
const (
	otherLongS  = 50.0
	otherFactor = 1.7
	mostRests   = 100
	chi2Most    = 1.6 // the 99 % point of 40 degrees of freedom
)

// readOtherStates compares the leak in the rests between and after actuations,
// when valves may stand elsewhere, with that of the settled holds.
func (u *unit) readOtherStates() {
	if u.fit == nil || u.fit.leak <= 2*u.fit.sdLeak {
		return
	}
	rests, settled := 0, false
	for i := range u.legs {
		if u.stopped() {
			return
		}
		from, to := u.span(i)
		settled = settled || u.r.Cycles[i].Settled
		if !u.operated(from, to) {
			if next := i + 1; settled && next < len(u.legs) && !u.r.Cycles[next].Static && rests < mostRests {
				rests++
				u.compareRest(from, to) // as quiet as the settled ones, and yet shorter
			}
			continue
		}
		if rests++; rests > mostRests {
			return
		}
		edges := []float64{from}
		for _, d := range u.r.Actuations {
			if d.AtS >= from && d.AtS < to {
				edges = append(edges, d.AtS)
			}
		}
		edges = append(edges, to)
		for k := 1; k+1 < len(edges); k++ {
			u.compareRest(edges[k], edges[k+1])
		}
	}
}

func (u *unit) compareRest(from, to float64) {
	if to-from < otherLongS {
		return
	}
	h := u.s.holdBetween(from, from+1.5, to-beforeS)
	if len(h.t) < 8 {
		return
	}
	free := *u.fit
	free.sdLeak = 20 * u.fit.leak // this leak is asked for
	fit, ok := fitHolds([]hold{h}, u.e.middle, &free)
	if !ok || fit.chi2PerDof > chi2Most { // an actuation that was missed, say
		return
	}
	more := fit.leak - otherFactor*u.fit.leak
	if more > 3.5*math.Hypot(fit.sdLeak, otherFactor*u.fit.sdLeak) {
		u.e.otherState = 1
		return
	}
	if u.e.otherState == 0 && fit.sdLeak < 0.5*u.fit.leak {
		u.e.otherState = -1
	}
}
