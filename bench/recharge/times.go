package recharge

import (
	"fmt"
	"math"
	"sort"
)

// timed is one start of the pump as it was noted, without a pressure log.
type timed struct {
	on, off float64 // off is NaN where the stop was not noted
	missed  bool    // a start before it was missed: the interval to it holds two or more
}

// timedRuns are whole runs.
func timedRuns(runs []PumpRun) []timed {
	out := make([]timed, len(runs))
	for i, r := range runs {
		out[i] = timed{on: r.OnS, off: r.OffS}
	}
	return out
}

// timedMarks reads starts and stops in the order in which they were tapped. A
// stop that no start belongs to tells of a start that was missed; a start that
// follows a start, of a stop: the interval between them is as good as any.
func timedMarks(marks []Mark) []timed {
	var out []timed
	running, missed := false, false
	for _, m := range marks {
		switch m.Kind {
		case PumpOn:
			out = append(out, timed{on: m.AtS, off: math.NaN(), missed: missed && len(out) > 0})
			running, missed = true, false
		case PumpOff:
			if n := len(out); running && m.AtS > out[n-1].on {
				out[n-1].off = m.AtS
			} else {
				missed = true
			}
			running = false
		}
	}
	return out
}

// operatedAt are the moments at which something was operated.
func operatedAt(marks []Mark) []float64 {
	var out []float64
	for _, m := range marks {
		if m.Kind == Actuation {
			out = append(out, m.AtS)
		}
	}
	return out
}

// writtenTo is the standard uncertainty of times that are as fine as they are
// written: half a step either way evenly, and a twentieth of a second that no
// clamp on a cable betters.
func writtenTo(list []timed) float64 {
	step := 0.0
	for _, q := range []float64{1, 0.5, 0.2, 0.1, 0.05, 0.02, 0.01} {
		if allMultiples(list, q) {
			step = q
			break
		}
	}
	return math.Hypot(step/math.Sqrt(12), 0.05)
}

func allMultiples(list []timed, q float64) bool {
	whole := func(x float64) bool { return math.IsNaN(x) || math.Abs(x/q-math.Round(x/q)) < 1e-6 }
	for _, r := range list {
		if !whole(r.on) || !whole(r.off) {
			return false
		}
	}
	return true
}

// readTimes is the one way from pump times without pressures, whether the stops
// were noted or not.
func (u *unit) readTimes(list []timed, operated []float64, filled bool) {
	u.setBand()
	u.timedTo = u.c.TimedToS
	if u.timedTo == 0 {
		u.timedTo = writtenTo(list)
	}
	for i, r := range list {
		c := Cycle{OnS: r.on, OffS: r.off, ColdFill: i == 0 && filled}
		if math.IsNaN(r.off) {
			c.OffS = r.on
		}
		c.FillS = c.OffS - r.on
		if i > 0 && !r.missed {
			c.IntervalS = new(r.on - list[i-1].on)
		}
		u.r.Cycles = append(u.r.Cycles, c)
	}
	u.staticByTimes(operated)
	markSettled(u.r.Cycles)
	u.listStatic()
}

// fillTimes is how many times as long as a recharge a fill from empty takes at
// least. It takes 1/p0 - 1/p2 of oil where a recharge takes 1/p1 - 1/p2: twice as
// much even at a pre-charge of 0.8 of cut-in, the highest in use, while run times
// of one unit scatter by a tenth, with much air by a quarter.
const fillTimes = 1.8

// fillAmong reports that the first run is a fill from empty: much longer than
// any other.
func fillAmong(list []timed) bool {
	longest := 0.0
	for _, r := range list[1:] {
		if d := r.off - r.on; d > longest {
			longest = d
		}
	}
	return longest > 0 && list[0].off-list[0].on > fillTimes*longest
}

// staticByTimes takes the longest intervals that agree as those in which nothing
// was operated: an actuation can only shorten one. What is longer than those
// that agree holds a start that nobody noted.
func (u *unit) staticByTimes(operated []float64) {
	cycles := u.r.Cycles
	first := 1
	if cycles[0].ColdFill {
		first = 2
	}
	longest := longestHonest(intervalsFrom(cycles, first))
	seen := false
	for i := 1; i < len(cycles); i++ {
		c := &cycles[i]
		c.rested = len(operated) > 0 && !anyWithin(operated, c.OnS-atRestS, c.OnS)
		c.busy = anyWithin(operated, cycles[i-1].OnS, c.OnS)
		if c.IntervalS == nil || *c.IntervalS > longest && i >= first {
			c.rested = true // only a start is missing: nothing was operated
			continue
		}
		if c.busy {
			continue
		}
		v := *c.IntervalS
		// Until something was operated an interval may still be short by the fill's heat.
		seen = seen || v < operatedShare*longest && i > first+1
		c.Static = v > operatedShare*longest || !seen && cycles[0].ColdFill
		c.Static = c.Static || i < first
	}
}

// longestHonest is the longest interval but for those that no other bears out and
// that are longer than those that agree by more than intervals at rest differ.
func longestHonest(values []float64) float64 {
	most := longestAgreeing(values) / operatedShare
	longest := 0.0
	for _, v := range values {
		if v < most {
			longest = math.Max(longest, v)
		}
	}
	return longest
}

func intervalsFrom(cycles []Cycle, first int) []float64 {
	var out []float64
	for _, c := range cycles[min(first, len(cycles)):] {
		if c.IntervalS != nil {
			out = append(out, *c.IntervalS)
		}
	}
	return out
}

// anyWithin reports one of moments that rise between from and to.
func anyWithin(moments []float64, from, to float64) bool {
	i := sort.Search(len(moments), func(i int) bool { return moments[i] > from })
	return i < len(moments) && moments[i] < to
}

// What common practice leaves open where no pressure was read, as logarithmic
// standard deviations: cut-in is about 40 bar, the band a quarter of it; of the
// band about a quarter is lost by cooling, 2 to 3 bar.
//
// ref: DESIGN_RECHARGE
const (
	cutInSD   = 0.20
	bandSD    = 0.30
	usualFall = 2.6 // bar
	fallSD    = 0.10
)

// shortenedUnseen is the chance that every settled interval, of so many that
// agree, was cut short by something operated or by warm gas that nobody noted.
func shortenedUnseen(intervals int) float64 {
	switch {
	case intervals <= 1:
		return 0.5
	case intervals == 2:
		return 0.2
	}
	return 0.03
}

// ratiosByTimes are the ratios out of pump times alone, with cut-in and cut-out
// assumed and a usual fall by cooling. A wrong band makes leak and pump flow
// wrong by the same factor, as a wrong size does: see expectations.
func (u *unit) ratiosByTimes() {
	first, last := u.r.Cycles[0], u.r.Cycles[len(u.r.Cycles)-1]
	u.e.durationS = last.OffS - first.OnS
	run, sdRun, n := u.meanRun()
	relaxed := assumedCutOut + AtmosphereBar - usualFall
	if intervals := u.settledIntervals(); len(intervals) > 0 && meanOf(intervals) > run {
		u.e.leak = (LeakIntegral(relaxed) - LeakIntegral(u.e.cutIn)) / (meanOf(intervals) - run)
		u.e.sdLogLeak, u.e.unseen = fallSD, shortenedUnseen(len(intervals))
		if n > 0 {
			u.setDuty(run)
		}
	}
	if n == 0 {
		return
	}
	u.e.pump = (1/u.e.cutIn-1/relaxed)/run + u.e.leak*(u.e.middle-AtmosphereBar)
	u.e.sdLogPump = math.Hypot(fallSD, sdRun/run)
	u.setPump()
	switch {
	case first.ColdFill && first.FillS > fillTimes*run:
		u.prechargeByRatio(first.FillS/run, sdRun/run)
	case first.ColdFill && first.FillS > 0: // it was said to be one
		u.r.Signs = append(u.r.Signs, fmt.Sprintf("the fill from empty ran for %.1f s, hardly longer than a recharge of %.1f s: the unit was not empty, or the pre-charge is near cut-in or above; no pre-charge is read from it", first.FillS, run))
	}
}

// prechargeByRatio is the pre-charge by the ratio of fill to recharge: firm as a
// share of cut-in, as vague as cut-in in bar.
func (u *unit) prechargeByRatio(ratio, sdRatio float64) {
	const n, sdN, slip = 1.3, 0.1, 0.08
	share := func(ratio, n, band float64) float64 { return PrechargeFromRatio(ratio, 1, band, n) }
	band := (assumedCutOut + AtmosphereBar) / u.e.cutIn
	p := share(ratio, n, band)
	// A pump that slips is slower near cut-out than over the fill: up to a tenth.
	square := slip * slip
	for _, other := range []float64{
		share(ratio, n+sdN, band), share(ratio*(1+sdRatio), n, band), share(ratio, n, 1+(band-1)*math.Exp(bandSD)),
	} {
		square += math.Pow(math.Log(other/p), 2)
	}
	sd := math.Sqrt(square)
	p0 := p * u.e.cutIn
	u.setPrecharge(p0, p0*math.Hypot(sd, cutInSD))
	u.e.sdLogP0 = sd
}
