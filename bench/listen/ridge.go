package listen

import (
	"math"
	"slices"
)

// ridge is one tone that sounds on, its pitch wandering slowly.
type ridge struct {
	from, to int     // frames, both within
	bins     []int16 // by frame
	weight   float64 // evidence for it, nats
}

func (r *ridge) at(frame int) int { return int(r.bins[frame-r.from]) }

const (
	moveCost    = 0.25 // nats for a step of pitch between frames
	patience    = 6.0  // nats of silence after which a tone has ended
	ridgeNats   = 14.0 // evidence that a tone needs
	lowestNats  = -1.5
	highestNats = 2.5
	likelyRise  = 6.0 // power of a tone above the floor when looking for any
)

// likelier is the log of how much likelier a power u, in floors, is with a tone
// that rises r floors high on the mean than without, held within bounds so that
// no shout can outweigh the rest.
//
// Both powers are exponential (Rayleigh amplitudes): ln p1/p0 =
// u r/(1+r) - ln(1+r), u the power over the floor, r the tone's mean over it.
//
// ref: SCIPY_1_10 stats.expon
func likelier(u, rise float64) float64 {
	return min(highestNats, max(lowestNats, u*rise/(1+rise)-math.Log1p(rise)))
}

// evidence is that of one frame's level.
func evidence(code uint8, rise float64) float64 {
	return likelier(math.Pow(10, levelDB(code)/10), rise) * 2 / overlap
}

// path is the best way to one bin at one frame.
type path struct {
	value, peak        float64
	origin             int // number of the path's beginning
	peakFrame, peakBin int
	start              int
}

// ridges finds every tone that sounds on: by frame and bin the best sum of
// evidence along a way of slowly changing pitch, begun anew where it falls to nothing.
func (s *sonogram) ridges() []ridge {
	var table [256]float64
	for c := range table {
		table[c] = evidence(uint8(c), likelyRise)
	}
	moves := make([]int8, s.frames*s.bins)
	now, before := make([]path, s.bins), make([]path, s.bins)
	best := map[int]path{}
	origins := 0
	for f := range s.frames {
		if f%heedEvery == 0 && s.left() {
			return nil
		}
		now, before = before, now
		row := s.row(f)
		for b := range now {
			p, move := path{}, 0
			for d := -1; d <= 1; d++ {
				if q := b + d; q >= 0 && q < s.bins {
					v := before[q].value
					if d != 0 {
						v -= moveCost
					}
					if v > p.value {
						p, move = before[q], d
						p.value = v
					}
				}
			}
			now[b], moves[f*s.bins+b] = p, int8(move)
			now[b].step(table[row[b]], f, b, &origins, best)
		}
	}
	return s.trace(best, moves)
}

// step adds a frame's evidence to a path and notes where it stood highest.
func (p *path) step(e float64, frame, bin int, origins *int, best map[int]path) {
	v := p.value + e
	if v <= 0 || p.peak-v > patience {
		*p = path{}
		return
	}
	if p.value == 0 {
		*origins++
		*p = path{origin: *origins, start: frame}
	}
	p.value = v
	if v > p.peak {
		p.peak, p.peakFrame, p.peakBin = v, frame, bin
		if v > ridgeNats && v > best[p.origin].peak {
			best[p.origin] = *p
		}
	}
}

// trace follows the best way back from each peak.
func (s *sonogram) trace(best map[int]path, moves []int8) []ridge {
	var out []ridge
	for _, p := range best {
		r := ridge{from: p.start, to: p.peakFrame, bins: make([]int16, p.peakFrame-p.start+1), weight: p.peak}
		b := p.peakBin
		for f := p.peakFrame; f >= p.start; f-- {
			r.bins[f-p.start] = int16(b)
			b += int(moves[f*s.bins+b])
		}
		out = append(out, r)
	}
	slices.SortFunc(out, func(a, b ridge) int {
		switch {
		case a.weight != b.weight:
			if a.weight > b.weight {
				return -1
			}
			return 1
		case a.from != b.from:
			return a.from - b.from
		}
		return int(a.bins[0]) - int(b.bins[0])
	})
	return s.apart(out)
}

// apart drops ridges that run along the flank of a stronger one.
func (s *sonogram) apart(sorted []ridge) []ridge {
	taken := make([]bool, len(s.level))
	var out []ridge
	for i, r := range sorted {
		if i%heedEvery == 0 && s.left() {
			return nil
		}
		on := 0
		for f := r.from; f <= r.to; f++ {
			if taken[f*s.bins+r.at(f)] {
				on++
			}
		}
		if 3*on > len(r.bins) {
			continue
		}
		out = append(out, r)
		for f := r.from; f <= r.to; f++ {
			wide := flank(r.at(f), s.hopS)
			for b := max(0, r.at(f)-wide); b <= min(s.bins-1, r.at(f)+wide); b++ {
				taken[f*s.bins+b] = true
			}
		}
	}
	return out
}

// flank is how many bins a tone's main lobe covers to one side.
func flank(bin int, hopS float64) int {
	lobeHz := 2 / (hopS * overlap)
	return max(1, int(math.Ceil(lobeHz/binHz(float64(bin))/step)))
}
