package noise

import (
	"context"
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Matrix is a picture in numbers: levels over two axes, dB below the loudest.
type Matrix struct {
	Across, Down           []float64
	DB                     [][]float64 // [down][across]; NaN where nothing was recorded
	AcrossName, AcrossUnit string
	DownName, DownUnit     string
	LowDB                  float64 // below it all is background
}

// Spectrogram is level over time and frequency.
func Spectrogram(ctx context.Context, samples []float32, rate, columns, rows int) (Matrix, error) {
	if rate < LowestRate || rate > HighestRate {
		return Matrix{}, wrong("sample rate", "8000 to 96000 samples a second", "%d samples a second", rate)
	}
	columns, rows = max(2, min(columns, 2000)), max(2, min(rows, 1000))
	n := smoothUp(4 * rows)
	if len(samples) < 2*n {
		return Matrix{}, wrong("recording", "more of it", "%d samples are too few for a picture of %d rows", len(samples), rows)
	}
	m := newMatrix(columns, rows)
	m.AcrossName, m.AcrossUnit, m.DownName, m.DownUnit = "time", "s", "frequency", "Hz"
	fft, half := fourier.NewFFT(n), make([]complex128, n/2+1)
	x := make([]float64, n)
	for i := range columns {
		if i%64 == 0 && ctx.Err() != nil {
			return Matrix{}, ctx.Err()
		}
		first := i * (len(samples) - n) / (columns - 1)
		m.Across[i] = (float64(first) + float64(n)/2) / float64(rate)
		for j := range x {
			x[j] = float64(samples[first+j]) * hann(j, n)
		}
		fft.Coefficients(half, x)
		for r := range rows {
			a, b := 1+r*(len(half)-1)/rows, 1+(r+1)*(len(half)-1)/rows
			m.Down[r] = float64(a+b-1) / 2 * float64(rate) / float64(n)
			for _, c := range half[a:b] {
				m.DB[r][i] += real(c)*real(c) + imag(c)*imag(c)
			}
			m.DB[r][i] /= float64(b - a)
		}
	}
	m.toDB()
	return m, nil
}

func hann(i, n int) float64 { return 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n-1)) }

func newMatrix(columns, rows int) Matrix {
	m := Matrix{Across: make([]float64, columns), Down: make([]float64, rows), DB: make([][]float64, rows)}
	for r := range m.DB {
		m.DB[r] = make([]float64, columns)
	}
	return m
}

// toDB turns powers into dB below the loudest, and puts the darkest a little
// below the median.
func (m *Matrix) toDB() {
	const deepest = -120
	loudest := 0.0
	for _, row := range m.DB {
		for _, p := range row {
			if p > loudest { // no NaN is
				loudest = p
			}
		}
	}
	var all []float64
	for _, row := range m.DB {
		for i, p := range row {
			if math.IsNaN(p) {
				continue
			}
			row[i] = deepest
			if loudest > 0 && p > 0 {
				row[i] = math.Max(deepest, 10*math.Log10(p/loudest))
			}
			all = append(all, row[i])
		}
	}
	slices.Sort(all)
	if len(all) > 0 {
		m.LowDB = math.Min(-20, all[len(all)/2]-3)
	}
}

// What a waterfall is made of.
const (
	frameTurns    = 16 // an order is parted to 1/16
	waterfallTop  = 48 // orders
	waterfallRows = 40
	rowShare      = 0.02 // of the fastest speed
)

// Waterfall is the sound's level over shaft order and shaft speed: what belongs
// to the shaft stands upright, what rings or hums by itself leans. The error is
// an [*InputError] where the speed hardly changes.
//
// ref: FYFE_MUNCK_1997 computed order tracking
func Waterfall(ctx context.Context, c Case) (Matrix, error) {
	return waterfall(ctx, c, func(blk block, topHz float64) []float64 { return lowPassed(blk, topHz) })
}

// EnvelopeWaterfall is the same of the envelope, in the most impulsive band.
func EnvelopeWaterfall(ctx context.Context, c Case) (Matrix, error) {
	var band *Band
	return waterfall(ctx, c, func(blk block, _ float64) []float64 {
		if band == nil {
			found := choose(kurtogram(blk, float64(c.Rate), c.widthHz()))
			band = &found[min(1, len(found)-1)]
		}
		first, last := blk.bins(band.LoHz, band.HiHz)
		return level(bandEnvelope(blk.half, first, last, 2))
	})
}

func waterfall(ctx context.Context, c Case, signal func(blk block, topHz float64) []float64) (Matrix, error) {
	if c.Track == nil {
		return Matrix{}, wrong("speed track", "how fast the car went while the recording was made", "none")
	}
	c, err := c.withTrack()
	if err != nil {
		return Matrix{}, err
	}
	if err := c.check(); err != nil {
		return Matrix{}, err
	}
	b := c.turnBlocks()
	low, high := b.track.limits()
	if high-low < steadyShare*high {
		return Matrix{}, wrong("speed track", "a run-up or coast-down", "the speed hardly changes (%.2f to %.2f turns a second)", low, high)
	}
	b.turns, b.starts = frameTurns, nil
	for at := 0.0; at+frameTurns <= b.sum[len(b.sum)-1]; at += frameTurns / 2 {
		b.starts = append(b.starts, at)
	}
	top := math.Min(waterfallTop, highestShare*float64(c.Rate)/high)
	m, count := emptyWaterfall(low, high, top)
	for i := range b.starts {
		if i%16 == 0 && ctx.Err() != nil {
			return Matrix{}, ctx.Err()
		}
		blk, at := c.turnBlock(b, i)
		amp := b.spectrum(i, at, signal(blk, top*b.refHz*b.fastest), top*b.refHz)
		from, to := b.span(i)
		r := min(int((frameTurns/(to-from)-low)/(high-low)*float64(len(m.Down))), len(m.Down)-1)
		count[max(r, 0)]++
		for k := range min(len(m.Across), len(amp)-1) {
			m.DB[max(r, 0)][k] += amp[k+1] * amp[k+1]
		}
	}
	for r, n := range count {
		for k := range m.Across {
			m.DB[r][k] /= float64(n) // no frame: 0/0, which is NaN
		}
	}
	m.toDB()
	return m, nil
}

// emptyWaterfall has its axes, and a count of frames for each row.
func emptyWaterfall(low, high, top float64) (Matrix, []int) {
	rows := max(4, min(int((high-low)/(rowShare*high)), waterfallRows))
	m := newMatrix(int(top*frameTurns), rows)
	m.AcrossName, m.DownName, m.DownUnit = "order", "shaft speed", "Hz"
	for k := range m.Across {
		m.Across[k] = float64(k+1) / frameTurns
	}
	for r := range m.Down {
		m.Down[r] = low + (high-low)*(float64(r)+0.5)/float64(rows)
	}
	return m, make([]int, rows)
}
