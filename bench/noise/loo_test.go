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
	wrong  bool // the strongest part is not the damaged one
	firm   float64
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
			r, err := Examine(context.Background(), c)
			if err != nil {
				t.Fatal(err)
			}
			all = append(all, observation{m.name, r.Defect.Part != m.must, firmness(r.Defect.Strength, r.Defect.Margin)})
		}
	}
	right, missed, condemned, lowest, highest := 0, 0, 0, math.Inf(1), 0.0
	for _, left := range measured {
		threshold := 0.0
		for _, o := range all {
			if o.record != left.name && o.wrong {
				threshold = max(threshold, clearance*o.firm)
			}
		}
		lowest, highest = min(lowest, threshold), max(highest, threshold)
		for _, o := range all {
			switch {
			case o.record != left.name:
			case o.wrong && o.firm >= threshold:
				condemned++
				t.Errorf("%s: a wrong part is %.2f firm, the others alone allow %.2f", o.record, o.firm, threshold)
			case !o.wrong && o.firm >= threshold:
				right++
			case !o.wrong:
				missed++
			}
		}
	}
	t.Logf("%d pieces of %d records: threshold out of the others %.2f to %.2f of the one in use; %d right, %d right but not firm, %d condemned by a wrong part", len(all), len(measured), lowest, highest, right, missed, condemned)
	if highest > 1 {
		t.Errorf("the others alone ask for a threshold %.2f times the one in use", highest)
	}
}
