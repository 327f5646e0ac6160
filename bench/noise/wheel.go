package noise

import "math"

// soundMS is the speed of sound in air of 20 degrees.
const soundMS = 343.2

// CavityHz is the first resonance of the air in the tyre: one wave fits around
// its middle. It keeps its frequency whatever the speed.
//
// ref: SAKATA_1990 first mode
func (t Tyre) CavityHz() float64 {
	outer, rim := t.OuterMm/2000, t.RimInch*0.0254/2
	return soundMS / (math.Pi * (outer + rim))
}

// Blocks around a tread of a car's tyre, where they were not counted.
//
// ref: COMMON_PRACTICE
const (
	leastBlocks = 60
	mostBlocks  = 80
)

// How far the tread's band and the cavity's peak stand over what lies beside
// them, dB: from the least a score begins, at the most it is full.
//
// ref: DESIGN_NOISE
const (
	weakHumpDB   = 4
	strongHumpDB = 14
	cavityShare  = 0.06 // warm air, the load's two modes a turn apart
	cavityScore  = 0.5  // every tyre has it
	jointLeadDB  = 6    // order 3 over orders 2 and 4, for a joint
)

// treadOrders is where the blocks strike; they differ in pitch, so that it is a
// band.
func (c Case) treadOrders() (low, high float64) {
	if c.TreadBlocks > 0 {
		return 0.94 * float64(c.TreadBlocks), 1.06 * float64(c.TreadBlocks)
	}
	return 0.95 * leastBlocks, 1.05 * mostBlocks
}

// wheelTo is the order up to which a wheel is listened to.
func (c Case) wheelTo() float64 {
	_, high := c.treadOrders()
	return high * humpBeside
}

// humpBeside is how far beside a band its neighbours reach.
const humpBeside = 1.5

// hump is how far the power in a band stands over the mean of the levels on both
// sides, dB; 0 where the spectrum does not hold all three.
func (s spectrum) hump(loHz, hiHz float64) float64 {
	in, ok := s.power(loHz, hiHz)
	below, also := s.power(loHz/humpBeside, loHz)
	above, and := s.power(hiHz, hiHz*humpBeside)
	if !ok || !also || !and {
		return 0
	}
	return 10*math.Log10(in) - 5*math.Log10(below) - 5*math.Log10(above)
}

// power is the mean squared amplitude; false where the band is not in the
// spectrum, or empty.
func (s spectrum) power(loHz, hiHz float64) (float64, bool) {
	first, last := int(math.Ceil(loHz/s.step)), int(hiHz/s.step)
	if first < 1 || last <= first || float64(last)*s.step > s.topHz()*1.001 || last >= len(s.amp) {
		return 0, false
	}
	sum := 0.0
	for _, a := range s.amp[first : last+1] {
		sum += a * a
	}
	return sum / float64(last-first+1), sum > 0
}

// tread is the hump of the tread's band.
func (c Case) tread(s spectrum, shaftHz float64) float64 {
	if c.Tyre == nil {
		return 0
	}
	low, high := c.treadOrders()
	return s.hump(low*shaftHz, high*shaftHz)
}

// cavity is the hump of the tyre's air. Over the shaft's angle a fixed frequency
// is smeared: there it cannot be looked for.
func (c Case) cavity(s spectrum) float64 {
	if c.Tyre == nil || c.Track != nil {
		return 0
	}
	hz := c.Tyre.CavityHz()
	return s.hump(hz*(1-cavityShare), hz*(1+cavityShare))
}

// joint is how far order 3 stands out beyond orders 2 and 4, dB: a joint of three
// rollers pushes three times a turn, while what is merely uneven has a row of
// orders.
//
// ref: COMMON_PRACTICE
func joint(s spectrum, shaftHz float64) float64 {
	at := func(order float64) float64 { return tonal(s, shaftHz, 0.005, order) }
	third := at(3)
	if lead := third - math.Max(at(2), at(4)); lead < jointLeadDB {
		return math.Max(0, lead)
	}
	return third
}

// tyre is how strongly the tyre is heard: the first two orders, the tread's band,
// and a little the air in it.
func (c Case) tyre(s spectrum, shaftHz float64) float64 {
	return max(
		ramp(tonal(s, shaftHz, 0.005, 1, 2), weakLineDB, strongLineDB),
		ramp(c.tread(s, shaftHz), weakHumpDB, strongHumpDB),
		cavityScore*ramp(c.cavity(s), weakHumpDB, strongHumpDB),
	)
}

// driveline is how strongly a joint, and what was told of gears and propeller
// shaft, is heard.
func (c Case) driveline(s spectrum, shaftHz float64) float64 {
	strongest := joint(s, shaftHz)
	for _, teeth := range c.Teeth {
		strongest = max(strongest, tonal(s, shaftHz, 0.005, float64(teeth), 2*float64(teeth)))
	}
	if c.AxleRatio > 0 {
		strongest = max(strongest, tonal(s, shaftHz, 0.005, c.AxleRatio, 2*c.AxleRatio))
	}
	return ramp(strongest, weakLineDB, strongLineDB)
}

// wheelPeaks are the humps that stand out, which are no lines.
func (c Case) wheelPeaks(s spectrum, shaftHz float64) []Peak {
	var list []Peak
	if db := c.tread(s, shaftHz); db >= weakHumpDB {
		low, high := c.treadOrders()
		list = append(list, Peak{Hz: (low + high) / 2 * shaftHz, Order: (low + high) / 2, SNRdB: db, Source: treadBand, In: "sound"})
	}
	if db := c.cavity(s); db >= weakHumpDB {
		hz := c.Tyre.CavityHz()
		list = append(list, Peak{Hz: hz, Order: hz / shaftHz, SNRdB: db, Source: tyreCavity, In: "sound"})
	}
	return list
}

// Names of what is no line.
const (
	treadBand  = "tread"
	tyreCavity = "tyre cavity"
	jointThird = "joint (order 3)"
)

// wheelSource names a line that no exact source claims: by the band it lies in.
func (c Case) wheelSource(p Peak) string {
	if c.Tyre == nil || p.In != "sound" {
		return unknown
	}
	if low, high := c.treadOrders(); p.Order >= low && p.Order <= high {
		return treadBand
	}
	if hz := c.Tyre.CavityHz(); c.Track == nil && math.Abs(p.Hz-hz) <= cavityShare*hz {
		return tyreCavity
	}
	return unknown
}
