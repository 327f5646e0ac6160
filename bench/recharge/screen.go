package recharge

import (
	"context"
	"math"
	"slices"
)

// series is a log made ready: readings that no pressure can make are out, and
// very dense ones are averaged.
type series struct {
	t, p    []float64 // p absolute
	sigma   float64   // standard deviation of one reading
	quantum float64
	dither  float64 // standard deviation of the noise beneath the steps of the sensor, before averaging
	high    float64 // about cut-out, absolute
	step    float64 // usual seconds between readings
	screen  Screen
	bad     []float64 // times of the readings taken out
}

// Settings of the screen, own estimates. A pump fills a band of a fifth of the
// pressure in half a second at the fastest and a movement takes a tenth of it, so
// that a third there and back within a few readings is no pressure.
const (
	besideReadings = 4    // readings looked at either side
	wildShare      = 0.3  // of the working pressure: no neighbouring readings differ so but at an edge
	denseS         = 0.05 // readings closer than this are averaged
	binS           = 0.1
)

func prepare(ctx context.Context, l *Log) (series, error) {
	n := len(l.TimeS)
	s := series{t: make([]float64, 0, n), p: make([]float64, 0, n)}
	sample := strided(l.PressureBar, 20_000)
	slices.Sort(sample)
	// Spikes of a bad sensor are few, so that they do not reach this point.
	high := sample[len(sample)*9/10]
	s.screen.Readings = n
	if err := s.takeSound(ctx, l, math.Max(high, 1)); err != nil {
		return s, err
	}
	s.high = high + AtmosphereBar
	s.quantum = quantumOf(s.p)
	s.step = s.usualStep()
	s.sigma = noiseOf(s.p, s.quantum)
	s.dither = math.Sqrt(math.Max(s.sigma*s.sigma-s.quantum*s.quantum/12, 0))
	if s.step < denseS {
		s.thin()
		s.step = s.usualStep()
		s.sigma = noiseOf(s.p, 0)
	}
	s.screen.QuantumBar, s.screen.NoiseBar = s.quantum, s.sigma
	for i := 1; i < len(s.t); i++ {
		if s.t[i]-s.t[i-1] > s.gapS() {
			s.screen.Gaps++
		}
	}
	return s, nil
}

// gapS is how long a stretch without readings counts as a gap.
func (s *series) gapS() float64 { return math.Max(10*s.step, 5) }

// takeSound takes the readings over, but for those that differ from readings on
// both sides by more than any neighbour can.
func (s *series) takeSound(ctx context.Context, l *Log, high float64) error {
	t, p := l.TimeS, l.PressureBar
	wild := wildShare * high
	for i := 0; i < len(p); i++ {
		if i%heedEvery == 0 && ctx.Err() != nil {
			return ctx.Err()
		}
		// An honest neighbour: nothing to look at.
		if len(s.p) == 0 || math.Abs(p[i]+AtmosphereBar-s.p[len(s.p)-1]) < wild {
			s.keep(t[i], p[i])
			continue
		}
		end, back := s.returns(p, i, wild)
		if !back {
			s.keep(t[i], p[i])
			continue
		}
		for ; i < end; i++ {
			if p[i]+AtmosphereBar < s.p[len(s.p)-1] {
				s.screen.Dropouts++
			} else {
				s.screen.Spikes++
			}
			s.bad = append(s.bad, t[i])
		}
		i--
	}
	return nil
}

// heedEvery is how many readings are worked through, some milliseconds, before
// it is asked again whether anybody still waits.
const heedEvery = 1 << 17

func (s *series) keep(t, p float64) {
	s.t = append(s.t, t)
	s.p = append(s.p, p+AtmosphereBar)
}

// returns looks for where the readings come back to the last sound ones.
func (s *series) returns(p []float64, from int, wild float64) (int, bool) {
	last := s.p[len(s.p)-1] - AtmosphereBar
	for j := from + 1; j < min(from+2*besideReadings, len(p)); j++ {
		if math.Abs(p[j]-last) < wild/2 {
			return j, true
		}
	}
	return 0, false
}

func strided(x []float64, most int) []float64 {
	step := max(1, len(x)/most)
	out := make([]float64, 0, len(x)/step+1)
	for i := 0; i < len(x); i += step {
		out = append(out, x[i])
	}
	return out
}

func (s *series) usualStep() float64 {
	var steps []float64
	for i, stride := 1, max(1, len(s.t)/5000); i < len(s.t); i += stride {
		steps = append(steps, s.t[i]-s.t[i-1])
	}
	return math.Max(medianOf(steps), 1e-6)
}

// thin averages readings over bins.
func (s *series) thin() {
	out := 0
	for i := 0; i < len(s.t); {
		j, st, sp := i, 0.0, 0.0
		for j < len(s.t) && s.t[j] < s.t[i]+binS {
			st, sp = st+s.t[j], sp+s.p[j]
			j++
		}
		s.t[out], s.p[out] = st/float64(j-i), sp/float64(j-i)
		out, i = out+1, j
	}
	s.t, s.p = s.t[:out], s.p[:out]
}

// quantumOf is the step of the readings: the smallest usual difference between
// neighbours, where nearly all differences are multiples of it.
func quantumOf(p []float64) float64 {
	var d []float64
	for i, stride := 1, max(1, len(p)/20_000); i < len(p); i += stride {
		if x := math.Abs(p[i] - p[i-1]); x > 1e-9 {
			d = append(d, x)
		}
	}
	if len(d) < 5 {
		return 0
	}
	slices.Sort(d)
	q := d[len(d)/50]
	fit := 0
	for _, x := range d {
		if r := x / q; math.Abs(r-math.Round(r)) < 0.02*math.Max(1, r/3) {
			fit++
		}
	}
	if fit*10 < len(d)*9 {
		return 0
	}
	return q
}

// noiseOf is the standard deviation of a reading out of differences of
// neighbours, the large ones (edges) left out; at least that of its step.
func noiseOf(p []float64, quantum float64) float64 {
	var d []float64
	for i, stride := 1, max(1, len(p)/20_000); i < len(p); i += stride {
		d = append(d, math.Abs(p[i]-p[i-1]))
	}
	floor := math.Max(quantum/math.Sqrt(12), 0.005)
	if len(d) == 0 { // a log so short that averaging left one reading
		return floor
	}
	slices.Sort(d)
	most := 2.5 * math.Max(quantum, d[len(d)*9/10])
	sum, n := 0.0, 0
	for _, x := range d {
		if x <= most {
			sum, n = sum+x*x, n+1
		}
	}
	return math.Max(floor, math.Sqrt(sum/float64(max(n, 1))/2))
}

func medianOf(x []float64) float64 {
	if len(x) == 0 {
		return 0
	}
	y := slices.Clone(x)
	slices.Sort(y)
	if len(y)%2 == 1 {
		return y[len(y)/2]
	}
	return (y[len(y)/2-1] + y[len(y)/2]) / 2
}

func meanOf(x []float64) float64 {
	sum := 0.0
	for _, v := range x {
		sum += v
	}
	return sum / float64(len(x))
}

// spreadOf is the standard deviation of a sample.
func spreadOf(x []float64) float64 {
	m, sum := meanOf(x), 0.0
	for _, v := range x {
		sum += (v - m) * (v - m)
	}
	return math.Sqrt(sum / float64(len(x)-1))
}
