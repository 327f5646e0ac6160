package noise

import (
	"fmt"
	"math"
	"testing"

	"wreckwright/outside"
)

// TestDefectFrequenciesAsPublished: multiples of the shaft speed.
func TestDefectFrequenciesAsPublished(t *testing.T) {
	d, f := driveEnd.Turning(1, 0), fanEnd.Turning(1, 0)
	nice := Geometry{Elements: 8, ElementDia: 0.235, PitchDia: 1.245}.Turning(25, 0)
	const printed, stored = "printed to 4 or 5 figures", "stored to 5 figures"
	outside.Check(t, []outside.Case{
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6205 inner race, orders", Got: d.BPFI, Want: 5.4152, Tolerance: 1e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6205 outer race, orders", Got: d.BPFO, Want: 3.5848, Tolerance: 1e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6205 cage, orders", Got: d.FTF, Want: 0.39828, Tolerance: 1e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6205 rolling element, twice its spin, orders", Got: 2 * d.BSF, Want: 4.7135, Tolerance: 2e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6203 inner race, orders", Got: f.BPFI, Want: 4.9469, Tolerance: 1e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6203 outer race, orders", Got: f.BPFO, Want: 3.0530, Tolerance: 2e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6203 cage, orders", Got: f.FTF, Want: 0.3817, Tolerance: 1e-4, Why: printed},
		{Source: "CWRU_BEARINGS", Where: "table of defect frequencies", What: "6203 rolling element, twice its spin, orders", Got: 2 * f.BSF, Want: 3.9874, Tolerance: 4e-4, Why: "printed 3.9874, which its own inputs give as 3.9877"},
		{Source: "MFPT_BEARINGS", Where: "BPFO and BPFI in the files", What: "outer race at 25 Hz, Hz", Got: nice.BPFO, Want: 81.125, Tolerance: 1e-3, Why: stored},
		{Source: "MFPT_BEARINGS", Where: "BPFO and BPFI in the files", What: "inner race at 25 Hz, Hz", Got: nice.BPFI, Want: 118.875, Tolerance: 1e-3, Why: stored},
		{Source: "RANDALL_ANTONI_2011", Where: "defect frequencies", What: "6205 at 1797 rpm, outer race as published, Hz", Got: driveEnd.Turning(29.95, 0).BPFO, Want: 107.364, Tolerance: 1e-3, Why: "printed to 6 figures"},
	})
}

// TestRotatingRings: the identities hold whichever ring turns.
func TestRotatingRings(t *testing.T) {
	hub := Geometry{Elements: 14, ElementDia: 12.7, PitchDia: 60, AngleDeg: 36}
	for _, turn := range [][2]float64{{14.358, 0}, {0, 14.358}, {14, 3}, {5, -5}} {
		f := hub.Turning(turn[0], turn[1])
		apart := math.Abs(turn[0] - turn[1])
		if got := f.BPFO + f.BPFI; math.Abs(got-14*apart) > 1e-9 {
			t.Errorf("%v: BPFO + BPFI = %g, want n |fi - fo| = %g", turn, got, 14*apart)
		}
	}
	if f := hub.Turning(14.358, 0); math.Abs(f.BPFO-14*f.FTF) > 1e-9 {
		t.Errorf("outer ring standing: BPFO %g, want n FTF %g", f.BPFO, 14*f.FTF)
	}
}

// TestEnvelopeAgainstSciPy holds the values of testdata/scipy_envelope.py.
func TestEnvelopeAgainstSciPy(t *testing.T) {
	const rate, n = 8000.0, 4000
	x := make([]float64, n)
	for i := range x {
		s := float64(i) / rate
		x[i] = (1+0.5*math.Cos(2*math.Pi*83.3*s))*math.Cos(2*math.Pi*1510.7*s) + 0.4*math.Sin(2*math.Pi*1722.2*s) +
			0.1*math.Cos(0.37*float64(i)*float64(i)/n) + 2*math.Cos(2*math.Pi*410*s)
	}
	env := SquaredEnvelope(x, rate, 1000, 2000)
	amp := EnvelopeSpectrum(env)
	var cases []outside.Case
	const why = "asked to 1e-6, printed to 12 figures"
	for k, want := range map[int]float64{0: 0.956119494424, 1: 1.50434884632, 777: 1.88381555174, 2000: 0.971217519178, 3333: 1.36093874707, 3999: 0.506151060954} {
		cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "signal.hilbert", What: fmt.Sprintf("squared envelope, sample %d", k), Got: env[k], Want: want, Tolerance: 1e-6, Why: why})
	}
	for k, want := range map[int]float64{0: 0.00221278303825, 41: 0.755664872183, 42: 0.923490532966, 64: 0.198692589811, 105: 0.548874935724, 106: 0.768282911326, 147: 0.180206594254} {
		cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "fft.rfft", What: fmt.Sprintf("envelope spectrum, bin %d", k), Got: amp[k], Want: want, Tolerance: 1e-6, Why: why})
	}
	cases = append(cases, outside.Case{Source: "SCIPY_1_10", Where: "fft.rfft", What: "spectral kurtosis of the envelope", Got: SpectralKurtosis(env), Want: -0.46957926334, Tolerance: 1e-6, Why: why})
	outside.Check(t, cases)
}

// TestSpectralKurtosisAsDefined: 0 for Gaussian noise, -1 for a tone.
func TestSpectralKurtosisAsDefined(t *testing.T) {
	x := gaussian(1, 1<<16)
	tone := make([]float64, 1<<12)
	for i := range tone {
		tone[i] = 3
	}
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = float64(v)
	}
	steady := SpectralKurtosis(SquaredEnvelope(y, 8000, 1000, 3000))
	outside.Check(t, []outside.Case{
		{Source: "ANTONI_2006", Where: "spectral kurtosis", What: "of Gaussian noise", Got: steady, Want: 0, Tolerance: 0.1, Why: "4 standard errors, near 2/sqrt of 32768 independent values x 2"},
		{Source: "ANTONI_2006", Where: "spectral kurtosis", What: "of a tone", Got: SpectralKurtosis(tone), Want: -1, Tolerance: 1e-12, Why: "exact"},
	})
}

// TestTreeOfBands: halves and thirds, each level covering the whole.
func TestTreeOfBands(t *testing.T) {
	b := transform(gaussian(2, 24000), 24000, 12000)
	var cases []outside.Case
	count := map[int]int{}
	for _, band := range kurtogram(b, 12000, 500) {
		count[int(math.Round((12000*highestShare-lowestHz)/(band.HiHz-band.LoHz)))]++
	}
	for parts, want := range map[int]float64{1: 1, 2: 2, 3: 3, 4: 4, 6: 6, 8: 8, 12: 0} {
		cases = append(cases, outside.Case{Source: "ANTONI_2007", Where: "tree of bands", What: fmt.Sprintf("bands that are 1/%d wide", parts), Got: float64(count[parts]), Want: want, Tolerance: 0, Why: "a count; the last would be narrower than asked"})
	}
	outside.Check(t, cases)
}

// TestRollingCircumference: sizes as worked from the convention, and the turns a
// second at 5 mph that are published for two of them.
func TestRollingCircumference(t *testing.T) {
	var cases []outside.Case
	for size, want := range map[string]float64{"205/55 R16": 1.9273, "225/45R17": 1.9346, "255/40R19": 2.0941, "265/35 ZR20": 2.1152, "P235/75R15": 2.2372} {
		tyre, err := ParseTyre(size)
		if err != nil {
			t.Fatal(err)
		}
		cases = append(cases, outside.Case{Source: "ETRTO_MANUAL", Where: "rolling circumference", What: size + ", m", Got: tyre.RollingM, Want: want, Tolerance: 1e-4, Why: "worked to 0.1 mm"})
	}
	outside.Check(t, cases)
	if tyre, _ := ParseTyre("225/45R17"); math.Abs(WheelHz(100, tyre.RollingRadiusMm())-14.358) > 1e-3 {
		t.Errorf("225/45R17 at 100 km/h: %g turns a second, want 14.358", WheelHz(100, tyre.RollingRadiusMm()))
	}
}
