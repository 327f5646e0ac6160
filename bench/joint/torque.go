package joint

import "math"

// Bounds of what may be entered.
const (
	LowestFriction   = 0.04
	HighestFriction  = 0.5
	LowestNutFactor  = 0.06
	HighestNutFactor = 0.6
)

// Coefficients as the guideline prints them; 1/(2 pi) and 1/(2 cos 30) to two
// digits.
//
// ref: VDI_2230 M_A
const (
	slopePart  = 0.16
	threadPart = 0.58
	flankPart  = 1.155 // 1/cos 30
)

// Contact is where a joint rubs: its thread and its head.
type Contact struct {
	Thread Thread
	Head   Head
}

// ArmMm is torque over preload, N·m per kN: the lever at which the preload
// resists being raised.
//
// ref: VDI_2230 M_A
func (c Contact) ArmMm(muThread, muHead float64) float64 {
	t := c.Thread
	return slopePart*t.PitchMm + threadPart*t.PitchDiameterMm()*muThread + c.Head.MeanMm()/2*muHead
}

// Torque is the torque that a preload needs.
func (c Contact) Torque(preloadKN, muThread, muHead float64) (torqueNm float64) {
	return preloadKN * c.ArmMm(muThread, muHead)
}

// Preload is the preload that a torque gives.
func (c Contact) Preload(torqueNm, muThread, muHead float64) (preloadKN float64) {
	return torqueNm / c.ArmMm(muThread, muHead)
}

// NutFactor is K of T = K d F.
func (c Contact) NutFactor(muThread, muHead float64) float64 {
	return c.ArmMm(muThread, muHead) / c.Thread.DiameterMm
}

// FrictionOf is the friction, alike in thread and under the head, that gives a
// nut factor. It may be below what friction can be.
func (c Contact) FrictionOf(nutFactor float64) float64 {
	t := c.Thread
	return (nutFactor*t.DiameterMm - slopePart*t.PitchMm) / (threadPart*t.PitchDiameterMm() + c.Head.MeanMm()/2)
}

// Shares are where the torque goes.
type Shares struct{ Stretch, Thread, Head float64 }

// Shares tells how much of a torque stretches the bolt and how much is rubbed
// away.
func (c Contact) Shares(muThread, muHead float64) Shares {
	arm := c.ArmMm(muThread, muHead)
	t := c.Thread
	return Shares{slopePart * t.PitchMm / arm, threadPart * t.PitchDiameterMm() * muThread / arm, c.Head.MeanMm() / 2 * muHead / arm}
}

// Twist is the equivalent stress of a bolt under tension and the torque of its
// thread over the tension alone.
//
// ref: VDI_2230 F_M
func (t Thread) Twist(muThread float64) float64 {
	d2 := t.PitchDiameterMm()
	x := 1.5 * d2 / t.StressDiameterMm() * (t.PitchMm/(math.Pi*d2) + flankPart*muThread)
	return math.Sqrt(1 + 3*x*x)
}

// Utilisation is the equivalent stress while a bolt is turned to a preload, as a
// share of its yield.
func (t Thread) Utilisation(preloadKN, muThread, yieldMPa float64) float64 {
	return preloadKN * 1000 * t.Twist(muThread) / (t.StressAreaMm2() * yieldMPa)
}

// AssemblyPreload is the preload at which a share of the yield is used while
// turning.
//
// ref: VDI_2230 F_M
func (t Thread) AssemblyPreload(share, muThread, yieldMPa float64) (preloadKN float64) {
	return share * yieldMPa * t.StressAreaMm2() / t.Twist(muThread) / 1000
}

// ShigleyNutFactor is the nut factor by the exact mechanics of a square-thread
// screw with the flank's angle, and 0.625 for the arm under the head. meanMm is
// the mean diameter of the thread.
//
// ref: SHIGLEY eq. 8-26
func ShigleyNutFactor(diameterMm, meanMm, pitchMm, muThread, muHead float64) float64 {
	slope := pitchMm / (math.Pi * meanMm)
	sec := 1 / math.Cos(math.Pi/6)
	return meanMm/(2*diameterMm)*(slope+muThread*sec)/(1-muThread*slope*sec) + 0.625*muHead
}
