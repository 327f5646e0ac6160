package listen

import (
	"math"
	"sync"

	"gonum.org/v1/gonum/dsp/fourier"
)

// The frequencies listened to, and the step of their logarithmic grid: a tone of
// a motor that slows by a share moves by as many steps wherever it lies.
const (
	lowestHz  = 100.0
	highestHz = 3600.0
	step      = 0.005 // natural logarithm
)

// A frame lasts near a quarter of a second: long enough to part the tones of a
// comb, short enough for its pitch to stand still.
const frameS = 0.25

// overlap is the frames that one instant falls into.
const overlap = 4

// sonogram is the power of a recording by frame and frequency, each held against
// the noise about it: decibels above the floor in quarter steps, and the floor.
type sonogram struct {
	frames, bins int
	hopS         float64
	level        []uint8 // frames x bins, see levelCode
	floor        []uint8 // frames x bands, whole decibels above -180
	bands        int
	bandOf       []int // of each bin
	cells        []cell
	hop          int // samples
	lenses       []*lens
	left         func() bool // nobody waits any more: what is begun may be left undone
}

// heedEvery is the frames after which a long loop sees whether anybody still waits.
const heedEvery = 1 << 8

// cell is one step of the grid, in linear bins.
type cell struct{ low, mid, high float64 }

const (
	zeroLevel = 48 // code of 0 dB
	zeroFloor = 180
)

func levelCode(db float64) uint8 { return uint8(min(255, max(0, math.Round(4*db)+zeroLevel))) }

func levelDB(code uint8) float64 { return (float64(code) - zeroLevel) / 4 }

func binHz(bin float64) float64 { return lowestHz * math.Exp(step*bin) }

func (s *sonogram) row(frame int) []uint8 { return s.level[frame*s.bins : (frame+1)*s.bins] }

func (s *sonogram) floorDB(frame, bin int) float64 {
	return float64(s.floor[frame*s.bands+s.bandOf[bin]]) - zeroFloor
}

// timeS is the middle of a frame.
func (s *sonogram) timeS(frame int) float64 { return float64(frame) * s.hopS }

// lens turns one frame of samples into one row.
type lens struct {
	n       int
	window  []float64
	fft     *fourier.FFT
	samples []float64
	coeff   []complex128
	power   []float64
	floor   []float64 // by band of linear bins
	scratch []float64
	binHz   float64
	norm    float64
}

// bandBins is the linear bins over which the floor is taken.
const bandBins = 32

func newLens(rate, lasts float64) *lens {
	n := 1 << int(math.Round(math.Log2(lasts*rate)))
	l := &lens{n: n, fft: fourier.NewFFT(n), samples: make([]float64, n), binHz: rate / float64(n)}
	l.window = hann(n)
	sum := 0.0
	for _, w := range l.window {
		sum += w
	}
	l.norm = 4 / (sum * sum)
	l.coeff = make([]complex128, n/2+1)
	l.power = make([]float64, n/2+1)
	l.floor = make([]float64, n/2/(bandBins/2)-1)
	l.scratch = make([]float64, bandBins)
	return l
}

// hann is the periodic raised-cosine window.
//
// ref: SCIPY_1_10 signal.windows.hann
func hann(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 0.5 - 0.5*math.Cos(2*math.Pi*float64(i)/float64(n))
	}
	return w
}

// look works out power and floor of the samples about a place.
func (l *lens) look(t *track, middle int) {
	t.copyTo(l.samples, middle-l.n/2)
	for i := range l.samples {
		l.samples[i] *= l.window[i]
	}
	l.fft.Coefficients(l.coeff, l.samples)
	for i, c := range l.coeff {
		l.power[i] = l.norm * (real(c)*real(c) + imag(c)*imag(c))
	}
	half := bandBins / 2
	insertionSort(l.fill(l.scratch[:half], 0))
	for b := range l.floor {
		low, high := l.scratch[:half], l.scratch[half:]
		if b%2 == 1 {
			low, high = high, low
		}
		insertionSort(l.fill(high, (b+1)*half))
		// the median of noise lies ln 2 below its mean
		l.floor[b] = max(1e-18, middleOf(low, high)/math.Ln2)
	}
}

func (l *lens) fill(out []float64, from int) []float64 {
	copy(out, l.power[from:])
	return out
}

// insertionSort is the quickest for so few.
func insertionSort(v []float64) {
	for i := 1; i < len(v); i++ {
		x, j := v[i], i
		for ; j > 0 && v[j-1] > x; j-- {
			v[j] = v[j-1]
		}
		v[j] = x
	}
}

// middleOf is the median of two sorted lists of one length together.
func middleOf(a, b []float64) float64 {
	i, j, last, x := 0, 0, 0.0, 0.0
	for range len(a) + 1 {
		last = x
		if j == len(b) || i < len(a) && a[i] <= b[j] {
			x = a[i]
			i++
		} else {
			x = b[j]
			j++
		}
	}
	return (last + x) / 2
}

// floorAt is the floor at a linear bin, drawn straight between the bands' middles.
func (l *lens) floorAt(x float64) float64 {
	at := x/(bandBins/2) - 1
	i := min(len(l.floor)-2, max(0, int(at)))
	share := min(1, max(0, at-float64(i)))
	return l.floor[i]*(1-share) + l.floor[i+1]*share
}

// powerAt is the mean power over a step of the grid; where the grid is finer than
// the linear bins, drawn straight between them.
func (l *lens) powerAt(low, high float64) float64 {
	first, last := int(math.Ceil(low)), int(math.Floor(high))
	if last <= first {
		x := (low + high) / 2
		i := int(x)
		return l.power[i]*(1-(x-float64(i))) + l.power[i+1]*(x-float64(i))
	}
	sum := 0.0
	for i := first; i <= last; i++ {
		sum += l.power[i]
	}
	return sum / float64(last-first+1)
}

// newSonogram makes ready for a track of a rate.
func newSonogram(rate float64) *sonogram {
	s := &sonogram{}
	for range workers {
		s.lenses = append(s.lenses, newLens(rate, frameS))
	}
	l := s.lenses[0]
	s.hop = l.n / overlap
	s.hopS = float64(s.hop) / rate
	s.bands = len(l.floor)
	s.bins = int(math.Log(min(highestHz, 0.44*rate)/lowestHz) / step)
	for b := range s.bins {
		at := func(bin float64) float64 { return binHz(bin) / l.binHz }
		c := cell{at(float64(b) - 0.5), at(float64(b)), at(float64(b) + 0.5)}
		s.cells = append(s.cells, c)
		s.bandOf = append(s.bandOf, min(s.bands-1, max(0, int(math.Round(c.mid/(bandBins/2)-1)))))
	}
	return s
}

const (
	// workers share the frames out among them; each frame is worked out alike
	// whoever does it.
	workers = 4
	// atOnce is the frames worked out at once.
	atOnce = 256
)

// extend works out the frames that a track has grown by: whole sets of them, or
// with the last all that are left.
func (s *sonogram) extend(t *track, last bool) {
	ready := (t.n-s.lenses[0].n/2)/s.hop + 1
	if last {
		ready = t.n/s.hop + 1
	}
	if ready < s.frames+atOnce && !last {
		return
	}
	first := s.frames
	s.frames = ready
	s.level = append(s.level, make([]uint8, (ready-first)*s.bins)...)
	s.floor = append(s.floor, make([]uint8, (ready-first)*s.bands)...)
	var crew sync.WaitGroup
	for k, l := range s.lenses {
		crew.Go(func() {
			for f := first + k; f < ready; f += workers {
				l.look(t, f*s.hop)
				s.write(f, l)
			}
		})
	}
	crew.Wait()
}

// write holds one look against its floor.
func (s *sonogram) write(frame int, l *lens) {
	row := s.row(frame)
	for b, c := range s.cells {
		row[b] = levelCode(10 * math.Log10(l.powerAt(c.low, c.high)/l.floorAt(c.mid)+1e-9))
	}
	for i, p := range l.floor {
		s.floor[frame*s.bands+i] = uint8(min(255, max(0, math.Round(10*math.Log10(p)+zeroFloor))))
	}
}

// steadyS is the time over which what always sounds - hum of the mains, a fan -
// is taken as the floor.
const steadyS = 180

// quietSteady takes tones that last for minutes out of the levels: what the
// median over time shows above noise is subtracted.
func (s *sonogram) quietSteady() {
	per := max(1, int(steadyS/s.hopS))
	blocks := max(1, (s.frames+per/2)/per)
	median := levelDB(levelCode(10 * math.Log10(math.Ln2)))
	var counts [256]int
	for k := range blocks {
		if s.left() {
			return
		}
		from, to := k*s.frames/blocks, (k+1)*s.frames/blocks
		for b := range s.bins {
			clear(counts[:])
			for f := from; f < to; f++ {
				counts[s.level[f*s.bins+b]]++
			}
			excess := int(4 * (levelDB(middle(&counts, to-from)) - median))
			if excess <= 2 {
				continue
			}
			for f := from; f < to; f++ {
				v := &s.level[f*s.bins+b]
				*v = uint8(max(0, int(*v)-excess))
			}
		}
	}
}

func middle(counts *[256]int, n int) uint8 {
	below := 0
	for code, c := range counts {
		if below += c; 2*below >= n {
			return uint8(code)
		}
	}
	return 255
}
