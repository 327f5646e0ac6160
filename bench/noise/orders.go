package noise

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"sort"
)

// Peak is a line that stands out.
type Peak struct {
	Hz     float64 `json:"hz"`
	Order  float64 `json:"order"` // of the shaft
	SNRdB  float64 `json:"snr_db"`
	Source string  `json:"source"`
	In     string  `json:"in"` // "sound", "envelope"
}

// Least ratio of a line that is listed, and how many are.
const (
	listedRatio = 8.0
	mostPeaks   = 24
)

// source of a line: a rate with a name.
type source struct {
	name string
	hz   float64
	most int     // harmonics
	side float64 // distance of sidebands, Hz
}

// peaksOf lists local maxima that stand well over the noise.
func peaksOf(s spectrum, in string, shaftHz float64) []Peak {
	var list []Peak
	least := int(math.Max(2, 0.25*shaftHz/s.step))
	for k := least; k+1 < len(s.amp); k++ {
		if s.amp[k] < s.amp[k-1] || s.amp[k] <= s.amp[k+1] {
			continue
		}
		f := float64(k) * s.step
		ratio := s.amp[k] / math.Max(s.noise(f), math.SmallestNonzeroFloat64)
		if ratio < listedRatio {
			continue
		}
		list = append(list, Peak{Hz: f, Order: f / shaftHz, SNRdB: 20 * math.Log10(ratio), In: in})
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].SNRdB > list[j].SNRdB })
	return list[:min(len(list), mostPeaks/2)]
}

// sourceOf names the rate that a line belongs to: the nearest whole harmonic
// first, then sidebands.
func sourceOf(f, step float64, sources []source, slip float64) string {
	for _, src := range sources {
		k := math.Round(f / src.hz)
		if k >= 1 && int(k) <= src.most && math.Abs(f-k*src.hz) <= math.Max(slip*f, 1.5*step) {
			return fmt.Sprintf("%s x%.0f", src.name, k)
		}
	}
	for _, src := range sources {
		for k := 1; src.side > 0 && k <= 3; k++ {
			for _, m := range [...]float64{-1, 1, -2, 2} {
				if math.Abs(f-float64(k)*src.hz-m*src.side) <= math.Max(slip*f, 1.5*step) {
					return fmt.Sprintf("%s x%d, sideband %+.0f", src.name, k, m)
				}
			}
		}
	}
	return unknown
}

const gearMesh = "gear mesh"

// sourcesOf lists what turns, the surest first.
func (c Case) sourcesOf(shaftHz float64, list []family) []source {
	all := []source{{name: "shaft", hz: shaftHz, most: 12}}
	// A shaft harmonic is exact and a defect line slips, so that the shaft comes first.
	strongest := slices.Clone(list)
	slices.SortStableFunc(strongest, func(a, b family) int { return cmp.Compare(b.strength, a.strength) })
	for _, f := range strongest {
		at, side := f.hz, f.sideHz
		if f.strength >= faintStrength && f.lines[0].ratio > 0 {
			at = f.lines[0].hz // with its slip
		}
		if side == 0 {
			side = shaftHz // a load that turns, or runout
		}
		all = append(all, source{name: f.name, hz: at, most: 6, side: side})
	}
	for _, teeth := range c.Teeth {
		all = append(all, source{name: gearMesh, hz: float64(teeth) * shaftHz, most: 3, side: shaftHz})
	}
	if c.AxleRatio > 0 {
		all = append(all, source{name: "propeller shaft", hz: c.AxleRatio * shaftHz, most: 4})
	}
	return all
}

// tonal is how far the strongest of some orders stands out of the plain
// spectrum, dB, 0 where none.
func tonal(s spectrum, shaftHz, share float64, orders ...float64) float64 {
	best := 0.0
	for _, k := range orders {
		if r := s.strongest(k*shaftHz, share, 0).ratio; r > 1 {
			best = math.Max(best, 20*math.Log10(r))
		}
	}
	return best
}

// weak and strong lines of tyre and driveline, dB over the noise about them.
const (
	weakLineDB   = 12
	strongLineDB = 36
)

// ordersTo is the frequency up to which lines are listed: those of the bearing,
// the mesh of the gears, the tread.
func (c Case) ordersTo() float64 {
	top := c.topHz()
	for _, t := range c.Teeth {
		top = math.Max(top, 3.2*float64(t)*c.ShaftHz)
	}
	if c.Tyre != nil {
		top = math.Max(top, c.wheelTo()*c.ShaftHz*(1+heardWithin))
	}
	return top
}

func ramp(v, low, high float64) float64 { return math.Max(0, math.Min(1, (v-low)/(high-low))) }
