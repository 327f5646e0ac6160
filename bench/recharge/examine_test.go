package recharge

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/uncertain"
)

// drawn is an invented unit with one fault, or none, of a size anywhere from
// mild to severe.
func drawn(r *rand.Rand) (made, string) {
	between := func(a, b float64) float64 { return a * math.Exp(r.Float64()*math.Log(b/a)) }
	u := healthyUnit()
	u.volumeMl, u.p0Gauge, u.tau = between(300, 500), 22+8*r.Float64(), between(4, 18)
	u.leak, u.flow, u.slip, u.rate = between(0.0017, 0.0035), between(10.5, 15.5), 0.05*r.Float64(), between(2, 5)
	if r.IntN(3) == 0 {
		u.gamma = 1.48 // real nitrogen near 50 bar
	}
	name := strings.Fields("normal gas_loss internal_leak external_leak weak_pump air sensor")[r.IntN(7)]
	switch name {
	case "gas_loss":
		u.p0Gauge = (u.p0Gauge+pa)*between(0.12, 0.7) - pa
	case "internal_leak", "external_leak":
		u.leak *= between(1.7, 8)
	case "weak_pump":
		u.flow *= between(0.25, 0.7)
		u.slip = 0.4 * r.Float64()
	case "air":
		u.airMl, u.airScatter = u.flow*between(0.8, 4), 0.1
		u.flow *= 0.75 + 0.2*r.Float64()
	case "sensor":
		if r.IntN(3) == 0 {
			u.offset = 2 + 4*r.Float64()
		} else {
			u.badShare = between(0.003, 0.04)
		}
	}
	return u, name
}

func (c Causes) byName() map[string]float64 {
	return map[string]float64{
		"normal": c.Normal, "gas_loss": c.GasLoss, "internal_leak": c.InternalLeak, "external_leak": c.ExternalLeak,
		"weak_pump": c.WeakPump, "air": c.Air, "sensor": c.Sensor,
	}
}

// TestChancesAreHonest: over many invented units what is said with a chance of p
// comes true about p of the time. The test's simulator has the physics of the
// reference; real units will do worse.
func TestChancesAreHonest(t *testing.T) {
	const units = 150
	random := rand.New(rand.NewPCG(3, 5))
	hits, brier, sure, right, intervals := 0, 0.0, 0.0, 0.0, 0
	var leaks, taus, charges []float64 // errors over their standard uncertainties
	for range units {
		u, name := drawn(random)
		log, did := u.play(random)
		level := 3 * random.NormFloat64()
		if name == "external_leak" {
			level += did.leakedMl * (1 - 0.0026/u.leak)
		}
		r, err := Examine(t.Context(), Case{Log: &log, ReservoirDropMl: &level})
		if err != nil {
			t.Fatal(err)
		}
		if name != "sensor" && name != "air" && r.Settle != nil && r.PrechargeBar != nil {
			wide := 2 * uncertain.HalfOf95
			e, p := r.LeakConductance, r.PrechargeBar
			leaks = append(leaks, (e.Value-u.leak/(u.volumeMl*(u.p0Gauge+pa)))/((e.High-e.Low)/wide))
			taus = append(taus, math.Log(r.Settle.TimeConstantS/u.tau)/(math.Log(r.Settle.TimeHighS/r.Settle.TimeLowS)/wide))
			charges = append(charges, (p.Value-u.p0Gauge)/((p.High-p.Low)/wide))
		}
		best, chance := "", 0.0
		for cause, p := range r.Causes.byName() {
			y := 0.0
			if cause == name {
				y = 1
			}
			brier += (p - y) * (p - y) / units
			if p > 0.9 {
				sure, right = sure+p, right+y
			}
			if p > chance {
				best, chance = cause, p
			}
		}
		if best == name {
			hits++
		}
		if name != "sensor" && r.Interval.N >= 3 && math.Abs(*r.Interval.MeanS/meanOf(did.settled[max(0, len(did.settled)-2):])-1) < 0.02 {
			intervals++
		}
	}
	t.Logf("%d of %d right, Brier %.3f, said over 0.9: %.1f, came true %.0f, intervals within 2 %%: %d", hits, units, brier, sure, right, intervals)
	if hits < units*85/100 || brier > 0.16 {
		t.Errorf("%d of %d right, Brier %.3f", hits, units, brier)
	}
	for what, z := range map[string][]float64{"leak": leaks, "time constant": taus, "pre-charge": charges} {
		square := 0.0
		for _, v := range z {
			square += v * v / float64(len(z))
		}
		if rms := math.Sqrt(square); rms < 0.3 || rms > 1.5 {
			t.Errorf("%s: errors are %.2f of what is said", what, rms)
		}
	}
	if right < sure-3*math.Sqrt(sure*0.05)-2 {
		t.Errorf("too sure: %.1f said, %.0f came true", sure, right)
	}
}

// TestScale: a unit twice as large with twice the pump, leak and actuator reads
// the same on a gauge, so that it is judged the same where no size is given.
func TestScale(t *testing.T) {
	small := healthyUnit()
	large := small
	large.volumeMl, large.leak, large.flow, large.actuatorMl, large.airMl = 2*small.volumeMl, 2*small.leak, 2*small.flow, 2*small.actuatorMl, 2*small.airMl
	a, _ := small.play(rand.New(rand.NewPCG(1, 1)))
	b, _ := large.play(rand.New(rand.NewPCG(1, 1)))
	ra, _ := Examine(t.Context(), Case{Log: &a})
	rb, _ := Examine(t.Context(), Case{Log: &b})
	near(t, "leak per charge", ra.LeakConductance.Value, rb.LeakConductance.Value, 0.01)
	near(t, "interval", *ra.Interval.MeanS, *rb.Interval.MeanS, 0.005)
	near(t, "chance of nothing wrong", ra.Causes.Normal, rb.Causes.Normal, 0.02)
	if ra.Verdict != Pass {
		t.Errorf("a healthy unit: %s, %s", ra.Verdict, ra.Why)
	}
	// Its size given, the scale shows.
	size := 0.8
	sized, _ := Examine(t.Context(), Case{Log: &b, GasVolumeL: &size})
	near(t, "leak", sized.LeakMlPerMin.Value, 2*0.00245*45*60, 0.1)
	near(t, "pump", sized.PumpMlPerS.Value, 26.4*0.973, 0.2)
}

// TestOddLoggersAndUnits: slow, fast, coarse, fine and noisy readings, other
// bands and other gas, all of units whose leak and gas are known.
func TestOddLoggersAndUnits(t *testing.T) {
	for _, c := range []struct {
		name  string
		alter func(*made)
		cause string
		tau   float64 // share allowed
	}{
		{"once in 2 s", func(m *made) { m.rate = 0.5 }, "normal", 0.3},
		{"90 a second", func(m *made) { m.rate = 90 }, "normal", 0.1},
		{"fine", func(m *made) { m.quantum, m.noise, m.rate = 0, 0.05, 10 }, "normal", 0.05},
		{"steps that no noise blurs", func(m *made) { m.noise = 0.02 }, "normal", 0.2},
		{"steps of 2 bar", func(m *made) { m.quantum, m.noise = 2, 0.4 }, "normal", 0.2},
		{"noisy", func(m *made) { m.noise = 0.8 }, "normal", 0.25},
		{"another band", func(m *made) { m.cutIn, m.cutOut, m.p0Gauge = 60, 70, 40 }, "normal", 0.2},
		{"a narrow band", func(m *made) { m.cutIn, m.cutOut = 40, 45 }, "normal", 0.2},
		{"a slow gas", func(m *made) { m.tau = 25 }, "normal", 0.15},
		{"a quick gas", func(m *made) { m.tau = 3 }, "normal", 0.3},
		{"hardly any gas", func(m *made) { m.p0Gauge = 3 }, "gas_loss", 0.4},
		{"a slow pump", func(m *made) { m.flow, m.slip = 2.6, 0.3 }, "weak_pump", 0.15},
		{"much air", func(m *made) { m.airMl, m.airScatter = 60, 0.12 }, "air", 0.2},
		{"few bad readings", func(m *made) { m.badShare = 0.003 }, "sensor", 0.2},
		{"many bad readings", func(m *made) { m.badShare = 0.08 }, "sensor", 0.3},
	} {
		t.Run(c.name, func(t *testing.T) {
			m := healthyUnit()
			c.alter(&m)
			log, _ := m.play(rand.New(rand.NewPCG(11, 3)))
			r, err := Examine(t.Context(), Case{Log: &log})
			if err != nil {
				t.Fatal(err)
			}
			near(t, "leak", r.LeakConductance.Value, m.leak/(m.volumeMl*(m.p0Gauge+pa)), 0.1)
			near(t, "time constant", r.Settle.TimeConstantS, m.tau, c.tau)
			if math.Abs(r.PrechargeBar.Value-m.p0Gauge) > 1.5 {
				t.Errorf("pre-charge %.2f bar, put in %.2f", r.PrechargeBar.Value, m.p0Gauge)
			}
			if p := r.Causes.byName()[c.cause]; p < 0.7 || (r.Verdict == Pass) != (c.cause == "normal") {
				t.Errorf("%s %.2f, %s: %s", c.cause, p, r.Verdict, r.Why)
			}
		})
	}
}

// TestOneStateOnly: a leak past a seal that is under pressure in one state only.
func TestOneStateOnly(t *testing.T) {
	u := healthyUnit()
	u.otherLeak, u.bursts = 5*u.leak, []int{9, 7}
	log, _ := u.play(rand.New(rand.NewPCG(2, 9)))
	r, err := Examine(t.Context(), Case{Log: &log})
	if err != nil {
		t.Fatal(err)
	}
	if r.Causes.InternalLeak < 0.6 {
		t.Errorf("%+v, signs %q", r.Causes, r.Signs)
	}
}

func TestWhatTheLogCannotTell(t *testing.T) {
	u := healthyUnit()
	log, did := u.play(rand.New(rand.NewPCG(4, 4)))
	cut := func(from, to float64) *Log {
		out := &Log{}
		for i, at := range log.TimeS {
			if at >= from && at < to {
				out.TimeS, out.PressureBar = append(out.TimeS, at), append(out.PressureBar, log.PressureBar[i])
			}
		}
		return out
	}
	for _, c := range []struct {
		name     string
		log      *Log
		why      string
		hasKnee  bool
		cycles   int
		settled  int
		nextWord string
	}{
		{"half a cycle", cut(40, 200), "no whole recharge", false, 0, 0, "three settled recharges"},
		{"the fill alone", cut(0, 120), "no settled interval yet", true, 1, 0, "three settled recharges"},
		{"no fill", cut(100, did.runs[4].OnS+20), "", false, 4, 3, "cold first fill"},
		{"one interval", cut(100, did.runs[2].OnS+20), "1 settled interval", false, 2, 1, "cold first fill"},
	} {
		t.Run(c.name, func(t *testing.T) {
			r, err := Examine(t.Context(), Case{Log: c.log})
			if err != nil {
				t.Fatal(err)
			}
			if len(r.Cycles) != c.cycles || r.Interval.N != c.settled || (r.PrechargeBar != nil) != c.hasKnee {
				t.Errorf("%d recharges, %d settled, pre-charge %v", len(r.Cycles), r.Interval.N, r.PrechargeBar)
			}
			if c.why != "" && (r.Verdict != CannotTell || !strings.Contains(r.Why, c.why)) {
				t.Errorf("%s: %s", r.Verdict, r.Why)
			}
			if !strings.Contains(r.asked(), c.nextWord) {
				t.Errorf("next: %q", r.Next)
			}
			if len(r.Cautions) == 0 || !strings.Contains(r.Cautions[0], "maker's procedure") {
				t.Errorf("cautions: %q", r.Cautions)
			}
		})
	}
}

// TestGaps: what happened while nothing was read is not guessed at.
func TestGaps(t *testing.T) {
	u := healthyUnit()
	log, did := u.play(rand.New(rand.NewPCG(4, 4)))
	for _, c := range []struct {
		name     string
		from, to float64
		settled  int
		verdict  string
	}{
		{"in a rest", did.runs[2].OffS + 60, did.runs[2].OffS + 160, 3, Pass},
		{"over a recharge", did.runs[3].OnS - 20, did.runs[3].OffS + 20, 1, CannotTell},
		{"over the end of the fill", did.runs[0].OnS + 4, did.runs[0].OffS + 10, 3, Pass},
	} {
		cut := &Log{}
		for i, at := range log.TimeS {
			if at < c.from || at >= c.to {
				cut.TimeS, cut.PressureBar = append(cut.TimeS, at), append(cut.PressureBar, log.PressureBar[i])
			}
		}
		r, err := Examine(t.Context(), Case{Log: cut})
		if err != nil {
			t.Fatal(err)
		}
		if r.Interval.N != c.settled || r.Verdict != c.verdict || r.Screen.Gaps != 1 || r.Causes.Sensor > 0.1 {
			t.Errorf("%s: %d settled, %s: %s, %+v", c.name, r.Interval.N, r.Verdict, r.Why, r.Screen)
		}
		near(t, c.name+": interval", *r.Interval.MeanS, did.settled[0], 0.01)
	}
}

func TestMarksCount(t *testing.T) {
	u := healthyUnit()
	log, did := u.play(rand.New(rand.NewPCG(8, 8)))
	var marks []Mark
	for _, r := range did.runs {
		marks = append(marks, Mark{r.OnS, PumpOn}, Mark{r.OffS, PumpOff})
	}
	for _, at := range did.actuations {
		marks = append(marks, Mark{at, Actuation})
	}
	r, err := Examine(t.Context(), Case{Log: &log, Marks: marks})
	if err != nil {
		t.Fatal(err)
	}
	during := 0
	for _, at := range did.actuations {
		for _, run := range did.runs {
			if at >= run.OnS && at <= run.OffS+0.05 {
				during++
			}
		}
	}
	if len(r.Actuations) != len(did.actuations)-during {
		t.Errorf("%d actuations, %d marked outside of pump runs", len(r.Actuations), len(did.actuations)-during)
	}
	near(t, "run time", r.Cycles[2].FillS, did.runs[2].OffS-did.runs[2].OnS, 1e-9)
}

func TestImpossibleCases(t *testing.T) {
	flat, falling := make([]float64, 50), make([]float64, 50)
	times := make([]float64, 50)
	for i := range times {
		times[i], flat[i], falling[i] = float64(i), 45, 20-float64(i)
	}
	back := append([]float64(nil), times...)
	back[30] = 3
	warm := 300.0
	for _, c := range []struct {
		name, want string
		c          Case
	}{
		{"nothing", "neither", Case{}},
		{"one value", "every reading is 45 bar", Case{Log: &Log{TimeS: times, PressureBar: flat}}},
		{"below a vacuum", "below a vacuum", Case{Log: &Log{TimeS: times, PressureBar: falling}}},
		{"clock", "backwards", Case{Log: &Log{TimeS: back, PressureBar: falling}}},
		{"not a number", "no pressure", Case{Log: &Log{TimeS: times, PressureBar: append([]float64{math.NaN()}, flat[1:]...)}}},
		{"hot", "the temperature", Case{Log: &Log{TimeS: times, PressureBar: falling}, AmbientC: &warm}},
		{"runs", "pump run 2", Case{Runs: []PumpRun{{0, 4}, {3, 5}}}},
	} {
		_, err := Examine(t.Context(), c.c)
		var wrong *InputError
		if !errors.As(err, &wrong) || !strings.Contains(err.Error(), c.want) || wrong.Expected == "" {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// TestAnyReadings: whatever the readings, an answer that holds together.
func TestAnyReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(20, 400).Draw(t, "n")
		l := Log{TimeS: make([]float64, n), PressureBar: make([]float64, n)}
		at, p := 0.0, rapid.Float64Range(0, 60).Draw(t, "start")
		for i := range n {
			at += rapid.SampledFrom([]float64{0, 0.1, 0.3, 1, 40}).Draw(t, "step")
			p = clamp(p+rapid.SampledFrom([]float64{-30, -2, -0.5, -0.1, 0, 1, 3, 20}).Draw(t, "change"), 0, 90)
			l.TimeS[i], l.PressureBar[i] = at, p
		}
		r, err := Examine(t.Context(), Case{Log: &l})
		var wrong *InputError
		if err != nil {
			if !errors.As(err, &wrong) {
				t.Fatal(err)
			}
			return
		}
		holdsTogether(t, r)
		reasonable(t, r)
	})
}

func holdsTogether(t *rapid.T, r Result) {
	sum := 0.0
	for cause, p := range r.Causes.byName() {
		if !(p >= 0 && p <= 1) {
			t.Fatalf("%s: %v", cause, p)
		}
		sum += p
	}
	if math.Abs(sum-1) > 1e-9 {
		t.Fatalf("chances sum to %v", sum)
	}
	if r.Verdict == "" || r.Why == "" {
		t.Fatal("no verdict or no reason")
	}
	for i, c := range r.Cycles {
		if math.IsNaN(c.OnS+c.OffS+c.FillS) || i > 0 && c.OnS < r.Cycles[i-1].OnS {
			t.Fatalf("recharge %d: %+v", i, c)
		}
	}
	for _, s := range r.Working {
		if math.IsNaN(s.Value) || math.IsInf(s.Value, 0) {
			t.Fatalf("working: %+v", s)
		}
	}
	if i := r.Interval; i.LowS != nil && !(*i.LowS <= *i.MeanS && *i.MeanS <= *i.HighS) {
		t.Fatalf("interval: %+v", i)
	}
}
