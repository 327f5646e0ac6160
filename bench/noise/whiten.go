package noise

import "math/cmplx"

// How a transform is evened out.
//
// ref: DESIGN_NOISE_WHITENED
const (
	evenHz    = 100.0 // the floor is the median this far to both sides
	evenLine  = 4.0   // amplitudes more than so many times the floor are lines: cut down to it
	evenEvery = 4     // bins: a median needs no more
)

// whitened evens a transform out: lines are cut down to the floor about them, and
// the floor is made flat. Steady tones (gears, mains, the shaft) and the colour of
// the road then hide no ringing, and do not beat in an envelope. Strikes that come
// as evenly as a clock lose by it too, so that it is a second look only.
func (b block) whitened() block {
	amp := make([]float64, len(b.half))
	for k, c := range b.half {
		amp[k] = cmplx.Abs(c)
	}
	wide := max(20*evenEvery, int(evenHz/b.step))
	grid := max(1, wide/2)
	var floor []float64
	some := make([]float64, 0, 2*wide/evenEvery+2)
	for k := 0; k < len(amp)+grid; k += grid {
		some = some[:0]
		for i := max(1, k-wide); i < min(len(amp), k+wide+1); i += evenEvery {
			some = append(some, amp[i])
		}
		floor = append(floor, median(some))
	}
	out := block{half: make([]complex128, len(b.half)), step: b.step, n: b.n}
	for k, c := range b.half {
		j, share := k/grid, float64(k%grid)/float64(grid)
		level := floor[j]*(1-share) + floor[min(j+1, len(floor)-1)]*share
		if level <= 0 || amp[k] == 0 {
			continue
		}
		if amp[k] > evenLine*level {
			level = amp[k]
		}
		out.half[k] = c / complex(level, 0)
	}
	return out
}

// transform is that of a block, evened out on a second look.
func (c Case) transform(x []float32, n int, rate float64) block {
	b := transform(x, n, rate)
	if c.second {
		return b.whitened()
	}
	return b
}
