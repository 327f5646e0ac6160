package listen

import (
	"math"
	"slices"
)

// What a pump's run is like, as far as it tells it from speech and music: own
// estimates, wide enough for every pump that was thought of.
const (
	shortS      = 3.0   // runs much shorter count little
	sagOfAll    = 0.015 // share of its pitch that a pump loses over a run; a held note loses none
	flatCounts  = 0.3   // how much a run counts that does not sag
	riseOfRun   = 0.01  // share of its pitch that a run may gain, by misreading
	steadyFrom  = 0.7   // share of its frames in which a machine that counts is heard
	steadyWhole = 0.9
	heldDB      = 3.0 // a pump's tones keep their level within so much
	restS       = 3.0 // a pump rests longer than this between runs
	pitchSteps  = 4.0 // scatter of the pitch at which runs begin
)

// likeness is how much a machine is like a pump, 0 to 1, and its evidence counted
// by that.
func (s *sonogram) likeness(m machine) (like, worth float64) {
	sum, all := 0.0, 0.0
	for _, p := range m.spans {
		sum += p.weight * s.runLikeness(p) * s.held(m.sig, p)
		all += p.weight
	}
	like = sum / all * s.rests(m.spans) * s.onePitch(m.spans)
	return like, all * like * min(1, like/likeFully)
}

// likeFully is a likeness from which on evidence counts in full.
const likeFully = 0.5

// runLikeness is how much one stretch is like a pump's run, 0 to 1: seconds long,
// heard throughout, its pitch falling and never rising.
func (s *sonogram) runLikeness(p span) float64 {
	d := float64(len(p.shift)) * s.hopS
	return (1 - math.Exp(-d*d/(shortS*shortS))) * s.manner(p)
}

// manner is that without regard to length.
func (s *sonogram) manner(p span) float64 {
	settled := p.shift[min(len(p.shift)-1, int(insideS/s.hopS)):]
	rise, fall := 0.0, 0.0
	for i := 1; i < len(settled); i++ {
		d := float64(settled[i]-settled[i-1]) * step
		rise, fall = rise+max(0, d), fall+max(0, -d)
	}
	sags := min(1, max(flatCounts, (fall-rise)/sagOfAll))
	falls := math.Exp(-max(0, rise-riseOfRun-0.1*fall) / riseOfRun)
	steady := min(1, max(0, (p.heard-steadyFrom)/(steadyWhole-steadyFrom)))
	return sags * falls * steady
}

// held is small where the loudest tone dies away or swells, as a note that was
// struck does: its level in the last third against the first.
func (s *sonogram) held(sig signature, p span) float64 {
	n, bin := len(p.shift)/3, loudest(sig).bin
	if n == 0 {
		return 1
	}
	first := s.toneLevel([]span{{from: p.from, to: p.from + n - 1, shift: p.shift[:n]}}, bin)
	last := s.toneLevel([]span{{from: p.to - n + 1, to: p.to, shift: p.shift[len(p.shift)-n:]}}, bin)
	return math.Exp(-max(0, math.Abs(first-last)-heldDB) / heldDB)
}

// rests is small where stretches crowd one another, as notes and syllables do.
func (s *sonogram) rests(spans []span) float64 {
	if len(spans) < 3 {
		return 1
	}
	crowded, on := 0, 0
	for i, p := range spans {
		on += len(p.shift)
		if i > 0 && float64(p.from-spans[i-1].to)*s.hopS < restS {
			crowded++
		}
	}
	apart := 1 - float64(crowded)/float64(len(spans)-1)
	idle := 1 - float64(on)/float64(s.frames)
	return apart * apart * min(1, max(0, 4*(idle-0.2)))
}

// onePitch is small where stretches begin on different pitches.
func (s *sonogram) onePitch(spans []span) float64 {
	var tops []float64
	for _, p := range spans {
		tops = append(tops, float64(slices.Max(p.shift[:min(len(p.shift), int(insideS/s.hopS)+1)])))
	}
	centre := median(tops)
	for i, v := range tops {
		tops[i] = math.Abs(v - centre)
	}
	return math.Exp(-max(0, median(tops)-pitchSteps) / 3)
}

func median(v []float64) float64 {
	sorted := slices.Sorted(slices.Values(v))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
