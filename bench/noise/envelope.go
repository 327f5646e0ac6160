package noise

import (
	"math"
	"math/cmplx"

	"gonum.org/v1/gonum/dsp/fourier"
)

// smooth gives the largest length up to n that has no factor above 5: the
// Fourier transform of others is slow.
func smooth(n int) int {
	best := 0
	for five := 1; five <= n; five *= 5 {
		for three := five; three <= n; three *= 3 {
			two := three
			for 2*two <= n {
				two *= 2
			}
			best = max(best, two)
		}
	}
	return best
}

// smoothUp gives the smallest such length from n on.
func smoothUp(n int) int {
	best := 1
	for best < n {
		best *= 2
	}
	for five := 1; five < best; five *= 5 {
		for three := five; three < best; three *= 3 {
			two := three
			for two < n {
				two *= 2
			}
			best = min(best, two)
		}
	}
	return best
}

// SquaredEnvelope is the square of the envelope of what x holds from loHz to
// hiHz, by the Hilbert transform with an ideal band: the analytic signal is the
// inverse transform of the positive side alone, twice.
//
// ref: SCIPY_1_10 signal.hilbert
func SquaredEnvelope(x []float64, rate, loHz, hiHz float64) []float64 {
	n := len(x)
	if n == 0 {
		return nil
	}
	half := fourier.NewFFT(n).Coefficients(nil, x)
	full := make([]complex128, n)
	for k := range half {
		if f := float64(k) * rate / float64(n); f >= loHz && f <= hiHz {
			full[k] = half[k]
			if k > 0 && 2*k != n {
				full[k] *= 2
			}
		}
	}
	fourier.NewCmplxFFT(n).Sequence(full, full)
	env := make([]float64, n)
	for i, c := range full {
		a := cmplx.Abs(c) / float64(n)
		env[i] = a * a
	}
	return env
}

// EnvelopeSpectrum is the amplitude spectrum of a squared envelope less its
// mean, under a Hann window, bin k at k rate / n.
//
// ref: SCIPY_1_10 fft.rfft
func EnvelopeSpectrum(env []float64) []float64 {
	n := len(env)
	if n < 4 {
		return nil
	}
	mean := 0.0
	for _, v := range env {
		mean += v
	}
	mean /= float64(n)
	x := make([]float64, n)
	sum := 0.0
	for i, v := range env {
		w := 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n-1))
		x[i] = (v - mean) * w
		sum += w
	}
	c := fourier.NewFFT(n).Coefficients(nil, x)
	amp := make([]float64, len(c))
	for i := range c {
		amp[i] = cmplx.Abs(c[i]) * 2 / sum
	}
	return amp
}

// bandEnvelope is the squared envelope of bins first to last of a transform,
// at a low rate: its spectrum ends at the band's width, so that twice the bins
// are samples enough to hold it, and once the bins for its moments. The step of
// its spectrum is that of the transform.
func bandEnvelope(half []complex128, first, last, times int) []float64 {
	first, last = max(first, 1), min(last, len(half)-1)
	count := last - first + 1
	if count < 2 {
		return nil
	}
	m := smoothUp(times * count)
	z := make([]complex128, m)
	copy(z, half[first:last+1])
	fourier.NewCmplxFFT(m).Sequence(z, z)
	env := make([]float64, m)
	for i, c := range z {
		env[i] = real(c)*real(c) + imag(c)*imag(c)
	}
	return env
}
