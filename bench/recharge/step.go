package recharge

import (
	"math"
	"sort"
)

// Settings of the search for actuations. A movement takes 0.2 to 0.5 s, and one
// follows another after 4 s at the soonest where somebody shifts through the
// gears: the means either side end before the next. The smallest drop of interest,
// 0.4 bar at 50, is that of 2 mL out of a healthy shell.
const (
	besideS    = 2.4   // readings averaged either side
	blindS     = 0.2   // left out either side of the step itself
	widestS    = 10.0  // looked at either side to confirm
	smallShare = 0.008 // of the working pressure: the smallest drop of interest
	lastShare  = 0.018 // of the working pressure: the smallest that is told from the leak just before a start
	quietS     = 2.5   // after a pump stop, where cooling is steepest
	beforeS    = 0.8   // before a pump start
)

// stepsIn finds sudden drops between a and b: the means either side differ by
// more than noise makes, and a level with a slope and a step explains the
// readings either side better than the slope alone. cooling is what the gas does
// by itself, from the stop on, slope how steeply it may move beside that.
func (s *series) stepsIn(a, b float64, cooling func(t float64) float64, slope float64) []Drop {
	from, to := s.at(a), s.at(b)
	if to-from < 6 {
		return nil
	}
	p := make([]float64, to-from)
	for i := range p {
		p[i] = s.p[from+i] - cooling(s.t[from+i])
	}
	w := window{t: s.t[from:to], p: p}
	var found []Drop
	for _, i := range w.peaks(s.sigma, s.smallestDrop()) {
		found = append(found, Drop{AtS: (w.t[i] + w.t[i+1]) / 2})
	}
	return s.confirmed(w, found, slope)
}

// window is the stretch that is searched.
type window struct{ t, p []float64 }

// side is a run of readings that moves along the window.
type side struct{ from, to int }

// move takes the run to the readings from a to b.
func (d *side) move(t []float64, a, b float64) {
	for d.from < len(t) && t[d.from] < a {
		d.from++
	}
	d.to = max(d.to, d.from)
	for d.to < len(t) && t[d.to] <= b {
		d.to++
	}
}

// mean is the mean of the readings and how many they are, by sums from the left.
func (d side) mean(sums []float64) (float64, float64) {
	n := float64(d.to - d.from)
	return (sums[d.to] - sums[d.from]) / n, n
}

// peaks are the readings before the largest falls, at least besideS apart.
func (w window) peaks(sigma, smallest float64) []int {
	sums := make([]float64, len(w.p)+1)
	for i, p := range w.p {
		sums[i+1] = sums[i] + p
	}
	var at []int
	var left, right side
	last, lastFall := -1, 0.0
	for i := 0; i+1 < len(w.t); i++ {
		m := (w.t[i] + w.t[i+1]) / 2
		left.move(w.t, m-blindS-besideS, m-blindS)
		right.move(w.t, m+blindS, m+blindS+besideS)
		before, n1 := left.mean(sums)
		after, n2 := right.mean(sums)
		fall := before - after
		if n1 < 1 || n2 < 1 || w.t[i+1]-w.t[i] > besideS || fall < smallest || fall < 3.6*sigma*math.Sqrt(1/n1+1/n2) {
			continue
		}
		if last >= 0 && w.t[i]-w.t[last] < besideS {
			if fall > lastFall {
				at[len(at)-1], last, lastFall = i, i, fall
			}
			continue
		}
		at, last, lastFall = append(at, i), i, fall
	}
	return at
}

// confirmed keeps the drops that a longer look bears out, and measures them.
func (s *series) confirmed(w window, found []Drop, slope float64) []Drop {
	var kept []Drop
	for k, d := range found {
		a, b := d.AtS-widestS, d.AtS+widestS
		if k > 0 {
			a = math.Max(a, found[k-1].AtS+blindS)
		}
		if k+1 < len(found) {
			b = math.Min(b, found[k+1].AtS-blindS)
		}
		step, sd, ok := s.stepFit(w, d.AtS, a, b, slope)
		if !ok || step < surely(k, found)*sd || step < s.smallestDrop() {
			continue
		}
		kept = append(kept, Drop{AtS: d.AtS, DropBar: step})
	}
	return kept
}

// smallestDrop is the smallest drop that can be told. Readings that noise does
// not carry from one step of the sensor to the next make a step of their own of
// every slow fall.
func (s *series) smallestDrop() float64 {
	if s.dither < 0.15*s.quantum {
		return math.Max(smallShare*s.high, 1.25*s.quantum)
	}
	return smallShare * s.high
}

// surely is how many standard deviations a drop must be: more for one that
// stands alone than for one in a burst. In an hour some 10 000 places are looked
// at, of which noise brings 4.7 one time in eighty; within a burst there are ten.
func surely(k int, found []Drop) float64 {
	near := k > 0 && found[k].AtS-found[k-1].AtS < 1.5*widestS || k+1 < len(found) && found[k+1].AtS-found[k].AtS < 1.5*widestS
	if near {
		return 3.5
	}
	return 4.7
}

// stepFit fits level, slope and step about t = at by least squares, the slope known
// beforehand to be zero within slopeSD.
func (s *series) stepFit(w window, at, a, b, slopeSD float64) (step, sd float64, ok bool) {
	var m [3][4]float64
	n := 0
	for j := sort.SearchFloat64s(w.t, a); j < len(w.t) && w.t[j] <= b; j++ {
		t := w.t[j]
		if math.Abs(t-at) < blindS {
			continue
		}
		x := [3]float64{1, t - at, 0}
		if t > at {
			x[2] = -1
		}
		n++
		for r := range x {
			for c := range x {
				m[r][c] += x[r] * x[c]
			}
			m[r][3] += x[r] * w.p[j]
		}
	}
	if n < 4 {
		return 0, 0, false
	}
	m[1][1] += s.sigma * s.sigma / (slopeSD * slopeSD)
	// What remains of the step's column after level and slope are taken out.
	det := m[0][0]*m[1][1] - m[0][1]*m[1][0]
	if det <= 0 {
		return 0, 0, false
	}
	solve := func(r0, r1 float64) (float64, float64) {
		return (r0*m[1][1] - r1*m[0][1]) / det, (m[0][0]*r1 - m[1][0]*r0) / det
	}
	x0, x1 := solve(m[0][2], m[1][2])
	left := m[2][2] - x0*m[0][2] - x1*m[1][2]
	if left <= 1e-9 {
		return 0, 0, false
	}
	y0, y1 := solve(m[0][3], m[1][3])
	step = (m[2][3] - y0*m[2][0] - y1*m[2][1]) / left
	return step, s.sigma / math.Sqrt(left), true
}

// coolingOf is the exponential part of a hold's fall, by the best of a few time
// constants; for a first look, before holds can be fitted together.
func (s *series) coolingOf(stop, until float64) func(float64) float64 {
	h := s.holdBetween(stop, stop+0.2, math.Min(until, stop+90))
	best, tau, amplitude := math.Inf(1), 0.0, 0.0
	for _, try := range []float64{3, 6, 10, 18} {
		c, cost, ok := exponential(h, try)
		if ok && cost < best {
			best, tau, amplitude = cost, try, c
		}
	}
	if tau == 0 || amplitude <= 0 {
		return func(float64) float64 { return 0 }
	}
	return func(t float64) float64 { return amplitude * math.Exp(-(t-stop)/tau) }
}

// exponential fits level, slope and c exp(-t/tau).
func exponential(h hold, tau float64) (c, cost float64, ok bool) {
	if len(h.t) < 6 {
		return 0, 0, false
	}
	e, y := make([]float64, len(h.t)), make([]float64, len(h.t))
	ce0, ce1 := 0.0, 0.0
	for i, t := range h.t {
		e[i] = math.Exp(-t / tau)
	}
	ce0, ce1 = line(h.t, e)
	cy0, cy1 := line(h.t, h.p)
	var see, sey float64
	for i, t := range h.t {
		e[i] -= ce0 + ce1*t
		y[i] = h.p[i] - cy0 - cy1*t
		see, sey = see+e[i]*e[i], sey+e[i]*y[i]
	}
	if see < 1e-9 {
		return 0, 0, false
	}
	c = sey / see
	for i := range y {
		d := y[i] - c*e[i]
		cost += d * d
	}
	return c, cost, true
}
