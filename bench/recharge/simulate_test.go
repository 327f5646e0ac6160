package recharge

import (
	"math"
	"math/rand/v2"
)

// made is an invented power unit. It shares no code with what reads its logs.
type made struct {
	volumeMl, p0Gauge, tau float64 // p0 at the temperature of the wall
	leak, otherLeak        float64 // mL/s/bar; otherLeak while a valve stands open, after the first, third, ... actuation
	flow, slip             float64 // mL/s at no pressure, share lost at 50 bar
	actuatorMl             float64
	airMl                  float64 // at the pressure of the atmosphere
	airScatter             float64
	cutIn, cutOut          float64
	badShare, offset       float64
	static                 int
	bursts                 []int
	rate                   float64 // readings a second, about
	noise, quantum         float64
	gamma                  float64
	wallC                  float64
}

func healthyUnit() made {
	return made{
		volumeMl: 400, p0Gauge: 26, tau: 9, leak: 0.00245, flow: 13.2, slip: 0.03, actuatorMl: 5, airMl: 0.4,
		cutIn: 40, cutOut: 50, static: 4, bursts: []int{14, 10}, rate: 3, noise: 0.25, quantum: 1, gamma: 1.4, wallC: 20,
	}
}

// truth is what the simulation did.
type truth struct {
	runs       []PumpRun
	settled    []float64 // static intervals, start to start, the first left out
	actuations []float64
	leakedMl   float64
	coolBar    float64 // by which pressure falls by cooling alone after the last settled recharge
}

const (
	pa  = 1.01325
	dt  = 0.01
	tw  = 293.15
	off = 5.0 // s drained before the pump starts
)

// play runs the unit: drained, cold fill, static recharges, bursts of
// actuations with a rest after each.
func (m made) play(random *rand.Rand) (Log, truth) {
	c0 := (m.p0Gauge + pa) * m.volumeMl
	oil, temp, air := 0.0, tw, 0.0
	p := pa
	pump, opened := true, false
	var l Log
	var did truth
	nextReading, t, endAt := 0.0, 0.0, 0.0
	startedAt, statics, flowNow := off, 0, m.flow
	var schedule []float64
	started := false
	for {
		t += dt
		if t >= nextReading {
			l.TimeS = append(l.TimeS, math.Round(t*1000)/1000)
			l.PressureBar = append(l.PressureBar, m.read(p-pa, random))
			nextReading = t + (0.6+0.8*random.Float64())/m.rate
		}
		if t < off {
			continue
		}
		inflow := 0.0
		if pump {
			inflow = flowNow * (1 - m.slip*(p-pa)/50)
		}
		if oil <= 0 && air < m.airMl*(1-pa/(m.p0Gauge+pa)) {
			air += inflow * dt
			p = math.Min(pa*m.airMl/(m.airMl-air), m.p0Gauge+pa)
		} else {
			g := m.leak
			if opened {
				g += m.otherLeak
			}
			out := g * (p - pa)
			did.leakedMl += m.leak * (p - pa) * dt
			dv := -(inflow - out) * dt
			v := m.volumeMl - oil
			oil = math.Max(oil-dv, 0)
			temp += ((tw-temp)/m.tau - (m.gamma-1)*temp*dv/dt/v) * dt
			p = c0 * temp / tw / (m.volumeMl - oil)
		}
		if len(schedule) > 0 && t >= schedule[0] {
			schedule = schedule[1:]
			did.actuations = append(did.actuations, t)
			v := m.volumeMl - oil
			d := m.actuatorMl * (1 + 0.06*random.NormFloat64())
			oil = math.Max(oil-d, 0)
			temp *= math.Pow(v/(m.volumeMl-oil), m.gamma-1)
			p = c0 * temp / tw / (m.volumeMl - oil)
			opened = !opened
		}
		switch {
		case pump && p-pa >= m.cutOut:
			pump = false
			did.runs = append(did.runs, PumpRun{startedAt, t})
			if !started && len(did.runs) > 1 {
				did.coolBar = p * (1 - tw/temp)
			}
		case !pump && p-pa <= m.cutIn:
			pump = true
			flowNow = m.flow * (1 + m.airScatter*random.NormFloat64())
			if n := len(did.runs); !started && n > 1 {
				did.settled = append(did.settled, t-startedAt)
			}
			startedAt = t
			statics++
		}
		if !started && statics == m.static && !pump {
			started = true
			schedule = m.schedule(t, random)
			endAt = t + 60
			if len(schedule) > 0 {
				endAt = schedule[len(schedule)-1] + 200
			}
		}
		if started && t > endAt || t > 20_000 {
			return l, did
		}
	}
}

func (m made) schedule(from float64, random *rand.Rand) []float64 {
	var at []float64
	t := from + 45
	for _, n := range m.bursts {
		for range n {
			at = append(at, t)
			t += 5.3 + 1.4*random.Float64()
		}
		t += 90
	}
	return at
}

// read is the sensor.
func (m made) read(gauge float64, random *rand.Rand) float64 {
	p := gauge + m.offset + m.noise*random.NormFloat64()
	if gauge < 0.01 {
		p = gauge + m.offset + 0.3*m.noise*random.NormFloat64()
	}
	if m.badShare > 0 && random.Float64() < m.badShare {
		p = 99 * float64(random.IntN(2))
	}
	if m.quantum > 0 {
		p = math.Round(p/m.quantum) * m.quantum
	}
	return math.Max(p, 0)
}
