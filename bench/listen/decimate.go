package listen

import "math"

// workingRate is the lowest rate that a recording is brought down to: a pump's
// tones lie below half of it.
const workingRate = 8000

// decimator keeps one sample in factor after a low-pass filter.
type decimator struct {
	factor int
	taps   []float32
	held   []float32 // samples not yet used up
}

// newDecimator designs the filter: a sinc windowed by Blackman's window, cut off
// at 0.45 of the new rate.
//
// ref: SCIPY_1_10 signal.firwin
func newDecimator(factor int) *decimator {
	d := &decimator{factor: factor}
	if factor == 1 {
		d.taps = []float32{1}
		return d
	}
	half := 12 * factor
	cut := 0.45 / float64(factor) // cycles a sample
	taps, sum := make([]float64, 2*half+1), 0.0
	for i := range taps {
		x := float64(i - half)
		w := 0.42 + 0.5*math.Cos(math.Pi*x/float64(half)) + 0.08*math.Cos(2*math.Pi*x/float64(half))
		taps[i] = w * sinc(2*cut*x)
		sum += taps[i]
	}
	for _, v := range taps {
		d.taps = append(d.taps, float32(v/sum))
	}
	d.held = make([]float32, half, 1<<15)
	return d
}

// push takes samples and emits those that can be worked out.
func (d *decimator) push(block []float32, emit func(float32)) {
	if d.factor == 1 {
		for _, v := range block {
			emit(v)
		}
		return
	}
	d.held = append(d.held, block...)
	at := 0
	for ; at+len(d.taps) <= len(d.held); at += d.factor {
		emit(dot(d.taps, d.held[at:at+len(d.taps)]))
	}
	d.held = d.held[:copy(d.held, d.held[at:])]
}

// finish emits what only silence behind the end brings out.
func (d *decimator) finish(emit func(float32)) {
	if d.factor > 1 {
		d.push(make([]float32, len(d.taps)/2), emit)
	}
}

func dot(a, b []float32) float32 {
	var s0, s1, s2, s3 float32
	b = b[:len(a)]
	i := 0
	for ; i+4 <= len(a); i += 4 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
		s2 += a[i+2] * b[i+2]
		s3 += a[i+3] * b[i+3]
	}
	for ; i < len(a); i++ {
		s0 += a[i] * b[i]
	}
	return s0 + s1 + s2 + s3
}

func sinc(x float64) float64 {
	if x == 0 {
		return 1
	}
	return math.Sin(math.Pi*x) / (math.Pi * x)
}
