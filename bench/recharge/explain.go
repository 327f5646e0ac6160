package recharge

import (
	"fmt"
	"math"

	"wreckwright/working"
)

// size gives leak and pump in millilitres where pre-charge and the shell's
// volume are known or can be taken for such units.
func (u *unit) size() {
	if u.e.sdLogP0 == 0 {
		return
	}
	c0, sd := u.e.p0*u.e.volumeMl, math.Hypot(u.e.sdLogP0, u.e.volumeSD)
	if u.e.sdLogLeak > 0 {
		v, f := u.e.leak*c0*(u.e.middle-AtmosphereBar)*60, factor95(math.Hypot(sd, u.e.sdLogLeak))
		u.r.LeakMlPerMin = &Estimate{v, v / f, v * f}
	}
	if u.e.sdLogPump > 0 {
		v, f := u.e.pump*c0, factor95(math.Hypot(sd, u.e.sdLogPump))
		u.r.PumpMlPerS = &Estimate{v, v / f, v * f}
	}
}

const (
	fitSource    = "DESIGN_RECHARGE"
	gasSource    = "ACCUMULATOR_SIZING"
	tradeSource  = "common practice, no source"
	givenSource  = "given"
	sourceLog    = "the log"
	studentTable = "FISHER_YATES"
)

// explain writes the working.
func (u *unit) explain() {
	w, r := &u.r.Working, &u.r
	source := sourceLog
	if u.assumed {
		source = tradeSource
	}
	if len(r.Cycles) > 0 {
		w.Add("cut-in", "median pressure at which a recharge starts", u.e.cutIn-AtmosphereBar, "bar", source)
		w.Add("middle of the band", "(cut-in + cut-out)/2", u.e.middle-AtmosphereBar, "bar", source)
	}
	w.Add("atmosphere", "added to every gauge pressure before a gas law is used", AtmosphereBar, "bar", "ISO_2533")
	u.explainIntervals(w)
	u.explainFit(w)
	u.explainCharge(w)
	for _, n := range causeNames {
		w.Add("chance: "+n.name, "prior x likelihood, summed over size and pre-charge, scaled to 1", n.of(r.Causes), "", fitSource)
	}
	if u.c.GasVolumeL == nil {
		how := "usual for such units"
		if u.c.Log == nil {
			how += ", the doubt of the band with it"
		}
		w.Add("gas volume taken", fmt.Sprintf("%s, logarithmic sd %.2g", how, u.e.volumeSD), u.e.volumeMl, "mL", fitSource)
	} else {
		w.Add("gas volume", "nominal", u.e.volumeMl, "mL", givenSource)
	}
	w.Add("pump flow expected", "nominal, or usual for such units", u.e.flow, "mL/s", fitSource)
	w.Add("healthy leak expected", fmt.Sprintf("usual for such units, logarithmic sd %g", healthy.leakSD), healthy.leakMlSBar*(u.e.middle-AtmosphereBar)*60, "mL/min", fitSource)
}

func (u *unit) explainIntervals(w *working.Working) {
	i := u.r.Interval
	if i.MeanS == nil {
		return
	}
	w.Add("settled intervals", "static, the first after a cold fill left out", float64(i.N), "", sourceLog)
	w.Add("mean interval", "sum / n", *i.MeanS, "s", sourceLog)
	if i.LowS != nil {
		w.Add("Student's t", fmt.Sprintf("two-sided 95 %% point, %d degrees of freedom", i.N-1), StudentPoint(i.N-1), "", studentTable)
		if clock := math.Sqrt2 * u.timedTo; clock > 0 {
			w.Add("doubt of one interval by the clock", "sqrt 2 x that of one start; added in quadrature where the intervals scatter less", clock, "s", fitSource)
		}
		w.Add("lower end of the mean", "mean - t sd / sqrt n", *i.LowS, "s", studentTable)
		w.Add("upper end of the mean", "mean + t sd / sqrt n", *i.HighS, "s", studentTable)
	}
	w.Add("shortest healthy interval", "about two minutes, read as 100 to 150 s", 120, "s", tradeSource)
	if u.r.Duty != nil {
		w.Add("duty", "run time / interval = leak flow / pump flow, whatever the gas", *u.r.Duty, "", fitSource)
	}
}

func (u *unit) explainFit(w *working.Working) {
	f := u.fit
	if f == nil {
		return
	}
	w.Add("gas time constant", "tau of p = u (1 + a exp(-t/tau)), all settled holds", f.tau, "s", fitSource)
	w.Add("lag by the leak", "(gamma - 1) tau g (p_m - pa) p_m: expanding into the leak's place keeps the gas a little cool", f.lag(), "", fitSource)
	w.Add("fall by cooling", "(a - lag) u(0): the gas cools after a fast charge, no leak needed", u.r.Settle.DropBar, "bar", fitSource)
	w.Add("leak per charge", "g = G/C0 of 1/u^2 = 1/p_i^2 + 2 g (1 - pa/p_m) t", f.leak, "1/(bar^2 s)", fitSource)
	w.Add("standard uncertainty of g", "from the fit, widened by sqrt(chi^2/dof) where above 1", f.sdLeak, "1/(bar^2 s)", fitSource)
	w.Add("misfit", "chi^2 / degrees of freedom", f.chi2PerDof, "", fitSource)
	w.Add("leak at the middle of the band", "g (p - pa) p^2 x 60", u.r.LeakBarPerMin.Value, "bar/min", gasSource)
}

func (u *unit) explainCharge(w *working.Working) {
	if p := u.r.PrechargeBar; p != nil {
		how := "the knee of the cold fill: p^(-1/1.3), straight in time, back to where compression starts"
		switch {
		case u.c.Log == nil:
			how = "cold fill / recharge time, polytropic exponent 1.3, cut-in and cut-out assumed"
		case u.fill.p0 == 0:
			how = "1/(1/p_filled + t_fill/t_run (1/p1 - 1/p_relaxed))"
		}
		w.Add("pre-charge", how, p.Value, "bar", fitSource)
		w.Add("pre-charge at 20 degrees", fmt.Sprintf("(p0 + pa) x 293.15/(%g + 273.15) - pa", u.ambientC), u.r.PrechargeAt20CBar.Value, "bar", gasSource)
		w.Add("charge", "C0 = (p0 + pa) V0", u.e.p0*u.e.volumeMl, "bar mL", gasSource)
	}
	if u.r.PumpPerCharge != nil {
		w.Add("pump flow per charge", "(1/p1 - 1/p_relaxed)/t_run + g (p_m - pa)", u.r.PumpPerCharge.Value, "1/(bar s)", gasSource)
	}
	if u.r.LeakMlPerMin != nil {
		w.Add("leak", "g C0 (p_m - pa) x 60", u.r.LeakMlPerMin.Value, "mL/min", gasSource)
	}
	if u.r.PumpMlPerS != nil {
		w.Add("pump flow", "Qp/C0 x C0", u.r.PumpMlPerS.Value, "mL/s", gasSource)
	}
}
