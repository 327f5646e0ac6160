package demo

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/rand/v2"
)

// wheelSound is a simulated recording of a wheel that is spun: hiss, the wheel's own
// hum and, where something strikes, a ringing at each strike. Nothing of it was
// measured.
type wheelSound struct {
	Seed    uint64  `yaml:"seed"`
	Seconds float64 `yaml:"seconds"`
	ShaftHz float64 `yaml:"shaft_hz"`
	Strikes float64 `yaml:"strikes"` // a turn; 0: nothing strikes
	Loud    float64 `yaml:"loud"`    // each strike
}

const (
	soundRate = 11025
	ringHz    = 2700
	ringFades = 1500 // a second
)

// wav is the recording as a file, 16 bits mono.
func (w wheelSound) wav() []byte {
	x := w.samples()
	var b bytes.Buffer
	put := func(v any) { _ = binary.Write(&b, binary.LittleEndian, v) } // a buffer takes all
	b.WriteString("RIFF")
	put(uint32(36 + 2*len(x)))
	b.WriteString("WAVEfmt ")
	put(uint32(16))
	put([2]uint16{1, 1})
	put([2]uint32{soundRate, 2 * soundRate})
	put([2]uint16{2, 16})
	b.WriteString("data")
	put(uint32(2 * len(x)))
	for _, v := range x {
		put(int16(math.Round(20000 * max(-1, min(1, v)))))
	}
	return b.Bytes()
}

func (w wheelSound) samples() []float64 {
	r := rand.New(rand.NewPCG(w.Seed, 5))
	x := make([]float64, int(soundRate*w.Seconds))
	for i := range x {
		turn := 2 * math.Pi * w.ShaftHz * float64(i) / soundRate
		x[i] = 0.1*r.NormFloat64() + 0.03*math.Cos(turn) + 0.02*math.Cos(2*turn+1) + 0.015*math.Cos(3*turn+2)
	}
	if w.Strikes == 0 {
		return x
	}
	every := 1 / (w.Strikes * w.ShaftHz)
	for at := 0.0; at < w.Seconds; at += every * (1 + 0.01*r.NormFloat64()) {
		first := int(at * soundRate)
		for i := first; i < len(x) && i < first+soundRate/200; i++ {
			since := float64(i)/soundRate - at
			x[i] += w.Loud * math.Exp(-ringFades*since) * math.Sin(2*math.Pi*ringHz*since)
		}
	}
	return x
}
