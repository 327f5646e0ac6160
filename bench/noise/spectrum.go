package noise

import (
	"math"
	"math/cmplx"
	"slices"
)

// spectrum is amplitude by frequency with the noise about each.
type spectrum struct {
	step  float64
	amp   []float64
	floor []float64 // at lowHz x floorStep^j
}

const (
	lowHz     = 0.5
	floorStep = 1.04
	floorSpan = 1.5 // the floor is the median from f/1.5 to 1.5 f
)

// newSpectrum takes the sum of squared amplitudes of count blocks.
func newSpectrum(power []float64, count int, step float64) spectrum {
	s := spectrum{step: step, amp: make([]float64, len(power))}
	for i, p := range power {
		s.amp[i] = math.Sqrt(p / float64(count))
	}
	top := float64(len(power)-1) * step
	for f := lowHz; f <= top*floorStep; f *= floorStep {
		first := max(int(math.Ceil(f/floorSpan/step)), 1)
		last := min(max(int(f*floorSpan/step), first+8), len(power)-1)
		first = max(1, min(first, last-8))
		s.floor = append(s.floor, median(s.amp[first:last+1]))
	}
	return s
}

func median(v []float64) float64 {
	if len(v) == 0 {
		return 0
	}
	s := slices.Clone(v)
	slices.Sort(s)
	return s[len(s)/2]
}

// noise is the floor about f.
func (s spectrum) noise(f float64) float64 {
	j := int(math.Round(math.Log(f/lowHz) / math.Log(floorStep)))
	return s.floor[max(0, min(j, len(s.floor)-1))]
}

func (s spectrum) topHz() float64 { return float64(len(s.amp)-1) * s.step }

// line is a peak of a spectrum.
type line struct {
	hz    float64
	ratio float64 // over the noise about it
}

// shaftGuard is how near a shaft harmonic a bin may not lie, Hz and bins.
const (
	shaftGuardHz   = 0.35
	shaftGuardBins = 1.5
)

// strongest is the peak within share of hz. Bins beside multiples of shaftHz
// do not count, unless that is 0.
func (s spectrum) strongest(hz, share, shaftHz float64) line {
	best := line{hz: hz}
	if hz <= 0 || hz > s.topHz() {
		return best
	}
	// A window narrower than a bin still sees the nearest.
	wide := math.Max(share*hz, 0.5*s.step)
	guard := math.Max(shaftGuardHz, shaftGuardBins*s.step)
	for k := max(int(math.Ceil((hz-wide)/s.step)), 1); k < len(s.amp) && float64(k)*s.step <= hz+wide; k++ {
		f := float64(k) * s.step
		if shaftHz > 0 && math.Abs(f-math.Round(f/shaftHz)*shaftHz) < guard {
			continue
		}
		if r := s.amp[k] / math.Max(s.noise(f), math.SmallestNonzeroFloat64); r > best.ratio {
			best = line{hz: f, ratio: r}
		}
	}
	return best
}

// plainPower adds the squared amplitudes of a block up to topHz.
func plainPower(sum []float64, b block, topHz float64) []float64 {
	n := min(len(b.half), int(topHz/b.step)+1)
	if sum == nil {
		sum = make([]float64, n)
	}
	for k := range sum {
		a := cmplx.Abs(b.half[k])
		sum[k] += a * a
	}
	return sum
}

// envelopePower adds those of the envelope of a band.
func envelopePower(sum []float64, b block, band Band, topHz float64) []float64 {
	first, last := b.bins(band.LoHz, band.HiHz)
	// The taper at both ends would stand as a step: level it off to the mean.
	env := level(bandEnvelope(b.half, first, last, 2))
	amp := EnvelopeSpectrum(env)
	n := min(len(amp), int(topHz/b.step)+1)
	if sum == nil {
		sum = make([]float64, n)
	}
	for k := range min(n, len(sum)) {
		sum[k] += amp[k] * amp[k]
	}
	return sum
}
