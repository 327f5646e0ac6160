package recharge

import (
	"fmt"
	"strings"
)

// The rule of the trade on the settled interval, with the doubt that "about two
// minutes" and "several" carry.
//
// ref: COMMON_PRACTICE under about two minutes between recharges the accumulator is due, several minutes is healthy
const (
	shortS   = 100.0
	longS    = 150.0
	needed   = 3
	surePass = 0.75
	sureFail = 0.80
)

var causeNames = []struct {
	name string
	of   func(Causes) float64
}{
	{"nothing wrong", func(c Causes) float64 { return c.Normal }},
	{"gas lost from the accumulator", func(c Causes) float64 { return c.GasLoss }},
	{"an internal leak (valve or seal)", func(c Causes) float64 { return c.InternalLeak }},
	{"an external leak", func(c Causes) float64 { return c.ExternalLeak }},
	{"a weak pump", func(c Causes) float64 { return c.WeakPump }},
	{"air in the fluid", func(c Causes) float64 { return c.Air }},
	{"the pressure sensor", func(c Causes) float64 { return c.Sensor }},
}

// likeliest are the causes in order, the likeliest first.
func (c Causes) likeliest() (names []string, chances []float64) {
	for _, n := range causeNames {
		p, at := n.of(c), 0
		for at < len(chances) && chances[at] >= p {
			at++
		}
		chances = append(chances[:at], append([]float64{p}, chances[at:]...)...)
		names = append(names[:at], append([]string{n.name}, names[at:]...)...)
	}
	return names, chances
}

// weigh fills in what is expected and asks for the chances.
func (u *unit) weigh() {
	u.e.levelMl, u.e.screen = u.c.ReservoirDropMl, u.r.Screen
	u.e.expectations(u.c, u.ambientC)
	u.r.Causes = u.e.weigh()
	u.size()
}

// judge is the verdict with its reason, the signs, and what to read next.
func (u *unit) judge() {
	u.signs()
	u.next()
	r, names, chances := &u.r, []string(nil), []float64(nil)
	names, chances = r.Causes.likeliest()
	told := fmt.Sprintf("%s is likeliest (%s), then %s (%s)", names[0], percent(chances[0]), names[1], percent(chances[1]))
	rule := u.rule()
	leaks := r.Causes.InternalLeak + r.Causes.ExternalLeak
	switch {
	case len(r.Cycles) == 0:
		r.Verdict, r.Why = CannotTell, "the readings hold no whole recharge; "+u.ask()
	case r.Causes.Sensor >= sureFail:
		r.Verdict, r.Why = Fail, "the readings themselves are at fault and must be put right before anything else can be told; "+told
	case r.Interval.N < needed:
		r.Verdict = CannotTell
		r.Why = fmt.Sprintf("%d settled %s, where %d are asked for before anything is said; so far %s; %s",
			r.Interval.N, plural(r.Interval.N, "interval"), needed, told, u.ask())
	case 1-r.Causes.Normal >= sureFail:
		r.Verdict, r.Why = Fail, u.interval(rule)+"; "+told
		if leaks > 0.5 && u.c.ReservoirDropMl == nil {
			r.Why += "; pressure alone cannot tell inside from outside: look at the level and for wet spots"
		}
	case rule == Fail && r.Causes.Normal < 0.5:
		r.Verdict, r.Why = Fail, u.interval(rule)+"; "+told
	case rule == Pass && u.soundChance() >= surePass:
		r.Verdict, r.Why = Pass, u.interval(rule)+"; "+told
	default:
		r.Verdict, r.Why = CannotTell, u.interval(rule)+"; "+told+"; "+u.ask()
	}
	r.Cautions = append(r.Cautions, u.cautions()...)
}

// soundChance is the chance of nothing wrong; without a log the sensor was not
// looked at, and its chance is left out.
func (u *unit) soundChance() float64 {
	c := u.r.Causes
	if u.r.Screen == nil {
		return c.Normal / (1 - c.Sensor)
	}
	return c.Normal
}

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

// interval is the settled interval in words.
func (u *unit) interval(rule string) string {
	i := u.r.Interval
	text := fmt.Sprintf("%d settled intervals of %.0f s on average (95 %% interval %.0f to %.0f s)", i.N, *i.MeanS, *i.LowS, *i.HighS)
	switch rule {
	case Pass:
		return text + ", over the two minutes of common practice"
	case Fail:
		return text + ", under the two minutes of common practice, which cannot tell gas loss from a leak"
	}
	return text + ", too near the two minutes of common practice to go by"
}

func (u *unit) ask() string {
	if len(u.r.Next) == 0 {
		return "a second log would tell more"
	}
	texts := make([]string, len(u.r.Next))
	for i, a := range u.r.Next {
		texts[i] = a.Text
	}
	return "to tell: " + strings.Join(texts, "; ")
}

// next are the readings that would tell more.
func (u *unit) next() {
	add := func(text string, inputs ...Input) { u.r.Next = append(u.r.Next, Advice{text, inputs}) }
	c := u.r.Causes
	if u.r.Interval.N < needed {
		add("a log of at least three settled recharges with nothing operated")
	}
	if u.e.sdLogP0 == 0 {
		add("the cold first fill in the log, from a drained unit, with the pump's start noted: its knee is the pre-charge")
	}
	if u.e.sdLogLeak == 0 || u.fit != nil && u.fit.longestS < settledAfter*u.fit.tau {
		add("a static stretch of at least two minutes after a recharge, to part the leak from the gas cooling")
	}
	if leaks := c.InternalLeak + c.ExternalLeak; leaks > 0.2 && u.c.ReservoirDropMl == nil {
		add("the reservoir's level before and after, in the same state of the unit", InputReservoirDropMl)
	}
	if mixed(c.WeakPump, c.GasLoss, c.Normal, c.InternalLeak) && (u.c.GasVolumeL == nil || u.c.PumpLMin == nil) {
		add("the unit's nominal gas volume, pre-charge and pump flow: a log gives only ratios to the charge", InputGasVolumeL, InputPrechargeBar, InputPumpLMin)
	}
	if u.c.Log != nil && len(u.legs) > 0 && !u.legs[0].exact && (c.Air > 0.15 || c.WeakPump > 0.15) {
		add("the pump's times by ear or current clamp", InputRuns)
	}
	if c.Sensor > 0.2 {
		add("a second gauge on the test connection")
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

// signs are all conditions met, whatever the likeliest cause.
func (u *unit) signs() {
	r := &u.r
	add := func(format string, args ...any) { r.Signs = append(r.Signs, fmt.Sprintf(format, args...)) }
	if s := r.Screen; s != nil {
		if n := s.Dropouts + s.Spikes; n > 0 {
			add("%d of %d readings jump far off and back, which no pressure does", n, s.Readings)
		}
		if s.Jumps > 0 {
			add("%d recharges rise faster than the pump can make: the reading stood still", s.Jumps)
		}
		if s.ZeroSeen && (s.ZeroBar > 1+s.QuantumBar/2 || s.ZeroBar < -1-s.QuantumBar/2) {
			add("the sensor reads %.1f bar while the unit is drained", s.ZeroBar)
		}
		if s.Gaps > 0 {
			add("%d %s without readings", s.Gaps, plural(s.Gaps, "stretch"))
		}
	}
	if p := r.PrechargeBar; p != nil {
		share := (p.Value + AtmosphereBar) / u.e.cutIn
		switch {
		case share < 0.5:
			add("the pre-charge, %.1f bar, is far below cut-in: gas is lost", p.Value)
		case share > 1:
			add("the pre-charge, %.1f bar, is above cut-in: the gas stores nothing within the band", p.Value)
		}
	}
	if u.e.otherState > 0 {
		add("pressure falls faster after an actuation than in the settled holds: a leak in one state of the valves only")
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

func plural(n int, what string) string {
	switch {
	case n == 1:
		return what
	case strings.HasSuffix(what, "ch"):
		return what + "es"
	}
	return what + "s"
}

func percent(p float64) string { return fmt.Sprintf("%.0f %%", 100*p) }
