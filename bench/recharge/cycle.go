package recharge

import (
	"math"
	"slices"
	"sort"
)

// leg is one recharge in the series: p[from] is the last low, p[to] the peak.
type leg struct {
	from, to int
	on, off  float64
	onErr    float64 // standard uncertainty of the run time
	cold     bool
	exact    bool // times given, not read off the log
	jump     bool // rose faster than the pump can make
	blind    bool // happened, in part, while there were no readings
	rise     *rise
}

// rise is the line through the middle of a recharge, in straightened pressure, and
// the moments between which the pump stopped.
type rise struct{ c0, c1, low, high float64 }

func (l leg) runS() float64 { return l.off - l.on }

// turning points of a zig-zag: a low, a high, a low and so on.
func (s *series) turns(threshold float64) (lows, highs []int) {
	low, high, rising := 0, 0, false
	for i, p := range s.p {
		switch {
		case rising && p > s.p[high]:
			high = i
		case rising && p < s.p[high]-threshold:
			highs = append(highs, high)
			rising, low = false, i
		case !rising && p < s.p[low]:
			low = i
		case !rising && p > s.p[low]+threshold:
			lows = append(lows, low)
			rising, high = true, i
		}
	}
	if rising {
		highs = append(highs, high)
	}
	return lows, highs
}

// Settings of the search for recharges, own estimates. Hysteresis is 4 bar at 50:
// below the narrowest band in use (a tenth of the pressure), above what the gas
// wins back after a few movements (1 to 2 bar). Cut-in lies at three quarters of
// cut-out or more, so that nothing but a fill begins below 0.45. A rise of less
// than half the usual band is gas that warms up again or a run cut off.
const (
	hysteresis = 0.08 // of the working pressure
	coldShare  = 0.45 // of where a leg ends
	legShare   = 0.5  // of the usual band
)

// legs finds the recharges. The last one counts only when the log goes on after
// its peak.
func (s *series) legs() []leg {
	threshold := math.Max(math.Max(6*s.sigma, 2.5*s.quantum), hysteresis*s.high)
	lows, highs := s.turns(threshold)
	var found []leg
	var bands []float64
	for i, h := range highs {
		l := leg{from: lows[i], to: h}
		l.cold = s.p[l.from]-AtmosphereBar < coldShare*(s.p[h]-AtmosphereBar)
		if !l.cold {
			bands = append(bands, s.p[h]-s.p[l.from])
		}
		found = append(found, l)
	}
	band := medianOf(bands)
	found = slices.DeleteFunc(found, func(l leg) bool { return !l.cold && s.p[l.to]-s.p[l.from] < legShare*band })
	if n := len(found); n > 0 && s.t[len(s.t)-1]-s.t[found[n-1].to] < 3*s.step {
		found = found[:n-1] // the pump may still be running
	}
	for i := range found {
		s.edges(&found[i])
	}
	s.keepApart(found)
	s.markJumps(found)
	return found
}

// keepApart keeps recharges in order and none shorter than readings can show:
// where they are few an edge may have been put beyond its neighbour's.
func (s *series) keepApart(legs []leg) {
	for i := range legs {
		l := &legs[i]
		if i > 0 && l.on <= legs[i-1].off {
			middle := (s.t[legs[i-1].to] + s.t[l.from]) / 2
			legs[i-1].off = clamp(middle, legs[i-1].on, legs[i-1].off)
			l.on = math.Max(l.on, middle)
		}
		l.off = math.Max(l.off, l.on+0.1*s.step)
	}
}

// straightExponent makes p^(-1/n) straight in time while a pump of constant flow
// compresses the gas in a few seconds; between isothermal and adiabatic, the
// middle of what recharges in 1 to 10 s come to with time constants of 3 to 30 s
// (1.25 to 1.38).
const straightExponent = 1.3

func straight(p float64) float64 { return math.Pow(math.Max(p, 1e-3), -1/straightExponent) }

// edges finds when the pump started and stopped: where a line through the
// middle of the rise meets the levels either side, kept between the readings
// that bracket them.
func (s *series) edges(l *leg) {
	low, high := s.lowLevel(*l), s.p[l.to]
	inset := math.Max(0.12*(high-low), math.Min(math.Max(1.5*s.sigma, 1.1*s.quantum), 0.3*(high-low)))
	mid := (low + high) / 2
	k := l.to
	for k > l.from && s.p[k] >= mid {
		k--
	}
	a, b := k, k+1
	for a > l.from && s.p[a] > low+inset {
		a--
	}
	for b < l.to && s.p[b] < high-inset {
		b++
	}
	if l.cold {
		a = s.kneeBefore(l.from, l.to)
		l.from = a
	} else {
		l.from = a
	}
	after := s.t[min(a+1, l.to)]
	l.on, l.off = (s.t[a]+after)/2, (s.t[max(b-1, a)]+s.t[b])/2
	l.onErr = math.Max(math.Hypot(after-s.t[a], s.t[b]-s.t[max(b-1, a)])/math.Sqrt(12), 0.3*s.step)
	for i := a + 1; i <= b; i++ {
		l.blind = l.blind || s.t[i]-s.t[i-1] > s.gapS()
	}
	share := (high - low - 2*inset) / (high - low)
	wider := (l.off - l.on) * (1/share - 1) / 2
	first, slope := a+1, (high-low)/(s.t[b]-s.t[a]+s.step)
	if l.cold {
		wider, first = 0, a+1+(b-a)*2/3
	}
	var t, y []float64
	for i := first; i < b; i++ {
		t, y = append(t, s.t[i]), append(y, straight(s.p[i]))
	}
	if len(t) < 4 {
		l.on, l.off = l.on-wider, l.off+wider
		return
	}
	c0, c1 := line(t, y)
	if !(c1 < 0) {
		return
	}
	if l.cold {
		slope = math.Max(-straightExponent*high*c1/(c0+c1*s.t[b]), 0.2)
	} else {
		l.on = clamp((straight(low)-c0)/c1, s.t[a]-2*inset/slope, after)
	}
	l.rise = &rise{c0, c1, s.t[max(b-1, a)], s.t[b] + 2*inset/slope}
	l.off = s.meet(*l)
	// Of the two crossings of a line through k points with error sigma in p.
	l.onErr = math.Max(math.Min(l.onErr, 3.5*s.sigma/slope/math.Sqrt(float64(len(t)))), 0.1*s.step)
}

// meet is where the line of the rise meets the line of the fall after it, within
// bounds.
func (s *series) meet(l leg) float64 {
	var t, p []float64
	high := l.rise.high
	for i := s.at(high + 0.3); i < len(s.t) && s.t[i] < high+5; i++ {
		t, p = append(t, s.t[i]), append(p, s.p[i])
	}
	level := func(float64) float64 { return s.p[l.to] - 0.3*s.sigma }
	if len(t) >= 5 {
		if d0, d1 := line(t, p); d1 < 0 {
			level = func(at float64) float64 { return d0 + d1*at }
		}
	}
	return l.rise.meets(level)
}

// meets is where the rise meets the pressure after it.
func (r *rise) meets(level func(t float64) float64) float64 {
	at := r.high
	for range 20 {
		at = clamp((straight(level(at))-r.c0)/r.c1, r.low, r.high)
	}
	return at
}

// sharpenStops puts the pump's stops anew where the rise meets the fitted
// cooling: a straight line through the first seconds of a fall that slows down
// lies too low at the stop, and so put it too early.
func (u *unit) sharpenStops() {
	if u.fit == nil {
		return
	}
	usual := meanOf(u.fit.start)
	for i := range u.legs {
		l := &u.legs[i]
		if l.exact || l.cold || l.rise == nil {
			continue
		}
		start := usual
		for k, at := range u.r.fitAt {
			if at == i {
				start = u.fit.start[k]
			}
		}
		was := l.off
		l.off = math.Max(l.rise.meets(func(t float64) float64 { return start * (1 + u.fit.cool*math.Exp(-(t-was)/u.fit.tau)) }), l.on+0.1*u.s.step)
		u.r.Cycles[i].OffS, u.r.Cycles[i].FillS = l.off, l.runS()
	}
}

// lowLevel is the pressure just before a rise.
func (s *series) lowLevel(l leg) float64 {
	if l.cold {
		return s.p[l.from]
	}
	low, n := 0.0, 0
	for i := l.from; i >= 0 && i > l.from-5 && math.Abs(s.p[i]-s.p[l.from]) < 4*s.sigma; i-- {
		low, n = low+s.p[i], n+1
	}
	return low / float64(n)
}

// usualLow is the pressure at which recharges start.
func (s *series) usualLow(legs []leg) float64 {
	var lows []float64
	for _, l := range legs {
		if !l.cold {
			lows = append(lows, s.lowLevel(l))
		}
	}
	return medianOf(lows)
}

// kneeBefore is the last drained reading before a fill from empty.
func (s *series) kneeBefore(from, to int) int {
	zero := s.p[from]
	above := math.Max(3.5*s.sigma, 1.5*s.quantum)
	i := from
	for j := from; j < to; j++ {
		if s.p[j] > zero+above+s.quantum && s.p[min(j+1, to)] > zero+above {
			break
		}
		i = j
	}
	return i
}

// markJumps marks recharges that rise far faster than the others: four times, where
// the run is long enough for the log to show it. A battery's voltage and warm oil
// change a pump's flow by a third.
func (s *series) markJumps(legs []leg) {
	var runs []float64
	for _, l := range legs {
		if !l.cold {
			runs = append(runs, l.runS())
		}
	}
	usual := medianOf(runs)
	for i := range legs {
		l := &legs[i]
		if !l.cold && !l.blind && len(runs) >= 3 && usual > 6*s.step && l.runS() < usual/4 {
			l.jump = true
			s.screen.Jumps++
		}
	}
}

// line is the least-squares line y = c0 + c1 t.
func line(t, y []float64) (c0, c1 float64) {
	mt, my := meanOf(t), meanOf(y)
	var sxx, sxy float64
	for i := range t {
		sxx += (t[i] - mt) * (t[i] - mt)
		sxy += (t[i] - mt) * (y[i] - my)
	}
	c1 = sxy / sxx
	return my - c1*mt, c1
}

func clamp(x, low, high float64) float64 { return math.Max(low, math.Min(high, x)) }

// at is the first reading not before t.
func (s *series) at(t float64) int { return sort.SearchFloat64s(s.t, t) }
