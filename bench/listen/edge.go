package listen

import "math"

// A close look is taken at the ends of each run with short frames, as long frames
// blur a motor that gathers speed.
const (
	closeS     = 0.064
	closeHopS  = 0.016
	aheadS     = 1.6  // how far before the first sign a start is looked for
	insideS    = 0.8  // how far into the run
	afterS     = 0.6  // how far behind the last sign an end is looked for
	lowestBase = 70.0 // Hz, tones beneath are not looked at
	doubtNats  = 2.0  // fall of the evidence that bounds an edge: some 95 %
)

// spinUps are the time constants tried for a motor that gathers speed, seconds.
var spinUps = []float64{0.005, 0.02, 0.04, 0.06, 0.08, 0.09, 0.1, 0.11, 0.12, 0.13, 0.14, 0.15, 0.16, 0.18, 0.2, 0.22, 0.25, 0.28, 0.32, 0.36, 0.4, 0.5}

// closeUp is what the short frames about one end of a run say for each tone of a
// machine lying at each linear bin.
type closeUp struct {
	fromS   float64
	frames  int
	bins    int
	nats    []float32 // frames x tones x bins
	toneBin []float64 // where each tone lies at the signature's own pitch
	lowest  float64   // bin
}

func (c *closeUp) timeS(i int) float64 { return c.fromS + float64(i)*closeHopS }

// zoom takes the short frames between two times.
func (t *track) zoom(sig signature, fromS, toS float64) *closeUp {
	l := newLens(t.rate, closeS)
	c := &closeUp{fromS: fromS, frames: int((toS-fromS)/closeHopS) + 1, bins: len(l.power), lowest: lowestBase / l.binHz}
	for _, x := range sig {
		c.toneBin = append(c.toneBin, binHz(float64(x.bin))/l.binHz)
	}
	for i := range c.frames {
		l.look(t, int(math.Round(c.timeS(i)*t.rate)))
		for _, x := range sig {
			power := math.Pow(10, (x.levelDB-shyDB)/10)
			for b, p := range l.power {
				floor, nats := l.floorAt(float64(b)), 0.0
				if p < power*aboveTimes {
					nats = likelier(p/floor, min(mostTimes, power/floor)) * 2 * closeHopS / closeS
				}
				c.nats = append(c.nats, float32(nats))
			}
		}
	}
	return c
}

// mostTimes is mostRise, aboveTimes aboveDB over shyDB, as ratios of powers.
const (
	mostTimes  = 10
	aboveTimes = 12.6
)

// evidence is what a frame says for the machine turning at a share of the
// signature's speed.
func (c *closeUp) evidence(frame int, speed float64) float64 {
	sum := -onCost * closeHopS / closeS
	for k, bin := range c.toneBin {
		if x := bin*speed + 0.5; x >= c.lowest && int(x) < c.bins {
			sum += float64(c.nats[(frame*len(c.toneBin)+k)*c.bins+int(x)])
		}
	}
	return sum
}

// speed gives the machine's speed by frame as a share of the signature's; beyond
// the ends of the stretch the first or last second's slope goes on.
func (s *sonogram) speed(p span, atS float64) float64 {
	at := atS / s.hopS
	n := len(p.shift)
	lean := min(n-1, int(1/s.hopS))
	first, last := float64(p.from), float64(p.to)
	switch {
	case at < first:
		return math.Exp(step * float64(p.shift[0]))
	case at > last:
		slope := float64(p.shift[n-1]-p.shift[n-1-lean]) / float64(max(1, lean))
		return math.Exp(step * (float64(p.shift[n-1]) + min(0, slope)*(at-last)))
	}
	i := min(n-1, int(at-first))
	return math.Exp(step * float64(p.shift[i]))
}

// start is the evidence for each moment of switching on, by time constant.
type start struct {
	atS   []float64
	nats  [][]float64 // by time constant, by moment
	whole bool        // the recording holds the start
}

// starts looks for the moment of switching on: the motor gathers speed as
// 1 - exp(-t/tau), all tones rising with it, and is silent before.
//
// ref: DESIGN_LISTEN
func (s *sonogram) starts(t *track, m machine, p span) start {
	firstS := s.timeS(p.from)
	c := t.zoom(m.sig, firstS-aheadS, firstS+insideS)
	out := start{whole: firstS > closeS+s.hopS}
	settled, speeds := s.settledFrom(p), make([]float64, c.frames)
	for i := range speeds {
		speeds[i] = s.speed(settled, c.timeS(i))
		if c.timeS(i) <= firstS+0.1 {
			out.atS = append(out.atS, c.timeS(i))
		}
	}
	for _, tau := range spinUps {
		gathered := make([]float64, c.frames)
		for i := range gathered {
			gathered[i] = 1 - math.Exp(-float64(i)*closeHopS/tau)
		}
		nats := make([]float64, len(out.atS))
		for on := range nats {
			for f := on; f < c.frames; f++ {
				nats[on] += c.evidence(f, speeds[f]*gathered[f-on])
			}
		}
		out.nats = append(out.nats, nats)
	}
	return out
}

// settledFrom is a stretch whose first part, where the motor gathers speed, is
// laid at the highest pitch that it reached.
func (s *sonogram) settledFrom(p span) span {
	shift := append([]int16(nil), p.shift...)
	top := 0
	for i := range min(len(shift), int(insideS/s.hopS)) {
		if shift[i] > shift[top] {
			top = i
		}
	}
	for i := range top {
		shift[i] = shift[top]
	}
	p.shift = shift
	return p
}

// spinUp is the time constant that all starts together speak for.
func spinUp(all []start) int {
	best, most := 0, math.Inf(-1)
	for k := range spinUps {
		sum := 0.0
		for _, e := range all {
			if e.whole {
				sum += highest(e.nats[k])
			}
		}
		if sum > most {
			best, most = k, sum
		}
	}
	return best
}

func highest(v []float64) float64 {
	out := math.Inf(-1)
	for _, x := range v {
		out = max(out, x)
	}
	return out
}

// likeliest gives the likeliest moment and half the width within doubtNats of it.
func likeliest(atS, nats []float64) (at, doubt float64) {
	best := highest(nats)
	low, high := math.Inf(1), math.Inf(-1)
	for i, v := range nats {
		if v == best {
			at = atS[i]
		}
		if v >= best-doubtNats {
			low, high = min(low, atS[i]), max(high, atS[i])
		}
	}
	return at, max(closeHopS, (high-low)/2)
}

// end looks for the moment after which the tones are gone.
func (s *sonogram) end(t *track, m machine, p span) (at, doubt float64) {
	lastS := s.timeS(p.to)
	c := t.zoom(m.sig, lastS-2*insideS, min(t.durationS, lastS+afterS))
	moments, nats := make([]float64, c.frames), make([]float64, c.frames)
	sum := 0.0
	for f := range nats {
		sum += c.evidence(f, s.speed(p, c.timeS(f)))
		moments[f], nats[f] = c.timeS(f), sum
	}
	return likeliest(moments, nats)
}
