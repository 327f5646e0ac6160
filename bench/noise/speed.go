package noise

import "math"

// How far about the stated speed the shaft's own is looked for.
const heardWithin = 0.1

// heard is the shaft speed out of the recording.
type heard struct {
	hz       float64
	strength float64 // sum of bounded logs of the harmonics' ratios
	clear    bool
}

// What makes a heard speed clear: Gaussian noise reaches it in fewer than 1 in
// 100 recordings (calibrate_test.go).
const (
	clearStrength = 9.0
	clearLine     = 4.0
	mostLog       = 4.0
	combLines     = 5
)

// hearSpeed looks for the comb of shaft harmonics in each spectrum. The first
// must stand out, and the second or third: multiples of a bearing's line alone
// make no shaft.
//
// ref: DESIGN_NOISE
func hearSpeed(spectra []spectrum, stated float64) heard {
	var best heard
	for _, s := range spectra {
		step := s.step / (2 * combLines)
		for f := stated * (1 - heardWithin); f <= stated*(1+heardWithin); f += step {
			if h := comb(s, f); h.clear && h.strength > best.strength {
				best = h
			}
		}
	}
	if best.clear {
		return best
	}
	return heard{}
}

func comb(s spectrum, f float64) heard {
	var ratio [combLines]float64
	total := 0.0
	for k := range ratio {
		ratio[k] = at(s, f*float64(k+1))
		total += math.Min(math.Log(math.Max(ratio[k], 0.5)), mostLog)
	}
	clear := total >= clearStrength && ratio[0] >= clearLine && math.Max(ratio[1], ratio[2]) >= clearLine
	return heard{hz: f, strength: total, clear: clear}
}

// at is the ratio at f, between two bins.
func at(s spectrum, f float64) float64 {
	x := f / s.step
	k := int(x)
	if k < 1 || k+1 >= len(s.amp) {
		return 0
	}
	share := x - float64(k)
	return (s.amp[k]*(1-share) + s.amp[k+1]*share) / math.Max(s.noise(f), math.SmallestNonzeroFloat64)
}
