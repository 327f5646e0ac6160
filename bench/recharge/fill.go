package recharge

import "math"

// filling is what the cold first fill says.
type filling struct {
	zero     float64 // reading while drained, gauge
	zeroSeen bool
	p0, sd   float64 // pre-charge, absolute; 0 where the knee was not seen
	kneeAt   float64
	delay    float64 // s from pump on to the knee
	sdDelay  float64 // 0 where the delay is not known
}

// Settings of the reading of the knee. Over a third of the fill the pressure of a
// healthy gas rises by a fifth, in which slip and exponent change by a few per
// cent: that leaves 0.2 to 0.4 bar in doubt. The first half second holds the
// pump's start and the end of the air. Air of 15 s of flow is more than the lines
// of a car hold.
const (
	kneeShare    = 0.35 // of the fill, over which pump flow and exponent are as good as constant
	kneeOwnSD    = 0.35 // bar: what exponent and slip of the pump leave in doubt
	kneeMost     = 0.7  // never over more of the fill than this
	kneeReadings = 6.5  // a line of two unknowns and a few to spare, before slow readings stop it
	kneeLag      = 0.5  // s after the first rise that are left out
	longestToeS  = 15.0
)

// knee reads the pre-charge off a fill from empty. While gas is compressed
// p^(-1/n) is straight in time, from p0 at the knee on; before the knee only
// lines fill and air is squeezed.
//
// ref: DESIGN_RECHARGE
func (s *series) knee(l leg, pumpOn *float64) filling {
	var f filling
	f.readZero(s, l)
	start := s.t[l.from]
	end := s.kneeEnd(start, l.off)
	var t, y []float64
	for i := s.at(start + kneeLag); i < len(s.t) && s.t[i] <= end; i++ {
		if s.p[i] > AtmosphereBar+0.2 {
			t, y = append(t, s.t[i]), append(y, straight(s.p[i]))
		}
	}
	c0, c1, ok := upperLine(t, y)
	if !ok {
		return f
	}
	on := start
	if pumpOn != nil {
		on = *pumpOn
	}
	// The knee is the first reading that lies by the line.
	for i := l.from; i < l.to && s.t[i] < end; i++ {
		expected := lift(c0 + c1*s.t[i])
		if i > 0 && s.t[i] > start && s.p[i] > expected-math.Max(4*s.sigma, 0.15*expected) {
			f.kneeAt = clamp((s.t[i-1]+s.t[i])/2, start, s.t[i])
			break
		}
	}
	if f.kneeAt == 0 {
		return f
	}
	f.p0 = lift(c0 + c1*f.kneeAt)
	slope := -straightExponent * f.p0 * c1 / (c0 + c1*f.kneeAt)
	fit := 2 * s.sigma / math.Sqrt(float64(len(t)))
	f.sd = math.Sqrt(fit*fit + math.Pow(slope*s.step/3.5, 2) + kneeOwnSD*kneeOwnSD)
	if !(f.p0 > AtmosphereBar+0.3) || f.p0 > s.high {
		f.p0 = 0
		return f
	}
	if pumpOn != nil {
		f.delay, f.sdDelay = math.Max(f.kneeAt-on, 0), math.Hypot(0.07, s.step/3.5)
	} else if f.zeroSeen {
		f.delay, f.sdDelay = s.toe(l, f)
	}
	return f
}

// kneeEnd is how far a fill is looked at: over more of it where readings are few.
func (s *series) kneeEnd(start, off float64) float64 {
	end := start + kneeShare*(off-start)
	return math.Max(end, math.Min(start+kneeLag+kneeReadings*s.step, start+kneeMost*(off-start)))
}

// lift turns a straightened pressure back.
func lift(y float64) float64 { return math.Pow(math.Max(y, 1e-6), -straightExponent) }

// readZero reads the sensor's zero before the fill.
func (f *filling) readZero(s *series, l leg) {
	i := l.from
	level := medianOf(s.p[max(0, i-200) : i+1])
	n, sum := 0.0, 0.0
	for j := max(0, i-200); j <= i; j++ {
		if math.Abs(s.p[j]-level) < 3*s.sigma+s.quantum {
			sum, n = sum+s.p[j], n+1
		}
	}
	if n >= 4 {
		f.zeroSeen, f.zero = true, sum/n-AtmosphereBar
	}
}

// upperLine is a line through y(t) from which readings that lie below in
// pressure (the toe of air) were left out, a few rounds.
func upperLine(t, y []float64) (c0, c1 float64, ok bool) {
	if len(t) < 4 {
		return 0, 0, false
	}
	t, y = append([]float64(nil), t...), append([]float64(nil), y...)
	for range 12 {
		c0, c1 = line(t, y)
		worst, at := 0.0, -1
		for i := range min(len(t)/2, len(t)-4) {
			if r := y[i] - c0 - c1*t[i]; r > worst && r > 0.25*y[len(y)-1] {
				worst, at = r, i
			}
		}
		if at < 0 {
			break
		}
		t, y = t[at+1:], y[at+1:]
	}
	return c0, c1, len(t) >= 4 && c1 < 0
}

// toe is how long air was squeezed before the knee, where the start of the pump
// is not known: at constant flow the pressure of air at first at pa is
// pa/(1 - t/T), T its volume over the flow; T by least squares over a grid.
//
// ref: DESIGN_RECHARGE
func (s *series) toe(l leg, f filling) (delay, sd float64) {
	from := s.at(f.kneeAt - longestToeS)
	var weight, mean, square float64
	least := math.Inf(1)
	costs := make([]float64, 0, 64)
	var delays []float64
	for d := 0.02; d < longestToeS*0.9; d *= 1.18 {
		cost := 0.0
		full := d / (1 - AtmosphereBar/f.p0)
		for i := from; i < len(s.t) && s.t[i] < f.kneeAt; i++ {
			expected, steep := AtmosphereBar+f.zero, 0.0
			if in := s.t[i] - (f.kneeAt - d); in > 0 {
				expected = f.zero + AtmosphereBar/(1-math.Min(in/full, 0.97))
				// Where in the step between two readings the knee lies is not known.
				steep = (expected - f.zero) * (expected - f.zero) / AtmosphereBar / full * s.step / 3.5
			}
			z := (s.p[i] - expected) / math.Hypot(s.sigma, steep)
			cost += math.Min(z*z, 9)
		}
		costs, delays = append(costs, cost), append(delays, d)
		least = math.Min(least, cost)
	}
	for i, d := range delays {
		w := math.Exp((least - costs[i]) / 2)
		weight, mean, square = weight+w, mean+w*d, square+w*d*d
	}
	mean /= weight
	return mean, math.Sqrt(math.Max(square/weight-mean*mean, 0) + s.step*s.step/12)
}
