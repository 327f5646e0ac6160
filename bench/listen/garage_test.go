package listen

import (
	"math"
	"math/rand/v2"
)

// garage makes recordings of an invented pump in an invented garage. It shares
// nothing with what listens: sound is added up sample by sample in time.
type garage struct {
	rate int
	mono []float64
	dice *rand.Rand
}

func newGarage(rate int, lastsS float64, seed uint64) *garage {
	return &garage{rate, make([]float64, int(lastsS*float64(rate))), rand.New(rand.NewPCG(seed, 77))}
}

// each calls f for the samples of a stretch with the time since its start and the
// length of a sample.
func (g *garage) each(fromS, toS float64, f func(t, dt float64) float64) {
	dt := 1 / float64(g.rate)
	for i := max(0, int(fromS*float64(g.rate))); i < min(len(g.mono), int(min(toS, 1e5)*float64(g.rate))); i++ {
		g.mono[i] += f(float64(i)*dt-fromS, dt)
	}
}

// room is the hiss and rumble of a room: white noise and white noise smoothed.
func (g *garage) room(hiss, rumble float64) {
	low := 0.0
	share := 1 - math.Exp(-2*math.Pi*150/float64(g.rate))
	for i := range g.mono {
		low += share * (g.dice.NormFloat64() - low)
		g.mono[i] += hiss*g.dice.NormFloat64() + rumble*low/math.Sqrt(share/2)
	}
}

// engine is a pump as it is heard.
type engine struct {
	shaftHz  float64 // when the run begins, settled
	sag      float64 // share of the speed lost over a run
	spinUpS  float64
	orders   []float64
	levels   []float64
	coastS   float64 // time constant of slowing after switching off
	silentOf float64 // not used by the listener: share by which levels differ from run to run
}

// sounds adds one run.
func (g *garage) sounds(e engine, onS, offS float64) {
	phases := make([]float64, len(e.orders))
	for k := range phases {
		phases[k] = 2 * math.Pi * g.dice.Float64()
	}
	gain := 1 + e.silentOf*(2*g.dice.Float64()-1)
	g.each(onS, offS+5*e.coastS, func(t, dt float64) float64 {
		speed := e.shaftHz * (1 - math.Exp(-t/e.spinUpS)) * (1 - e.sag*(1-math.Exp(-2*t/(offS-onS)))/(1-math.Exp(-2)))
		loud := min(1, speed/e.shaftHz/0.7)
		if after := t - (offS - onS); after > 0 {
			slow := math.Exp(-after / e.coastS)
			speed, loud = speed*slow, loud*slow*slow
		}
		sum := 0.0
		for k, order := range e.orders {
			phases[k] += 2 * math.Pi * order * speed * dt
			sum += e.levels[k] * math.Sin(phases[k])
		}
		return gain * loud * loud * sum
	})
}

// talk is somebody speaking: syllables of a buzz whose pitch wanders, through
// two resonances that move.
func (g *garage) talk(fromS, toS, level float64) {
	for at := fromS; at < toS; {
		lasts := 0.1 + 0.25*g.dice.Float64()
		f0, bend := 90+120*g.dice.Float64(), 0.4*(g.dice.Float64()-0.5)
		one, two := 300+500*g.dice.Float64(), 900+1300*g.dice.Float64()
		phase := 0.0
		g.each(at, min(toS, at+lasts), func(t, dt float64) float64 {
			pitch := f0 * (1 + bend*t/lasts)
			phase += 2 * math.Pi * pitch * dt
			sum := 0.0
			for k := 1.0; k*pitch < 3400; k++ {
				sum += (resonance(k*pitch, one) + 0.5*resonance(k*pitch, two)) * math.Sin(k*phase)
			}
			return level * sum * math.Sin(math.Pi*min(1, t/lasts))
		})
		at += lasts + 0.15*g.dice.Float64()
		if g.dice.Float64() < 0.12 {
			at += g.dice.Float64()
		}
	}
}

func resonance(hz, centre float64) float64 {
	x := (hz - centre) / 120
	return 1 / (1 + x*x)
}

// music is chords of held notes that die away.
func (g *garage) music(fromS, toS, level, noteS float64) {
	scale := []float64{110, 130.81, 146.83, 164.81, 196, 220, 261.63, 329.63, 392, 440}
	for at := fromS; at < toS; at += noteS {
		for range 3 {
			f := scale[g.dice.IntN(len(scale))]
			g.each(at, at+noteS, func(t, _ float64) float64 {
				sum := 0.0
				for k := 1.0; k <= 5; k++ {
					sum += math.Sin(2*math.Pi*k*f*t) / (k * k)
				}
				return level * sum * math.Exp(-1.2*t/noteS)
			})
		}
	}
}

// slam is a door.
func (g *garage) slam(atS, level float64) {
	g.each(atS, atS+0.6, func(t, _ float64) float64 { return level * g.dice.NormFloat64() * math.Exp(-t/0.08) })
}

// drill is a machine in somebody's hand, its pitch going up and down.
func (g *garage) drill(fromS, toS, hz, level float64) {
	phase := 0.0
	g.each(fromS, toS, func(t, dt float64) float64 {
		phase += 2 * math.Pi * hz * (1 + 0.12*math.Sin(2*math.Pi*1.3*t) + 0.05*math.Sin(2*math.Pi*0.37*t)) * dt
		return level * (math.Sin(phase) + 0.6*math.Sin(2*phase) + 0.4*math.Sin(3*phase) + 0.3*g.dice.NormFloat64())
	})
}

// hum is a steady machine: mains, a fan.
func (g *garage) hum(hz, level float64, orders int) {
	g.each(0, math.Inf(1), func(t, _ float64) float64 {
		sum := 0.0
		for k := 1; k <= orders; k++ {
			sum += math.Sin(2*math.Pi*float64(k)*hz*t) / float64(k)
		}
		return level * sum
	})
}

// record is what the phone keeps: 16 bits, overdriven where too loud.
func (g *garage) record() *Samples {
	s := &Samples{Rate: g.rate, Mono: make([]float32, len(g.mono))}
	for i, v := range g.mono {
		s.Mono[i] = float32(math.Round(32767*max(-1, min(1, v))) / 32768)
	}
	return s
}
