package recharge

import "math"

// Healthy is what is expected of such units where the unit's own figures are not
// known: medians with logarithmic standard deviations, all own estimates. The sample
// logs are of a unit in the middle of them, and so bear none of them out.
//   - The volume is that of the diaphragm accumulators of such units, 0.3 to 0.5 L
//     as the 10 % and 90 % points.
//   - The pre-charge is 0.65 of cut-in: makers ask for at most 0.9 of the lowest
//     working pressure when hot, and for a fourth of the highest at least; 0.48 to
//     0.89 as the 95 % points.
//   - Common practice calls several minutes between recharges healthy: with that
//     gas a leak of 6.6 mL/min makes it six; size, pre-charge and leak together
//     spread it from 2.5 to 15 minutes.
//   - A pump that recharges such a unit in 2 to 5 s gives 8 to 20 mL/s.
//
// A nominal volume is met within some per cent; of a nominal flow the age, the
// battery's voltage and the oil's temperature take their part.
//
// ref: DESIGN_RECHARGE
var healthy = struct {
	volumeMl, volumeSD       float64
	precharge, prechargeSD   float64 // share of cut-in, absolute
	flowMlS, flowSD          float64 // at the middle of the band
	leakMlSBar, leakSD       float64
	nominalSD, nominalFlowSD float64 // of a figure that was given
}{400, 0.20, 0.65, 0.16, 12.8, 0.25, 0.00245, 0.35, 0.06, 0.12}

// before are the chances of the causes before any reading, and the range of the
// factor by which each changes its quantity, evenly spread in logarithm. All are
// own estimates: a person measures a unit that made them wonder, so that a healthy
// one is likelier than any one fault but not than all; a leak to the outside is
// mostly seen first. A factor begins where the healthy spread ends and ends where
// the unit no longer holds pressure. Air is squeezed for at least half a second,
// what lines and a bled unit need besides; a sensor goes wrong once in 2000
// readings before anybody would call it bad, a sound one by interference once in
// 5000 at most. A level is read to 10 mL: a line on the vessel, the same
// temperature, the same state of the actuator.
//
// ref: DESIGN_RECHARGE
var before = struct {
	normal, gasLoss, internal, external, pump, air, sensor float64
	gasFactor, leakFactor, pumpFactor, airFactor           [2]float64
	airDelayS                                              [2]float64
	badShare, strayShare                                   [2]float64
	levelSDMl                                              float64
}{
	normal: 0.28, gasLoss: 0.22, internal: 0.17, external: 0.08, pump: 0.10, air: 0.08, sensor: 0.07,
	gasFactor: [2]float64{0.05, 0.80}, leakFactor: [2]float64{1.5, 20}, pumpFactor: [2]float64{0.15, 0.75}, airFactor: [2]float64{0.5, 1},
	airDelayS: [2]float64{0.5, 8}, badShare: [2]float64{5e-4, 0.1}, strayShare: [2]float64{1e-6, 2e-4},
	levelSDMl: 10,
}

// evidence is what the readings say, in logarithms where a figure can only be
// positive. A standard deviation of 0 means not seen.
type evidence struct {
	cutIn, middle      float64 // absolute
	p0, sdLogP0        float64
	leak, sdLogLeak    float64 // g = G/C0
	pump, sdLogPump    float64 // Qp/C0
	runs               []float64
	sdRun              float64
	delay, sdDelay     float64
	unseen             float64 // chance that the intervals were cut short by what nobody noted
	otherState         int     // 1 a leak in another state of the valves, -1 looked for and not there, 0 not seen
	levelMl            *float64
	durationS          float64
	screen             *Screen
	volumeMl, volumeSD float64
	nominalP0, sdP0    float64
	flow, flowSD       float64
}

// expectations sets what is expected of this unit.
func (e *evidence) expectations(c Case, ambientC float64) {
	e.volumeMl, e.volumeSD = healthy.volumeMl, healthy.volumeSD
	if c.GasVolumeL != nil {
		e.volumeMl, e.volumeSD = *c.GasVolumeL*1000, healthy.nominalSD
	}
	if c.Log == nil { // the band is not known: the same as a doubt about the size
		e.volumeSD = math.Hypot(e.volumeSD, math.Hypot(bandSD, cutInSD))
	}
	e.nominalP0, e.sdP0 = healthy.precharge*e.cutIn, healthy.prechargeSD
	if c.PrechargeBar != nil {
		e.nominalP0, e.sdP0 = PrechargeAt(*c.PrechargeBar+AtmosphereBar, 20, ambientC), healthy.nominalSD
	}
	e.flow, e.flowSD = healthy.flowMlS, healthy.flowSD
	if c.PumpLMin != nil {
		e.flow, e.flowSD = *c.PumpLMin*1000/60, healthy.nominalFlowSD
	}
}

// normalLog is the density of ln x for a lognormal about median.
func normalLog(x, median, sd float64) float64 {
	z := math.Log(x/median) / sd
	return math.Exp(-z*z/2) / sd
}

// scaled is the density where the median is multiplied by a factor whose
// logarithm is evenly spread.
func scaled(x, median, sd float64, factor [2]float64) float64 {
	const parts = 24
	sum := 0.0
	for i := range parts {
		sum += normalLog(x, median*spread(factor, i, parts), sd)
	}
	return sum / parts
}

// spread is the i-th of n factors.
func spread(factor [2]float64, i, n int) float64 {
	return factor[0] * math.Pow(factor[1]/factor[0], (float64(i)+0.5)/float64(n))
}

// poisson is the chance of k events where n times share are expected, up to a
// factor that all hypotheses have in common.
func poisson(k, n float64, share [2]float64) float64 {
	const parts = 24
	sum := 0.0
	for i := range parts {
		mean := n * spread(share, i, parts)
		sum += math.Exp(k*math.Log(mean) - mean - (k*math.Log(math.Max(k, 1)) - k))
	}
	return math.Max(sum/parts, 1e-12)
}

// sensorLikelihood compares a sound sensor with a bad one.
func (e *evidence) sensorLikelihood() (sound, bad float64) {
	sound, bad = 1, 1
	s := e.screen
	if s == nil {
		return sound, bad
	}
	k, n := float64(s.Dropouts+s.Spikes), float64(s.Readings)
	stray := poisson(k, n, before.strayShare)
	sound *= stray
	bad *= 0.75*poisson(k, n, before.badShare) + 0.25*stray
	if s.ZeroSeen {
		sd := 0.2 + s.QuantumBar/4
		fits := normalLog(math.Exp(s.ZeroBar), 1, sd)
		sound *= math.Max(fits, 1e-9)
		bad *= 0.7*math.Max(fits, 1e-9) + 0.3*math.Sqrt(2*math.Pi)/20
	}
	// A sound reading never stands still through a recharge, but that a logger may
	// (one unit in 200); of bad sensors one in five does.
	if s.Jumps > 0 {
		sound, bad = sound*0.005, bad*0.2
	}
	return sound, bad
}

// airLikelihood compares fluid without and with air: the delay of the cold fill
// and the scatter of the run times.
func (e *evidence) airLikelihood() (without, with float64) {
	without, with = 1, 1
	if e.sdDelay > 0 {
		const parts = 24
		z := func(d, own float64) float64 {
			sd := math.Hypot(own, e.sdDelay)
			return math.Exp(-(e.delay-d)*(e.delay-d)/2/sd/sd) / sd
		}
		without = math.Max(z(0.08, 0.15), 1e-9)
		sum := 0.0
		for i := range parts {
			sum += z(spread(before.airDelayS, i, parts), 0.1)
		}
		with = 0.9*sum/parts + 0.1*without
	}
	if len(e.runs) >= 3 && e.sdRun > 0 {
		scatter := func(cv float64) float64 {
			mean := meanOf(e.runs)
			sd := math.Hypot(e.sdRun, cv*mean)
			q, l := 0.0, 0.0
			for _, r := range e.runs {
				q, l = q+(r-mean)*(r-mean)/sd/sd, l-math.Log(sd)
			}
			return math.Exp(l - q/2 + math.Log(sd))
		}
		still := scatter(0.015)
		without *= still
		with *= (2*still + scatter(0.03) + scatter(0.06) + scatter(0.12)) / 5
	}
	return without, with
}

// levelLikelihood compares a level that stayed with one that fell by what an
// outer leak of leakMl lost.
func (e *evidence) levelLikelihood(leakMl float64) (stayed, fell float64) {
	if e.levelMl == nil {
		return 1, 1
	}
	density := func(expected, sd float64) float64 {
		z := (*e.levelMl - expected) / sd
		return 0.98*math.Exp(-z*z/2)/sd + 0.02*math.Exp(-*e.levelMl**e.levelMl/2/1e6)/1e3
	}
	return density(0, before.levelSDMl), density(leakMl, math.Hypot(before.levelSDMl, 0.25*leakMl))
}

// shortenedBy is how much too large a leak looks by an interval that was cut
// short, from not at all to what one movement after the other does.
var shortenedBy = [2]float64{1, 30}

// unknownLossMl is what an outer leak is taken to lose where its size is not seen.
const unknownLossMl = 100.0

// weigh is Bayes' rule over the causes: sums over the size of the unit and its
// pre-charge, everything else in closed form.
//
// ref: DESIGN_RECHARGE
func (e *evidence) weigh() Causes {
	var c Causes
	sound, bad := e.sensorLikelihood()
	without, with := e.airLikelihood()
	const sizes, charges = 25, 64
	for i := range sizes {
		z := -3 + 6*float64(i)/(sizes-1)
		volume := e.volumeMl * math.Exp(z*e.volumeSD)
		weight := math.Exp(-z * z / 2)
		for j := range charges {
			p0 := spread([2]float64{1.15, 1.1 * e.cutIn}, j, charges)
			e.weighAt(&c, weight, volume, p0, sound, bad, without, with)
		}
	}
	return c.scaled()
}

// weighAt adds the joint likelihoods at one size and pre-charge.
func (e *evidence) weighAt(c *Causes, weight, volume, p0, sound, bad, without, with float64) {
	if e.sdLogP0 > 0 {
		weight *= normalLog(e.p0, p0, math.Max(e.sdLogP0, 0.03))
	}
	charged, lost := normalLog(p0, e.nominalP0, e.sdP0), scaled(p0, e.nominalP0, e.sdP0, before.gasFactor)
	if weight*(charged+lost) < 1e-12 {
		return
	}
	c0 := p0 * volume
	tight, leaking, stayed, fell, stayedTight := 1.0, 1.0, 1.0, 1.0, 1.0
	if e.sdLogLeak > 0 {
		leak, sd := e.leak*c0, math.Hypot(healthy.leakSD, e.sdLogLeak)
		tight, leaking = normalLog(leak, healthy.leakMlSBar, sd), scaled(leak, healthy.leakMlSBar, sd, before.leakFactor)
		if e.unseen > 0 {
			tight += e.unseen * (scaled(leak, healthy.leakMlSBar, sd, shortenedBy) - tight)
			leaking += e.unseen * (scaled(leak, before.leakFactor[0]*healthy.leakMlSBar, sd, shortenedBy) - leaking)
		}
		lostMl := math.Max(leak-healthy.leakMlSBar, 0) * (e.middle - AtmosphereBar) * e.durationS
		stayed, fell = e.levelLikelihood(lostMl)
	} else if e.levelMl != nil {
		stayed, _ = e.levelLikelihood(0)
		_, fell = e.levelLikelihood(unknownLossMl)
	}
	stayedTight = stayed
	strong, weak, aerated := 1.0, 1.0, 1.0
	if e.sdLogPump > 0 {
		flow, sd := e.pump*c0, math.Hypot(e.flowSD, e.sdLogPump)
		strong, weak = normalLog(flow, e.flow, sd), scaled(flow, e.flow, sd, before.pumpFactor)
		aerated = scaled(flow, e.flow, sd, before.airFactor)
	}
	// The chance of what was seen in other states of the valves: a leak in one of
	// them only is found nine times in ten, and taken for one falsely once in a
	// hundred.
	other, here, elsewhere := 1.0, 1.0, 0.0
	switch {
	case e.otherState > 0:
		other, here, elsewhere = 0.01, 0.02, 0.9
	case e.otherState < 0:
		other, here, elsewhere = 0.99, 0.98, 0.1
	}
	base := weight * charged * strong
	c.Normal += before.normal * base * tight * stayedTight * sound * without * other
	c.Sensor += before.sensor * base * tight * stayedTight * bad * without * other
	c.GasLoss += before.gasLoss * weight * lost * strong * tight * stayedTight * sound * without * other
	c.InternalLeak += before.internal * base * stayed * sound * without * (0.75*leaking*here + 0.25*tight*elsewhere)
	c.ExternalLeak += before.external * base * leaking * fell * sound * without * other
	c.WeakPump += before.pump * weight * charged * weak * tight * stayedTight * sound * without * other
	c.Air += before.air * weight * charged * aerated * tight * stayedTight * sound * with * other
}

// scaled makes the chances sum to 1. None falls below one in ten thousand: no
// log rules a cause out by more than that.
func (c Causes) scaled() Causes {
	all := []*float64{&c.Normal, &c.GasLoss, &c.InternalLeak, &c.ExternalLeak, &c.WeakPump, &c.Air, &c.Sensor}
	sum := 0.0
	for _, p := range all {
		sum += *p
	}
	if !(sum > 0) { // readings that no cause explains
		for _, p := range all {
			*p = 1
		}
		sum = float64(len(all))
	}
	const least = 1e-4
	for _, p := range all {
		*p = (*p/sum + least) / (1 + float64(len(all))*least)
	}
	return c
}
