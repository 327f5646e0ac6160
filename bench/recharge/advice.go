package recharge

import (
	"fmt"
	"strings"
)

func (u *unit) advise(text string, inputs ...Input) {
	u.r.Next = append(u.r.Next, Advice{text, inputs})
}

// adviseAgain is what is left to do where everything was read and nothing decides.
func (u *unit) adviseAgain() {
	if len(u.r.Next) == 0 {
		u.advise("the same readings once more in some weeks, with the oil as warm as now: a fault grows, a unit's own spread does not")
	}
}

// ask is the advice in one sentence.
func (u *unit) ask() string {
	texts := make([]string, len(u.r.Next))
	for i, a := range u.r.Next {
		texts[i] = a.Text
	}
	return "to tell: " + strings.Join(texts, "; ")
}

// next are the readings that would tell more than a log did.
func (u *unit) next() {
	c := u.r.Causes
	if u.r.Interval.N < needed {
		u.advise("a log of at least three settled recharges with nothing operated")
	}
	if u.e.sdLogP0 == 0 {
		u.advise("the cold first fill in the log, from a drained unit, with the pump's start noted: its knee is the pre-charge")
	}
	if u.e.sdLogLeak == 0 || u.fit != nil && u.fit.longestS < settledAfter*u.fit.tau {
		u.advise("a static stretch of at least two minutes after a recharge, to part the leak from the gas cooling")
	}
	u.adviseLevel()
	u.adviseNominal()
	if len(u.legs) > 0 && !u.legs[0].exact && (c.Air > 0.15 || c.WeakPump > 0.15) {
		u.advise("the pump's times by ear or current clamp", InputRuns)
	}
	if c.Sensor > 0.2 {
		u.advise("a second gauge on the test connection")
	}
}

// nextByTimes are the readings that would tell more than pump times did.
func (u *unit) nextByTimes(rule string) {
	stops := u.e.sdLogPump > 0
	if u.r.Interval.N < needed {
		u.advise("at least three settled intervals with nothing operated")
	}
	if !stops && rule != Pass {
		u.advise("the stops of the pump as well: how long it runs tells of the pump and the gas", InputRuns)
	}
	if rule != Pass || stops && u.soundChance() < surePassTimed {
		u.advise("a pressure log with the cold first fill: it parts gas loss from a leak and from a weak pump, which times alone cannot")
	}
	if stops {
		u.adviseLevel()
		u.adviseNominal()
	}
}

func (u *unit) adviseLevel() {
	if c := u.r.Causes; c.InternalLeak+c.ExternalLeak > worthReading && u.c.ReservoirDropMl == nil {
		u.advise("the reservoir's level before and after, in the same state of the unit", InputReservoirDropMl)
	}
}

func (u *unit) adviseNominal() {
	c := u.r.Causes
	open := c.Normal < surePass && 1-c.Normal < sureFail || mixed(c.WeakPump, c.GasLoss, c.Normal, c.InternalLeak)
	if open && (u.c.GasVolumeL == nil || u.c.PumpLMin == nil || u.c.PrechargeBar == nil) {
		u.advise("the unit's nominal gas volume, pre-charge and pump flow: readings give only ratios to the charge", InputGasVolumeL, InputPrechargeBar, InputPumpLMin)
	}
}

// mixed reports that no one of the chances stands out.
func mixed(p ...float64) bool {
	high := 0
	for _, v := range p {
		if v > 0.15 {
			high++
		}
	}
	return high > 1
}

const otherStateSign = "pressure falls faster after an actuation than in the settled holds: a leak in one state of the valves only"

// signs are all conditions met, whatever the likeliest cause.
func (u *unit) signs() {
	r := &u.r
	add := func(format string, args ...any) { r.Signs = append(r.Signs, fmt.Sprintf(format, args...)) }
	r.Signs = append(r.Signs, u.sensorSigns()...)
	if s := r.Screen; s != nil && s.Gaps > 0 {
		add("%d %s without readings", s.Gaps, plural(s.Gaps, "stretch"))
	}
	if p := r.PrechargeBar; p != nil {
		share := u.e.p0 / u.e.cutIn
		switch {
		case share < 0.5:
			add("the pre-charge, %.1f bar, is far below cut-in: gas is lost", p.Value)
		case share > 1:
			add("the pre-charge, %.1f bar, is above cut-in: the gas stores nothing within the band", p.Value)
		}
	}
	if u.e.otherState > 0 {
		add(otherStateSign)
	}
	if u.e.sdDelay > 0 && u.e.delay-2*u.e.sdDelay > 0.5 {
		add("%.1f s pass before the cold fill meets the gas: air is squeezed first", u.e.delay)
	}
	if d := r.DropPerActuationBar; d != nil {
		add("%d actuations of %.1f bar on average", len(r.Actuations), *d)
	}
}

// cautions belong to every reading of a unit under pressure.
//
// ref: HSE_HSG261 stored energy
func (u *unit) cautions() []string {
	list := []string{
		"stored pressure: an accumulator holds its energy with the ignition off. Before anything is loosened let the pressure down by the " +
			"maker's procedure and see that it reads 0 and stays there with the line open; a jet of fluid goes through skin. " +
			"Never open a charged accumulator; charging is with nitrogen only, by those licensed for it. The maker's procedure stands above this",
	}
	if u.assumed && u.c.Log == nil {
		list = append(list, fmt.Sprintf("cut-in and cut-out are taken as %g and %g bar (common practice); a pressure log would say", assumedCutIn, assumedCutOut))
	}
	if u.c.Log == nil {
		list = append(list, "pump times say nothing on the pressure sensor")
	}
	if u.c.GasVolumeL == nil {
		list = append(list, "the unit's size is not given; the chances rest on what such units usually have (0.3 to 0.5 L of gas)")
	}
	if u.fit != nil && u.fit.longestS < 3*u.fit.tau {
		list = append(list, "the static stretches are shorter than three time constants of the gas: cooling and leak are not well parted")
	}
	if u.fit != nil && u.r.Screen != nil && u.fit.dropBar < 2*u.r.Screen.QuantumBar {
		list = append(list, "the leak moves the reading by less than two of its steps: its value is little more than an upper bound")
	}
	return list
}
