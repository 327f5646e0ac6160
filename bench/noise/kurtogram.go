package noise

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/dsp/fourier"
)

// Band is a part of the spectrum and how impulsive it is.
type Band struct {
	LoHz     float64 `json:"lo_hz"`
	HiHz     float64 `json:"hi_hz"`
	Kurtosis float64 `json:"spectral_kurtosis"` // 0 for steady noise
	Energy   float64 `json:"-"`                 // share of the whole
}

// Where bands may lie. Below lowestHz road, mains and shaft are louder than any
// ringing; near half the sample rate the recorder's own filter ends all.
const (
	lowestHz     = 300
	highestShare = 0.46
	narrowestHz  = 500
	energyFloor  = 1e-4
	edgeShare    = 0.04 // of a band's output left out at each end
)

// block is one stretch of the recording, transformed.
type block struct {
	half []complex128
	step float64 // Hz a bin
	n    int     // samples
}

// transform cuts x into blocks of n samples, tapers their ends and transforms.
func transform(x []float32, n int, rate float64) block {
	mean := 0.0
	for _, v := range x[:n] {
		mean += float64(v)
	}
	mean /= float64(n)
	y := make([]float64, n)
	edge := n / 20
	for i := range y {
		y[i] = float64(x[i]) - mean
		if d := min(i, n-1-i); d < edge {
			y[i] *= 0.5 - 0.5*math.Cos(math.Pi*(float64(d)+0.5)/float64(edge))
		}
	}
	return block{half: fourier.NewFFT(n).Coefficients(nil, y), step: rate / float64(n), n: n}
}

func (b block) bins(lo, hi float64) (int, int) {
	return int(math.Ceil(lo / b.step)), int(math.Floor(hi / b.step))
}

// kurtogram gives every band of the tree of halves and thirds that is at least
// widthHz wide, with its kurtosis.
//
// ref: ANTONI_2007 tree of bands
func kurtogram(b block, rate, widthHz float64) []Band {
	lo, hi := float64(lowestHz), rate*highestShare
	if hi-lo < widthHz {
		lo = math.Max(b.step, hi-widthHz)
	}
	total := energy(b, lo, hi)
	var bands []Band
	for _, parts := range [...]int{1, 2, 3, 4, 6, 8, 12, 16, 24, 32, 48, 64} {
		width := (hi - lo) / float64(parts)
		if parts > 1 && width < widthHz {
			break
		}
		for i := range parts {
			band := Band{LoHz: lo + float64(i)*width, HiHz: lo + float64(i+1)*width}
			band.Energy = energy(b, band.LoHz, band.HiHz) / math.Max(total, math.SmallestNonzeroFloat64)
			if band.Energy < energyFloor && parts > 1 { // of a silent block the whole is kept
				continue
			}
			bands = append(bands, band)
		}
	}
	each(len(bands), func(i int) {
		first, last := b.bins(bands[i].LoHz, bands[i].HiHz)
		bands[i].Kurtosis = impulsive(bandEnvelope(b.half, first, last, 1))
	})
	return bands
}

func energy(b block, lo, hi float64) float64 {
	first, last := b.bins(lo, hi)
	sum := 0.0
	for k := max(first, 0); k <= last && k < len(b.half); k++ {
		sum += real(b.half[k])*real(b.half[k]) + imag(b.half[k])*imag(b.half[k])
	}
	return sum
}

// impulsive is the spectral kurtosis of a band: the median over eight parts of
// its squared envelope, since one knock fills one part only.
//
// ref: ANTONI_2006 spectral kurtosis
func impulsive(env []float64) float64 {
	cut := int(edgeShare * float64(len(env)))
	env = env[cut : len(env)-cut]
	const parts = 8
	size := len(env) / parts
	if size < 2 {
		return 0
	}
	values := make([]float64, 0, parts)
	for p := range parts {
		values = append(values, SpectralKurtosis(env[p*size:(p+1)*size]))
	}
	slices.Sort(values)
	return (values[parts/2-1] + values[parts/2]) / 2
}

// SpectralKurtosis is the fourth moment of a band over the square of its
// second, less 2, of a squared envelope: 0 for Gaussian noise, -1 for a tone.
func SpectralKurtosis(env []float64) float64 {
	second, fourth := 0.0, 0.0
	for _, e := range env {
		second += e
		fourth += e * e
	}
	if second == 0 {
		return 0
	}
	return fourth*float64(len(env))/(second*second) - 2
}

// mostBands are looked into; the widest is always among them.
const mostBands = 8

// choose gives the bands to look into: the whole, and the most impulsive of
// the others.
func choose(bands []Band) []Band {
	if len(bands) < 2 {
		return bands
	}
	rest := slices.Clone(bands[1:])
	slices.SortStableFunc(rest, func(a, b Band) int {
		switch {
		case a.Kurtosis > b.Kurtosis:
			return -1
		case a.Kurtosis < b.Kurtosis:
			return 1
		}
		return 0
	})
	return append([]Band{bands[0]}, rest[:min(len(rest), mostBands-1)]...)
}
