package noise

import (
	"context"
	"math"

	"gonum.org/v1/gonum/dsp/fourier"
)

// turnBlocks are blocks of equally many turns of a shaft whose speed changes.
type turnBlocks struct {
	track   Track // of the stretch that moves
	sum     []float64
	turns   float64 // of a block
	starts  []float64
	refHz   float64
	fastest float64 // over refHz
	slowest float64
}

// turnBlocks cuts the moving stretch; the blocks cover it, the last laid against
// its end.
func (c Case) turnBlocks() turnBlocks {
	seconds := float64(len(c.Samples)) / float64(c.Rate)
	track := c.Track.within(c.Track.moving(seconds))
	b := turnBlocks{track: track, sum: track.turns(), refHz: track.mean()}
	low, high := track.limits()
	b.slowest, b.fastest = low/b.refHz, high/b.refHz
	whole := b.sum[len(b.sum)-1]
	length := c.BlockS
	if length == 0 {
		length = math.Max(longestBlockS, 1.1*quietTurns/b.refHz)
	}
	b.turns = math.Min(length*b.refHz, whole)
	count := 1
	if rest := whole - b.turns; rest > b.turns/4 {
		count = 1 + int(math.Ceil(rest/b.turns))
	}
	for i := range count {
		at := 0.0
		if count > 1 {
			at = float64(i) * (whole - b.turns) / float64(count-1)
		}
		b.starts = append(b.starts, at)
	}
	return b
}

// times are the moments of m equal angles of the block.
func (b turnBlocks) times(i, m int) []float64 {
	turns := make([]float64, m)
	for j := range turns {
		turns[j] = b.starts[i] + b.turns*float64(j)/float64(m)
	}
	return b.track.timesOf(b.sum, turns)
}

// span is when a block begins and ends.
func (b turnBlocks) span(i int) (fromS, toS float64) {
	at := b.track.timesOf(b.sum, []float64{b.starts[i], b.starts[i] + b.turns})
	return at[0], at[1]
}

// lookTracked is look for a shaft whose speed changes. The ringing keeps its
// frequency while the strikes follow the shaft: so a band is cut out in time, and
// only its envelope is resampled at equal angles. What the spectra call Hz is at
// the mean speed.
//
// ref: FYFE_MUNCK_1997 computed order tracking
func (c Case) lookTracked(ctx context.Context, b turnBlocks) (view, error) {
	rate := float64(c.Rate)
	v := view{blocks: len(b.starts)}
	best := 0
	for i := range b.starts { // the shortest block is the fastest: most strikes
		f, t := b.span(i)
		if bf, bt := b.span(best); t-f < bt-bf {
			best = i
		}
	}
	fast, _ := c.turnBlock(b, best)
	v.bands = choose(kurtogram(fast, rate, math.Min(c.widthHz()*b.fastest, rate*highestShare/2)))
	topHz, plainTop := c.topHz(), math.Min(rate/2/b.fastest, c.ordersTo())
	var plain []float64
	powers := make([][]float64, len(v.bands))
	for i := range b.starts {
		if err := ctx.Err(); err != nil {
			return view{}, err
		}
		blk, at := c.turnBlock(b, i)
		plain = addPower(plain, b.spectrum(i, at, lowPassed(blk, plainTop*b.fastest), plainTop))
		each(len(v.bands), func(j int) {
			first, last := blk.bins(v.bands[j].LoHz, v.bands[j].HiHz)
			powers[j] = addPower(powers[j], b.spectrum(i, at, level(bandEnvelope(blk.half, first, last, 2)), topHz))
		})
	}
	step := b.refHz / b.turns
	v.plain = newSpectrum(plain, v.blocks, step)
	for _, p := range powers {
		v.spectra = append(v.spectra, newSpectrum(p, v.blocks, step))
	}
	return v, nil
}

// extent is the piece of the recording that a block's transform took, s.
type extent struct{ fromS, lengthS float64 }

// turnBlock transforms the samples of a block, and a few after it: other lengths
// are slow.
func (c Case) turnBlock(b turnBlocks, i int) (block, extent) {
	rate := float64(c.Rate)
	from, to := b.span(i)
	n := smoothUp(int((to - from) * rate))
	if n > len(c.Samples) {
		n = smooth(len(c.Samples))
	}
	first := max(0, min(int(from*rate), len(c.Samples)-n))
	return c.transform(c.Samples[first:], n, rate), extent{float64(first) / rate, float64(n) / rate}
}

// spectrum resamples a signal that spans the extent at equal angles of the
// block, and transforms it up to topHz at the mean speed.
func (b turnBlocks) spectrum(i int, at extent, signal []float64, topHz float64) []float64 {
	m := smoothUp(int(2 * b.turns * topHz / b.refHz * b.fastest / b.slowest))
	signal = bandLimited(signal, topHz*b.fastest*at.lengthS)
	shares := b.times(i, m)
	for j, s := range shares {
		shares[j] = (s - at.fromS) / at.lengthS
	}
	amp := EnvelopeSpectrum(between(signal, shares))
	return amp[:min(len(amp), int(topHz/b.refHz*b.turns)+1)]
}

// bandLimited keeps what makes at most cycles over the signal's length, at four
// samples a cycle or more.
func bandLimited(x []float64, cycles float64) []float64 {
	keep := int(cycles) + 1
	m := min(evenUp(4*keep), evenUp(2*len(x)))
	half := fourier.NewFFT(len(x)).Coefficients(nil, x)
	out := make([]complex128, m/2+1)
	for k := range min(keep, len(half), len(out)-1) {
		out[k] = half[k] / complex(float64(len(x)), 0)
	}
	return fourier.NewFFT(m).Sequence(nil, out)
}

// between gives x at shares of its length, by the cubic through four samples.
func between(x, shares []float64) []float64 {
	n := len(x)
	out := make([]float64, len(shares))
	for j, s := range shares {
		p := math.Max(0, math.Min(s*float64(n), float64(n-1)))
		i := min(int(p), n-2)
		u := p - float64(i)
		a, b, c, d := x[max(i-1, 0)], x[i], x[i+1], x[min(i+2, n-1)]
		// Lagrange at -1, 0, 1, 2.
		out[j] = -a*u*(u-1)*(u-2)/6 + b*(u+1)*(u-1)*(u-2)/2 - c*(u+1)*u*(u-2)/2 + d*(u+1)*u*(u-1)/6
	}
	return out
}

// lowPassed is a block's signal up to topHz.
func lowPassed(b block, topHz float64) []float64 {
	_, last := b.bins(0, topHz)
	last = min(last, len(b.half)-1)
	m := evenUp(4 * (last + 1))
	half := make([]complex128, m/2+1)
	for k := range min(last+1, m/2) {
		half[k] = b.half[k] / complex(float64(b.n), 0)
	}
	return fourier.NewFFT(m).Sequence(nil, half)
}

// evenUp is the smallest even length from n on that transforms fast.
func evenUp(n int) int { return 2 * smoothUp((n+1)/2) }

// level sets what the taper took at both ends of an envelope to its mean.
func level(env []float64) []float64 {
	cut := int(edgeShare * float64(len(env)))
	mean := 0.0
	for _, v := range env[cut : len(env)-cut] {
		mean += v
	}
	mean /= float64(len(env) - 2*cut)
	for i := range cut {
		env[i], env[len(env)-1-i] = mean, mean
	}
	return env
}

func addPower(sum, amp []float64) []float64 {
	if sum == nil {
		sum = make([]float64, len(amp))
	}
	for k := range min(len(sum), len(amp)) {
		sum[k] += amp[k] * amp[k]
	}
	return sum
}
