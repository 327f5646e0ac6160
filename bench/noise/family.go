package noise

import "math"

// family is the harmonics of one defect frequency.
type family struct {
	name      string
	hz        float64 // in pure rolling
	sideHz    float64 // distance of its sidebands; 0: none to expect
	strength  float64
	lines     [3]line
	band      Band
	sidebands float64 // strongest ratio of the first sidebands of the first line
}

// The names of the families.
const (
	outerRace      = "outer race"
	innerRace      = "inner race"
	rollingElement = "rolling element"
	cage           = "cage"
)

// families are those of a bearing; which race turns decides whose lines the
// shaft modulates.
func families(f Frequencies, shaftHz float64, outerTurns bool) []family {
	list := []family{
		{name: outerRace, hz: f.BPFO},
		{name: innerRace, hz: f.BPFI, sideHz: shaftHz},
		{name: rollingElement, hz: 2 * f.BSF, sideHz: f.FTF},
		{name: cage, hz: f.FTF},
	}
	if outerTurns {
		list[0].sideHz, list[1].sideHz = shaftHz, 0
	}
	return list
}

// look weighs a family in one spectrum: its first line and the better of its
// second and third, so that neither a lone line nor a lone harmonic counts.
//
// ref: DESIGN_NOISE
func (f family) look(s spectrum, slip, shaftHz float64) family {
	for k := range f.lines {
		f.lines[k] = s.strongest(f.hz*float64(k+1), slip, shaftHz)
	}
	f.strength = math.Sqrt(f.lines[0].ratio * math.Max(f.lines[1].ratio, f.lines[2].ratio))
	f.sidebands = 0
	if f.sideHz > 0 && f.lines[0].ratio > 0 {
		at := f.lines[0].hz
		for _, side := range [...]float64{at - f.sideHz, at + f.sideHz} {
			f.sidebands = math.Max(f.sidebands, s.strongest(side, slip/2, 0).ratio)
		}
	}
	return f
}

// explains says whether a rival's first line is a harmonic or sideband of f,
// so that it says nothing of its own.
func (f family) explains(rival family, shaftHz float64) bool {
	const near = 0.012
	for k := 1.0; k <= 3; k++ {
		for m := -2.0; m <= 2; m++ {
			side := f.sideHz
			if side == 0 {
				side = shaftHz
			}
			if at := k*f.hz + m*side; at > 0 && math.Abs(at-rival.hz) < near*rival.hz {
				return true
			}
		}
	}
	return false
}

// strongestFamilies looks for every family in every band and keeps the best
// band of each.
func strongestFamilies(list []family, bands []Band, spectra []spectrum, slip, shaftHz float64) []family {
	best := make([]family, len(list))
	for i, f := range list {
		best[i] = f
		for j, s := range spectra {
			if seen := f.look(s, slip, shaftHz); j == 0 || seen.strength > best[i].strength {
				best[i] = seen
				best[i].band = bands[j]
			}
		}
	}
	return best
}

// finding is the strongest family and how far ahead it is.
type finding struct {
	winner family
	margin float64 // over the strongest rival that it does not explain
	stray  family  // the strongest at any order that is not whole
	shaftK float64 // whole shaft order within a hundredth of the winner's, 0: none
	twin   string  // another part whose lines lie where the winner's do; empty: none
}

// weigh gives the finding among families; the cage's alone is no verdict. The
// doubt is of a speed that was not heard, 0 of one that was.
func weigh(list []family, shaftHz, speedDoubt float64) finding {
	var f finding
	for _, c := range list {
		if c.name != cage && c.strength > f.winner.strength {
			f.winner = c
		}
	}
	f.partTwins(list, slipHeard+speedDoubt)
	rival := 1.0
	for _, c := range list {
		if c.name != cage && c.name != f.winner.name && !f.winner.explains(c, shaftHz) {
			rival = math.Max(rival, c.strength)
		}
	}
	f.margin = f.winner.strength / rival
	if order := f.winner.hz / shaftHz; math.Abs(order-math.Round(order)) < 0.02*order {
		f.shaftK = math.Round(order)
	}
	return f
}

// partTwins finds a family whose lines coincide with the winner's, as those of
// outer race and element do where D/d is a whole number that fits. Sidebands are
// what is left to tell them apart: the one that should have them wins where they
// stand. A speed that was only stated widens the share within which they lie.
func (f *finding) partTwins(list []family, share float64) {
	for _, c := range list {
		if c.name == cage || c.name == f.winner.name || math.Abs(c.hz-f.winner.hz) > share*f.winner.hz {
			continue
		}
		f.twin = c.name
		if c.sidebands >= listedRatio && c.sidebands > f.winner.sidebands && c.strength >= twinStrength*f.winner.strength {
			f.winner, f.twin = c, f.winner.name
		}
	}
}

// twinStrength is how strong a family must be beside its twin to take its place.
const twinStrength = 0.8

// part is the winner's name, with its twin's.
func (f finding) part() string {
	if f.twin == "" {
		return f.winner.name
	}
	return f.winner.name + " or " + f.twin
}

// unknownFamily searches for a family at an order that is not whole, where no
// geometry is known.
func unknownFamily(bands []Band, spectra []spectrum, shaftHz float64) family {
	var best family
	for j, s := range spectra {
		for order := lowestOrder; order <= highestOrder; order += 0.01 {
			if math.Abs(order-math.Round(order)) < 0.04 {
				continue
			}
			f := family{name: unknown, hz: order * shaftHz}.look(s, 0.004, shaftHz)
			if f.strength > best.strength {
				best = f
				best.band = bands[j]
			}
		}
	}
	return best
}

// Orders of the shaft at which a hub bearing's races lie.
const (
	lowestOrder  = 2.5
	highestOrder = 13.0
	unknown      = "unknown"
)
