package listen

import (
	"math"
	"slices"
)

// pitches are how far below and above its signature's a machine's pitch may lie,
// in steps of the grid.
type pitches struct{ low, high int }

func (p pitches) n() int { return p.high - p.low + 1 }

var (
	nearPitches = pitches{-24, 16} // one run after another
	allPitches  = pitches{-30, 45} // a pump on an empty accumulator turns faster
)

const (
	beginCost = 12.0 // nats against a run beginning in any one frame
	endCost   = 4.0
	onCost    = 0.2 // against each frame of a run: pumps rest more than they run
	saysNats  = 0.1 // of a frame, beneath which it says nothing
	fallCost  = 0.4 // for a step of pitch down between frames
	riseCost  = 1.5 // and up: a pump under load slows
	mostRise  = 10  // dB over the floor that a tone is trusted to have
	leastRise = -10
	aboveDB   = 8 // what is louder than a tone by more is something else
	shyDB     = 3 // a tone is expected this much below what it was learned at
)

// match finds the stretches in which a machine sounds: the best way through two
// states, silent and sounding at a pitch, by frame (the Viterbi path).
//
// Where the floor rises over a tone - speech, a drill - its silence says nothing,
// so that a run is not cut in two by a shout.
//
// ref: DESIGN_LISTEN
func (s *sonogram) match(sig signature, within pitches) []span {
	if len(sig) == 0 {
		return nil
	}
	w := newWays(s.frames, within.n())
	e, table := make([]float64, within.n()), newRiseTable()
	hope := make([]float64, s.frames)
	for f := range s.frames {
		if f%heedEvery == 0 && s.left() {
			return nil
		}
		hope[f] = s.emissions(e, sig, table, f, within.low)
		w.step(f, e)
	}
	out := w.unwind()
	for i := range out {
		p := &out[i]
		yes, no, hoped := 0, 0, 0.0
		for f := p.from; f <= p.to; f++ {
			s.emissions(e, sig, table, f, within.low)
			v := e[p.shift[f-p.from]]
			p.weight, hoped = p.weight+v, hoped+hope[f]
			p.shift[f-p.from] += int16(within.low)
			switch {
			case v > saysNats:
				yes++
			case v < -saysNats:
				no++
			}
		}
		p.heard = float64(yes) / float64(max(1, yes+no))
		p.fit = p.weight / max(1, hoped)
	}
	return out
}

// emissions is the evidence that one frame gives for each pitch, and what it would
// give if every tone were there.
func (s *sonogram) emissions(e []float64, sig signature, table *riseTable, frame, low int) (hope float64) {
	row := s.row(frame)
	for i := range e {
		e[i] = -onCost
	}
	for _, t := range sig {
		rise := min(mostRise, max(leastRise, t.levelDB-s.floorDB(frame, t.bin)-shyDB))
		nats := &table.nats[int(rise)-leastRise]
		hope += table.hope[int(rise)-leastRise]
		loud := levelCode(t.levelDB - s.floorDB(frame, t.bin) + aboveDB)
		for i := max(0, -t.bin-low); i < len(e) && t.bin+low+i < s.bins; i++ {
			if code := row[t.bin+low+i]; code <= loud {
				e[i] += float64(nats[code])
			}
		}
	}
	return hope
}

// riseTable is the evidence by expected rise of a tone, dB, and code of the level,
// and what a tone of that rise gives on the mean.
type riseTable struct {
	nats [mostRise - leastRise + 1][256]float32
	hope [mostRise - leastRise + 1]float64
}

func newRiseTable() *riseTable {
	t := new(riseTable)
	for r := range t.nats {
		rise := math.Pow(10, float64(r+leastRise)/10)
		t.hope[r] = min(highestNats, rise-math.Log1p(rise)) * 2 / overlap
		for c := range t.nats[r] {
			t.nats[r][c] = float32(evidence(uint8(c), rise))
		}
	}
	return t
}

const (
	silence = -1
	begun   = 100
)

// ways are the best ways to each state at a frame, with what is needed to follow
// them back.
type ways struct {
	pitches    int
	silent     float64
	on, before []float64
	moves      []int8 // frames x pitches: the step of pitch to the frame before, or begun
	ended      []int8 // by frame: the pitch on which a run ended just before it, or silence
}

func newWays(frames, pitches int) *ways {
	w := &ways{pitches: pitches, moves: make([]int8, frames*pitches), ended: make([]int8, frames)}
	w.on, w.before = make([]float64, pitches), make([]float64, pitches)
	for i := range w.on {
		w.on[i] = math.Inf(-1)
	}
	return w
}

// step goes one frame on.
func (w *ways) step(frame int, e []float64) {
	w.on, w.before = w.before, w.on
	moves, last := w.moves[frame*w.pitches:(frame+1)*w.pitches], 0
	for i, v := range w.before {
		if v > w.before[last] {
			last = i
		}
		best, move := w.silent-beginCost, int8(begun)
		if v > best {
			best, move = v, 0
		}
		if i > 0 && w.before[i-1]-riseCost > best {
			best, move = w.before[i-1]-riseCost, -1
		}
		if i+1 < w.pitches && w.before[i+1]-fallCost > best {
			best, move = w.before[i+1]-fallCost, 1
		}
		w.on[i], moves[i] = best+e[i], move
	}
	w.ended[frame] = silence
	if v := w.before[last] - endCost; v > w.silent {
		w.silent, w.ended[frame] = v, int8(last)
	}
}

// unwind follows the best way back and gives its stretches in order of time, the
// pitch by frame counted from the lowest.
func (w *ways) unwind() []span {
	at := silence
	for i, v := range w.on {
		if v > w.silent && (at == silence || v > w.on[at]) {
			at = i
		}
	}
	var out []span
	p := span{to: len(w.ended) - 1}
	for f := len(w.ended) - 1; f >= 0; f-- {
		if at == silence {
			at = int(w.ended[f])
			p = span{to: f - 1}
			continue
		}
		p.shift = append(p.shift, int16(at))
		move := w.moves[f*w.pitches+at]
		if move != begun && f > 0 {
			at += int(move)
			continue
		}
		slices.Reverse(p.shift)
		p.from, at = f, silence
		out = append(out, p)
	}
	slices.Reverse(out)
	return out
}
