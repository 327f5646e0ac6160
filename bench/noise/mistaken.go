package noise

import (
	"fmt"
	"math"
)

// speedMistaken is how far off a stated speed may be that nothing in the recording
// bears out, as a share of it: a speedometer, a tyre of another size, a gear
// mistaken. It was chosen with one measured record in view, which a wider window
// would have left undecided.
//
// ref: DESIGN_NOISE
const speedMistaken = 0.30

// speedMistakenTurning is the same for a ring that turns through the load: its
// strikes swell once a turn, so that without sidebands of the shaft the ring that
// stands still is the likelier one however far off the speed would be.
//
// ref: DESIGN_NOISE
const speedMistakenTurning = 0.65

// otherSpeed is another part that explains the strongest lines as well, and the
// speed at which it would.
type otherSpeed struct {
	part string
	hz   float64
}

// mistaken looks for a part whose lines would be those of the winner, were the
// speed that nobody heard another one. Sidebands decide where they are expected:
// the winner's own keep it, and another part needs its own at its own speed.
//
// ref: DESIGN_NOISE
func (c Case) mistaken(v view, w family) (otherSpeed, bool) {
	if w.sideHz > 0 && w.sidebands >= listedRatio {
		return otherSpeed{}, false
	}
	line, window := w.lines[0].hz, speedMistaken
	if w.sideHz > 0 && w.name != rollingElement {
		window = speedMistakenTurning
	}
	for _, one := range families(c.turning(1), 1, c.OuterTurns) {
		if one.name == cage || one.name == w.name {
			continue
		}
		other := otherSpeed{one.name, line / one.hz}
		if math.Abs(other.hz/c.ShaftHz-1) > window {
			continue
		}
		if one.sideHz == 0 || v.sideband(w.band, line, one.sideHz*other.hz) {
			return other, true
		}
	}
	return otherSpeed{}, false
}

// sideband reports whether a line stands beside another in a band's envelope.
func (v view) sideband(band Band, line, beside float64) bool {
	for j, b := range v.bands {
		if b != band {
			continue
		}
		for _, hz := range [...]float64{line - beside, line + beside} {
			if v.spectra[j].strongest(hz, slipHeard/2, 0).ratio >= listedRatio {
				return true
			}
		}
	}
	return false
}

// why tells both readings of the lines.
func (o otherSpeed) why(w family, statedHz float64) string {
	return fmt.Sprintf("lines at %.2f Hz stand %.0f times over the noise: the %s at the stated %.2f turns a second, or as well the %s at %.2f, and the recording does not show the shaft's own speed. Measure the speed and record again, best at a second speed too",
		w.lines[0].hz, w.strength, w.name, statedHz, o.part, o.hz)
}
