package recharge

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sort"
)

// unit is a case in work.
type unit struct {
	ctx      context.Context // of one call of Examine
	c        Case
	s        series
	legs     []leg
	fit      *relaxation // the settled holds together
	fillFit  *relaxation // the hold after the cold fill
	fill     filling
	r        Result
	e        evidence
	ambientC float64
	assumed  bool    // cut-in and cut-out are not read but assumed
	timedTo  float64 // s, standard uncertainty of the moment of a start
}

// Assumed where there are pump times only.
//
// ref: COMMON_PRACTICE pump on at about 40 bar and off at about 50
const (
	assumedCutIn  = 40.0
	assumedCutOut = 50.0
)

// Examine reads a unit's condition. The error is an [*InputError], or the
// context's where it ended.
func Examine(ctx context.Context, c Case) (Result, error) {
	if err := c.validate(); err != nil {
		return Result{}, err
	}
	c.Marks = slices.Clone(c.Marks)
	slices.SortStableFunc(c.Marks, func(a, b Mark) int { return cmp.Compare(a.AtS, b.AtS) })
	u := &unit{ctx: ctx, c: c, ambientC: 20}
	if c.AmbientC != nil {
		u.ambientC = *c.AmbientC
	}
	u.r.Version = Version
	u.r.StaticIntervalsS, u.r.Actuations, u.r.Cycles = []float64{}, []Drop{}, []Cycle{}
	u.r.Next, u.r.Signs, u.r.Cautions = []Advice{}, []string{}, []string{}
	if c.Log != nil {
		u.readLog()
	} else {
		u.readRuns()
	}
	if u.stopped() { // whatever was read so far may be half done
		return Result{}, ctx.Err()
	}
	u.r.Interval = MeanInterval(u.settledIntervals(), u.timedTo)
	u.weigh()
	if c.Log != nil {
		u.judge()
	} else {
		u.judgeTimes()
	}
	u.r.Cautions = append(u.r.Cautions, u.cautions()...)
	u.explain()
	return u.r, nil
}

// stopped reports that nobody waits for the answer any more.
func (u *unit) stopped() bool { return u.ctx.Err() != nil }

// readLog is the way from a pressure log to evidence.
func (u *unit) readLog() {
	var err error
	if u.s, err = prepare(u.ctx, u.c.Log); err != nil {
		return
	}
	u.r.Screen = &u.s.screen
	u.legs = u.s.legs()
	u.takeTimes()
	u.timedTo = u.s.step / math.Sqrt(12)
	if len(u.legs) > 0 && u.legs[len(u.legs)-1].exact {
		u.timedTo = u.legs[len(u.legs)-1].onErr / math.Sqrt2
	}
	u.s.keepApart(u.legs)
	for _, l := range u.legs {
		u.r.Cycles = append(u.r.Cycles, u.cycleOf(l))
	}
	for round := range 2 { // the second time with the cooling as fitted
		if u.findActuations(); u.stopped() {
			return
		}
		u.markStatic()
		u.levels()
		u.fitCooling()
		if round == 0 {
			u.sharpenStops()
		}
	}
	u.readFill()
	u.readOtherStates()
	u.ratios()
}

// readRuns is the way from pump times alone.
func (u *unit) readRuns() {
	list := timedRuns(u.c.Runs)
	if len(list) == 0 {
		list = timedMarks(u.c.Marks)
	}
	u.readTimes(list, operatedAt(u.c.Marks), u.c.ColdFill || fillAmong(list))
	u.ratiosByTimes()
}

// takeTimes replaces the edges seen in the log by the given ones that belong to
// them.
func (u *unit) takeTimes() {
	runs := u.c.Runs
	if len(runs) == 0 {
		runs = runsOf(u.c.Marks)
	}
	sd := u.c.TimedToS
	if sd == 0 {
		sd = writtenTo(timedRuns(runs))
	}
	j := 0
	for i := range u.legs {
		l := &u.legs[i]
		reach := math.Max(5, 0.3*l.runS())
		for j < len(runs) && runs[j].OffS < l.on-reach {
			j++
		}
		if j < len(runs) && math.Abs(runs[j].OnS-l.on) < reach+l.off-l.on && math.Abs(runs[j].OffS-l.off) < reach {
			l.on, l.off, l.exact, l.onErr = runs[j].OnS, runs[j].OffS, true, math.Sqrt2*sd
		}
	}
}

// runsOf are the pump runs that marks give.
func runsOf(marks []Mark) []PumpRun {
	var runs []PumpRun
	on := math.NaN()
	for _, m := range marks {
		switch m.Kind {
		case PumpOn:
			on = m.AtS
		case PumpOff:
			if m.AtS > on {
				runs = append(runs, PumpRun{on, m.AtS})
			}
			on = math.NaN()
		}
	}
	return runs
}

func (u *unit) cycleOf(l leg) Cycle {
	c := Cycle{OnS: l.on, OffS: l.off, FillS: l.runS(), ColdFill: l.cold}
	if n := len(u.r.Cycles); n > 0 {
		c.IntervalS = new(l.on - u.r.Cycles[n-1].OnS)
	}
	c.CutInBar = new(u.s.lowLevel(l) - AtmosphereBar)
	c.CutOutBar = new(u.s.p[l.to] - AtmosphereBar)
	return c
}

// span is the hold after recharge i: from its stop to the next start.
func (u *unit) span(i int) (from, to float64) {
	from, to = u.legs[i].off, u.s.t[len(u.s.t)-1]
	if i+1 < len(u.legs) {
		to = u.legs[i+1].on
	}
	return from, to
}

func (u *unit) findActuations() {
	u.r.Actuations = u.r.Actuations[:0]
	low := u.s.usualLow(u.legs)
	given := false
	for _, m := range u.c.Marks {
		given = given || m.Kind == Actuation
	}
	for i := range u.legs {
		from, to := u.span(i)
		if u.stopped() {
			return
		}
		if to-from < quietS+beforeS {
			continue
		}
		if given {
			u.markedDrops(from, to)
			continue
		}
		cooling, slope := u.cooling(from)
		if u.legs[i].cold {
			cooling = u.s.coolingOf(from, to)
		}
		u.r.Actuations = append(u.r.Actuations, u.s.stepsIn(from+quietS, to-beforeS, cooling, slope)...)
		u.lastDrop(i, from, to, low)
	}
	slices.SortStableFunc(u.r.Actuations, func(a, b Drop) int { return cmp.Compare(a.AtS, b.AtS) })
}

// How steeply pressure may move beside a step, as a standard deviation in shares
// of the working pressure a second. Once cooling and leak are known what is left
// is the gas that warms up again after a movement: a quarter of a drop of 2 to 4
// % within its time constant of 5 to 20 s. Before that a bad leak counts too.
const (
	slopeKnown   = 0.0015
	slopeUnknown = 0.006
)

// cooling is what the pressure does by itself after a stop - as fitted, with the
// leak; else cooling as usual - and how steeply it may move beside that.
func (u *unit) cooling(stop float64) (own func(float64) float64, slope float64) {
	if u.fit == nil {
		drop := coolLikely * u.s.high
		return func(t float64) float64 { return drop * math.Exp(-(t-stop)/tauLikely) }, slopeUnknown * u.s.high
	}
	drop, rate := u.fit.cool*meanOf(u.fit.start), LeakRate(u.e.middle, u.fit.leak)/60
	own = func(t float64) float64 { return drop*math.Exp(-(t-stop)/u.fit.tau) - rate*(t-stop) }
	return own, math.Hypot(slopeKnown*u.s.high, 0.3*rate)
}

// lastDrop adds the actuation that itself brought the pressure down to cut-in:
// just before the start the reading stood above it.
func (u *unit) lastDrop(i int, from, to, low float64) {
	if i+1 == len(u.legs) {
		return
	}
	var before []float64
	for j := u.s.at(math.Max(to-2.5, from+quietS)); j < len(u.s.t) && u.s.t[j] < to-0.6; j++ {
		before = append(before, u.s.p[j])
	}
	if len(before) < 2 {
		return
	}
	drop := meanOf(before) - low
	if drop > math.Max(lastShare*u.s.high, 4*u.s.sigma/math.Sqrt(float64(len(before)))) {
		u.r.Actuations = append(u.r.Actuations, Drop{AtS: to - 0.3, DropBar: drop, cut: true})
	}
}

// markedDrops measures the actuations that were noted.
func (u *unit) markedDrops(from, to float64) {
	a, b := u.s.at(from), u.s.at(to)
	w := window{t: u.s.t[a:b], p: u.s.p[a:b]}
	marks := u.c.Marks
	for _, m := range marks[sort.Search(len(marks), func(i int) bool { return marks[i].AtS >= from }):] {
		if m.AtS >= to {
			return
		}
		if m.Kind != Actuation {
			continue
		}
		step, _, ok := u.s.stepFit(w, m.AtS, m.AtS-3, m.AtS+5, slopeUnknown*u.s.high)
		if !ok {
			step = 0
		}
		u.r.Actuations = append(u.r.Actuations, Drop{AtS: m.AtS, DropBar: math.Max(step, 0)})
	}
}

// markStatic marks the intervals in which nothing was operated.
func (u *unit) markStatic() {
	if len(u.r.Cycles) == 0 {
		return
	}
	longest := u.dropTheFalse()
	for i := 1; i < len(u.legs); i++ {
		from, to := u.span(i - 1)
		c := &u.r.Cycles[i]
		unclear := u.legs[i].jump || !u.legs[i].exact && u.legs[i].blind || !u.legs[i-1].exact && u.legs[i-1].blind
		gap := u.hidden(from, to) && math.Abs(*c.IntervalS-longest) > agreeing*longest
		c.busy = u.operated(from, to)
		c.Static = !c.busy && !gap && !unclear
		c.rested = !u.operated(to-atRestS, to) && !u.hidden(to-atRestS, to) && to-from > atRestS
	}
	markSettled(u.r.Cycles)
	u.listStatic()
	var drops []float64
	for _, d := range u.r.Actuations {
		if !d.cut {
			drops = append(drops, d.DropBar)
		}
	}
	if len(drops) > 0 {
		u.r.DropPerActuationBar = new(medianOf(drops))
	}
}

// agreeing is how near intervals lie in which nothing was operated.
const agreeing = 0.04

// dropTheFalse takes out a lone drop in an interval that is as long as the
// longest ones, which it returns: an actuation takes oil out, so that it
// shortens the interval.
func (u *unit) dropTheFalse() float64 {
	var values []float64
	for i := 2; i < len(u.legs); i++ {
		values = append(values, *u.r.Cycles[i].IntervalS)
	}
	longest := longestAgreeing(values)
	for i := 1; i < len(u.legs); i++ {
		if math.Abs(*u.r.Cycles[i].IntervalS-longest) > agreeing*longest {
			continue
		}
		from, to := u.span(i - 1)
		if at, n := u.dropsBetween(from, to); n == 1 {
			u.r.Actuations = slices.Delete(u.r.Actuations, at, at+1)
		}
	}
	return longest
}

func (u *unit) listStatic() {
	u.r.StaticIntervalsS = u.r.StaticIntervalsS[:0]
	for _, c := range u.r.Cycles {
		if c.Static {
			u.r.StaticIntervalsS = append(u.r.StaticIntervalsS, *c.IntervalS)
		}
	}
}

// dropsBetween is the first drop in a span and how many there are.
func (u *unit) dropsBetween(from, to float64) (first, n int) {
	all := u.r.Actuations
	first = sort.Search(len(all), func(i int) bool { return all[i].AtS >= from })
	for first+n < len(all) && all[first+n].AtS < to {
		n++
	}
	return first, n
}

func (u *unit) operated(from, to float64) bool {
	_, n := u.dropsBetween(from, to)
	return n > 0
}

// hidden reports a gap long enough for a recharge or actuations to hide in.
func (u *unit) hidden(from, to float64) bool {
	longest := math.Max(0.2*(to-from), u.s.gapS())
	for i := max(u.s.at(from), 1); i < len(u.s.t) && u.s.t[i-1] < to; i++ {
		if u.s.t[i]-u.s.t[i-1] > longest {
			return true
		}
	}
	return false
}

func (u *unit) settledIntervals() []float64 {
	var out []float64
	for _, c := range u.r.Cycles {
		if c.Settled {
			out = append(out, *c.IntervalS)
		}
	}
	return out
}

// levels are cut-in and cut-out over all recharges.
func (u *unit) levels() {
	var in, out []float64
	for _, c := range u.r.Cycles {
		if !c.ColdFill {
			in = append(in, *c.CutInBar)
		}
		out = append(out, *c.CutOutBar)
	}
	if len(out) > 0 {
		u.r.CutOutBar = new(medianOf(out))
	}
	if len(in) > 0 {
		u.r.CutInBar = new(medianOf(in))
	}
	u.setBand()
}

func (u *unit) setBand() {
	in, out := assumedCutIn, assumedCutOut
	switch {
	case u.r.CutInBar != nil:
		in, out = *u.r.CutInBar, *u.r.CutOutBar
	case u.r.CutOutBar != nil:
		out = *u.r.CutOutBar
		in, u.assumed = 0.8*out, true
	default:
		u.assumed = true
	}
	u.e.cutIn, u.e.middle = in+AtmosphereBar, (in+out)/2+AtmosphereBar
}
