package recharge

import (
	"math/rand/v2"
	"testing"
)

// TestSoundUnitsOfOtherMakes: what is expected of a healthy unit has the invented
// unit of the sample logs in its middle, so that those logs do not show what
// becomes of others. None that is sound may fail for being small, large, tight or
// made for another pressure; with its nominal figures given nothing else may be
// likeliest. All invented.
func TestSoundUnitsOfOtherMakes(t *testing.T) {
	for _, c := range []struct {
		name  string
		alter func(*made)
		pass  bool // without nominal figures
	}{
		{"0.15 L", func(m *made) { m.volumeMl = 150 }, false},
		{"0.8 L", func(m *made) { m.volumeMl = 800 }, false},
		{"a tight valve", func(m *made) { m.leak *= 0.4 }, true},
		{"a worn valve that still holds for minutes", func(m *made) { m.leak *= 1.8 }, false},
		{"a quick pump", func(m *made) { m.flow = 25 }, true},
		{"a small pump", func(m *made) { m.flow = 6.5 }, false},
		{"brakes, 140 to 180 bar", func(m *made) {
			m.cutIn, m.cutOut, m.p0Gauge, m.volumeMl, m.flow, m.leak = 140, 180, 80, 250, 8, 0.0006
		}, true},
		{"suspension, 120 to 150 bar", func(m *made) {
			m.cutIn, m.cutOut, m.p0Gauge, m.volumeMl, m.flow, m.leak = 120, 150, 70, 800, 30, 0.001
		}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := healthyUnit()
			m.rate, m.quantum = 4, 0.1
			c.alter(&m)
			log, did := m.play(rand.New(rand.NewPCG(5, 6)))
			litres, flow := m.volumeMl/1000, m.flow*0.06
			for what, k := range map[string]Case{
				"log":                      {Log: &log},
				"log with nominal figures": {Log: &log, GasVolumeL: &litres, PumpLMin: &flow, PrechargeBar: &m.p0Gauge},
				"pump times":               {Runs: did.runs},
			} {
				r, err := Examine(t.Context(), k)
				if err != nil {
					t.Fatal(err)
				}
				if r.Verdict == Fail || what == "log" && (r.Verdict == Pass) != c.pass {
					t.Errorf("%s: %s: %s", what, r.Verdict, r.Why)
				}
				if best := r.Causes.likeliest()[0]; k.GasVolumeL != nil && best.cause != normalCause {
					t.Errorf("%s: %s %.2f", what, best.name, best.chance)
				}
			}
		})
	}
}
