package listen

import (
	"math"
	"slices"
)

// tone is one line of a machine's sound.
type tone struct {
	bin     int     // at the signature's own pitch
	worth   float64 // evidence a frame that it adds, nats
	levelDB float64 // its power, dB of full scale
}

// signature is the sound of one machine: its tones at one pitch. All of them move
// by the same steps when it slows.
type signature []tone

// span is one stretch in which a machine sounds, with how far its pitch lies from
// the signature's by frame, in steps.
type span struct {
	from, to int
	shift    []int16
	weight   float64 // evidence for it, nats
	fit      float64 // its evidence as a share of what all tones together would give
	heard    float64 // share of the frames that speak for it, of those that speak at all
}

const (
	mostTones  = 12
	leastWorth = 0.12 // nats a frame
	beside     = 60   // frames either side that a span is held against
)

// learn takes the tones out of the stretches in which a machine sounds: what the
// frames have in common when their pitch is laid one on the other, over what the
// frames before and after have.
func (s *sonogram) learn(spans []span) signature {
	var table [256]float64
	for c := range table {
		table[c] = evidence(uint8(c), likelyRise)
	}
	on, off := make([]float64, s.bins), make([]float64, s.bins)
	onN, offN := make([]float64, s.bins), make([]float64, s.bins)
	sounding := make([]bool, s.frames)
	for _, p := range spans {
		for f := p.from; f <= p.to; f++ {
			sounding[f] = true
		}
	}
	for _, p := range spans {
		for f := p.from; f <= p.to; f++ {
			s.gather(on, onN, &table, f, int(p.shift[f-p.from]))
		}
		for i := 2 * overlap; i < beside; i++ {
			if f := p.from - i; f >= 0 && !sounding[f] {
				s.gather(off, offN, &table, f, int(p.shift[0]))
			}
			if f := p.to + i; f < s.frames && !sounding[f] {
				s.gather(off, offN, &table, f, int(p.shift[len(p.shift)-1]))
			}
		}
	}
	return s.pickTones(spans, on, onN, off, offN)
}

func (s *sonogram) gather(sum, n []float64, table *[256]float64, frame, shift int) {
	row := s.row(frame)
	for b := max(0, -shift); b < min(s.bins, s.bins-shift); b++ {
		sum[b] += table[row[b+shift]]
		n[b]++
	}
}

// pickTones takes the lines that stand out.
func (s *sonogram) pickTones(spans []span, on, onN, off, offN []float64) signature {
	worth := make([]float64, s.bins)
	for b := range worth {
		if onN[b] == 0 {
			continue
		}
		worth[b] = on[b] / onN[b]
		if offN[b] > 0 {
			worth[b] = min(worth[b], on[b]/onN[b]-max(-0.5, off[b]/offN[b]))
		}
	}
	var sig signature
	for len(sig) < mostTones {
		best := 0
		for b := range worth {
			if worth[b] > worth[best] {
				best = b
			}
		}
		if worth[best] < leastWorth {
			break
		}
		sig = append(sig, tone{best, worth[best], s.toneLevel(spans, best)})
		wide := flank(best, s.hopS) + 1
		for b := max(0, best-wide); b <= min(s.bins-1, best+wide); b++ {
			worth[b] = 0
		}
	}
	return sig
}

// toneLevel is the median power of one line.
func (s *sonogram) toneLevel(spans []span, bin int) float64 {
	var all []float64
	for _, p := range spans {
		for f := p.from; f <= p.to; f++ {
			if b := bin + int(p.shift[f-p.from]); b >= 0 && b < s.bins {
				all = append(all, s.floorDB(f, b)+levelDB(s.row(f)[b]))
			}
		}
	}
	if len(all) == 0 {
		return math.Inf(-1)
	}
	slices.Sort(all)
	return all[len(all)/2]
}
