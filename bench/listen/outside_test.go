package listen

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// TestAgainstScipy holds filter, window, spectrum and evidence against values
// printed by numpy 1.24.2 and scipy 1.10.1.
func TestAgainstScipy(t *testing.T) {
	d, w := newDecimator(5), hann(2048)
	var cases []outside.Case
	for i, want := range map[int]float64{60: 0.1800037623366916, 55: 0.019127017645488138, 50: -0.01670842548819262, 30: -0.0034310195497317137} {
		cases = append(cases, outside.Case{
			Source: "SCIPY_1_10", Where: "signal.firwin", What: fmt.Sprintf("tap %d of 121, cut-off 0.18 of half the rate, Blackman", i),
			Got: float64(d.taps[i]), Want: want, Tolerance: 1e-7, Why: "taps are kept as 32-bit floats",
		})
	}
	for i, want := range map[int]float64{0: 0, 100: 0.023346979822903013, 1024: 1, 2000: 0.005411745017609604} {
		cases = append(cases, outside.Case{
			Source: "SCIPY_1_10", Where: "signal.windows.hann", What: fmt.Sprintf("point %d of 2048, periodic", i),
			Got: w[i], Want: want, Tolerance: 1e-14, Why: "double precision",
		})
	}
	for _, c := range []struct{ u, r, want float64 }{{2, 6, -0.23162443476959904}, {3, 2, 0.9013877113318904}} {
		cases = append(cases, outside.Case{
			Source: "SCIPY_1_10", Where: "stats.expon", What: fmt.Sprintf("log likelihood ratio of power %g with a tone of %g", c.u, c.r),
			Got: likelier(c.u, c.r), Want: c.want, Tolerance: 1e-12, Why: "double precision",
		})
	}
	outside.Check(t, append(cases, spectrum()...))
}

// spectrum holds the power of two tones.
func spectrum() []outside.Case {
	tr := &track{rate: 8000}
	for k := range 2048 {
		x := float64(k) / 8000
		tr.append(float32(0.3*math.Sin(2*math.Pi*523.7*x+0.4) + 0.05*math.Cos(2*math.Pi*1041*x)))
	}
	l := newLens(8000, frameS)
	l.look(tr, 1024)
	var cases []outside.Case
	for i, want := range map[int]float64{
		133: 0.018218983020759676, 134: 0.08947714150619104, 135: 0.02727908841624768, 266: 0.0018108560149790196, 267: 0.0017916440312503472,
	} {
		cases = append(cases, outside.Case{
			Source: "NUMPY_1_24", Where: "fft.rfft", What: fmt.Sprintf("power in bin %d of 2048, raised-cosine window", i),
			Got: l.power[i], Want: want, Tolerance: 1e-8, Why: "samples are 32-bit floats",
		})
	}
	return cases
}

// TestFloor: the floor of white noise is its mean power, whatever stands out of it.
func TestFloor(t *testing.T) {
	g := newGarage(8000, 60, 8)
	g.room(0.01, 0)
	quiet := levelOf(g, 200)
	g.hum(700, 0.2, 4)
	if loud := levelOf(g, 200); math.Abs(loud-quiet) > 0.5 {
		t.Errorf("the floor went from %.2f to %.2f dB for tones far above it", quiet, loud)
	}
	// 0.01 squared, spread over 1024 bins of one side; the window widens each to 1.5
	if want := 10 * math.Log10(1e-4/1024*1.5*2); math.Abs(quiet-want) > 0.5 {
		t.Errorf("floor %.2f dB, want %.2f", quiet, want)
	}
}

func levelOf(g *garage, frames int) float64 {
	s := g.record()
	tr := &track{rate: 8000}
	for _, v := range s.Mono {
		tr.append(v)
	}
	l := newLens(8000, frameS)
	sum := 0.0
	for i := range frames {
		l.look(tr, 4000+i*1024)
		sum += l.floorAt(600)
	}
	return 10 * math.Log10(sum/float64(frames))
}

// TestDecimator: a tone below the cut-off comes through, one above the new half
// rate does not, and nothing is shifted in time.
func TestDecimator(t *testing.T) {
	through := func(hz float64) (power, lag float64) {
		d, tr := newDecimator(6), &track{rate: 8000}
		in := make([]float32, 48000)
		for i := range in {
			in[i] = float32(math.Sin(2 * math.Pi * hz * float64(i) / 48000))
		}
		for from := 0; from < len(in); from += 777 {
			d.push(in[from:min(len(in), from+777)], tr.append)
		}
		d.finish(tr.append)
		out := make([]float64, 6000)
		tr.copyTo(out, 1000)
		for i, v := range out {
			power += v * v / 6000
			lag = max(lag, math.Abs(v-math.Sin(2*math.Pi*hz*float64(i+1000)/8000)))
		}
		return power, lag
	}
	if p, lag := through(1000); math.Abs(p-0.5) > 1e-3 || lag > 2e-3 {
		t.Errorf("1000 Hz: power %.5f, off by %.5f", p, lag)
	}
	if p, _ := through(5200); p > 1e-6 {
		t.Errorf("5200 Hz comes through with power %g", p)
	}
}

// TestWaysAgainstEveryWay holds the best way against all ways tried one by one.
func TestWaysAgainstEveryWay(t *testing.T) {
	g := newGarage(8000, 1, 2)
	for range 200 {
		const frames, pitches = 6, 2
		e := make([][]float64, frames)
		w := newWays(frames, pitches)
		for f := range e {
			e[f] = []float64{12 * g.dice.NormFloat64(), 12 * g.dice.NormFloat64()}
			w.step(f, e[f])
		}
		want, best := bestOfAll(e)
		out := w.unwind()
		got := make([]int, frames)
		for i := range got {
			got[i] = silence
		}
		for _, p := range out {
			for i, s := range p.shift {
				got[p.from+i] = int(s)
			}
		}
		if value := valueOf(e, got); math.Abs(value-best) > 1e-9 {
			t.Fatalf("way %v is worth %g; %v is worth %g", got, value, want, best)
		}
	}
}

func bestOfAll(e [][]float64) (way []int, best float64) {
	best = math.Inf(-1)
	for n := range int(math.Pow(3, float64(len(e)))) {
		states := make([]int, len(e))
		for i := range states {
			states[i] = n%3 - 1
			n /= 3
		}
		if v := valueOf(e, states); v > best {
			way, best = states, v
		}
	}
	return way, best
}

func valueOf(e [][]float64, states []int) float64 {
	sum, before := 0.0, silence
	for f, s := range states {
		switch {
		case before == silence && s != silence:
			sum -= beginCost
		case before != silence && s == silence:
			sum -= endCost
		case before != silence && s > before:
			sum -= riseCost
		case before != silence && s < before:
			sum -= fallCost
		}
		if s != silence {
			sum += e[f][s]
		}
		before = s
	}
	return sum
}
