package noise

import (
	"context"
	"math"
	"os"
	"testing"
)

// firmness is by how much the thresholds of a verdict are passed: at 1 they are
// met.
func firmness(strength, margin float64) float64 {
	return max(min(strength/firmStrength, margin/firmMargin), min(strength/fairStrength, margin/fairMargin))
}

// observation is what one piece of a measured record gives.
type observation struct {
	record string
	part   string
	second bool // of the evened-out recording
	wrong  bool // the strongest part is not the damaged one
	firm   float64
}

// twoLooks are the plain and the evened-out look at a case.
func twoLooks(t *testing.T, c Case) []observation {
	t.Helper()
	c.SpeedDoubt = TachoDoubt
	v, err := c.look(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	said := hearSpeed(append([]spectrum{v.plain}, v.spectra...), c.ShaftHz)
	first := c.judge(v, said)
	c.second = true
	again, err := c.look(context.Background())
	if err != nil {
		t.Fatal(err)
	}
	again.plain = v.plain
	second := c.judge(again, said)
	return []observation{
		{part: first.Defect.Part, firm: firmness(first.Defect.Strength, first.Defect.Margin)},
		{part: second.Defect.Part, second: true, firm: min(second.Defect.Strength/evenStrength, second.Defect.Margin/evenMargin)},
	}
}

// TestLeaveOneOut: the thresholds were set looking at the measured records. So
// each record is left out in turn, and the threshold set anew from the others
// alone, half as much again as the firmest wrong part among them: the record left out
// must not be condemned by a wrong part. It takes minutes, and runs where
// WRECKWRIGHT_NOISE_LONG is set.
func TestLeaveOneOut(t *testing.T) {
	dir := recordsAt(t)
	if os.Getenv("WRECKWRIGHT_NOISE_LONG") == "" {
		t.Skip("WRECKWRIGHT_NOISE_LONG is not set: the records were not left out one by one")
	}
	const clearance = 1.5
	var all []observation
	for _, m := range measured {
		whole := recordCase(t, dir, m.name, m.rpm)
		size := 3 * whole.Rate
		if float64(size) < NeededS(whole.ShaftHz)*float64(whole.Rate) {
			size = len(whole.Samples)
		}
		pieces := []Case{whole}
		for at := 0; at+size <= len(whole.Samples); at += size {
			p := whole
			p.Samples = whole.Samples[at : at+size]
			pieces = append(pieces, p)
		}
		for _, c := range pieces {
			for _, look := range twoLooks(t, c) {
				look.record, look.wrong = m.name, look.part != m.must
				all = append(all, look)
			}
		}
	}
	for _, second := range []bool{false, true} {
		leaveOut(t, all, second, clearance)
	}
}

func leaveOut(t *testing.T, all []observation, second bool, clearance float64) {
	t.Helper()
	right, missed, condemned, lowest, highest := 0, 0, 0, math.Inf(1), 0.0
	for _, left := range measured {
		threshold := 0.0
		for _, o := range all {
			if o.second == second && o.record != left.name && o.wrong {
				threshold = max(threshold, clearance*o.firm)
			}
		}
		lowest, highest = min(lowest, threshold), max(highest, threshold)
		for _, o := range all {
			switch {
			case o.second != second || o.record != left.name:
			case o.wrong && o.firm >= threshold:
				condemned++
				t.Errorf("%s: a wrong part is %.2f firm, the others alone allow %.2f (second look %v)", o.record, o.firm, threshold, second)
			case !o.wrong && o.firm >= threshold:
				right++
			case !o.wrong:
				missed++
			}
		}
	}
	t.Logf("second look %v: threshold out of the others %.2f to %.2f of the one in use; %d pieces right, %d right but not firm, %d condemned by a wrong part", second, lowest, highest, right, missed, condemned)
	if highest > 1 {
		t.Errorf("the others alone ask for a threshold %.2f times the one in use (second look %v)", highest, second)
	}
}
