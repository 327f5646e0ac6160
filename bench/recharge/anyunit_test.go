package recharge

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// sevenCauses are the names of the chances.
var sevenCauses = strings.Fields("normal gas_loss internal_leak external_leak weak_pump air sensor")

// anyUnit is an invented unit, logger and person: other sizes, bands, gases,
// steps, rates, noise and temperatures than the sample logs have, with one fault
// or none, of a size anywhere from mild to severe. All of it is invented data.
func anyUnit(r *rand.Rand, cause string) made {
	between := func(a, b float64) float64 { return a * math.Exp(r.Float64()*math.Log(b/a)) }
	u := healthyUnit()
	u.cutIn = between(30, 60)
	u.cutOut = u.cutIn * (1.16 + 0.16*r.Float64())
	u.wallC = -5 + 45*r.Float64()
	u.p0Gauge = (u.cutIn+pa)*(0.52+0.28*r.Float64()) - pa
	u.volumeMl, u.tau = between(280, 550), between(3, 20)
	u.leak, u.flow, u.slip = between(0.0015, 0.0038), between(9.5, 17), 0.08*r.Float64()
	u.gamma = 1.4 + 0.09*r.Float64()
	u.actuatorMl = between(3, 8)
	u.bursts = []int{3 + r.IntN(12), 3 + r.IntN(8)}
	u.static = 4 + r.IntN(3)
	u.quantum = []float64{0.1, 0.5, 1}[r.IntN(3)]
	u.rate = 1 / between(0.2, 2)
	u.noise = between(0.08, 0.5)
	switch cause {
	case "gas_loss":
		u.p0Gauge = (u.p0Gauge+pa)*between(0.1, 0.7) - pa
	case "internal_leak", "external_leak":
		u.leak *= between(1.7, 10)
	case "weak_pump":
		u.flow *= between(0.2, 0.7)
		u.slip = 0.4 * r.Float64()
	case "air":
		u.airMl, u.airScatter = u.flow*between(0.8, 6), 0.03+0.12*r.Float64()
		u.flow *= 0.7 + 0.25*r.Float64()
	case "sensor":
		if r.IntN(3) == 0 {
			u.offset = 2 + 4*r.Float64()
		} else {
			u.badShare = between(0.002, 0.06)
		}
	}
	return u
}

// tally counts how often something holds.
type tally struct{ yes, all int }

func (c *tally) add(ok bool) {
	c.all++
	if ok {
		c.yes++
	}
}

func (c tally) share() float64 { return float64(c.yes) / math.Max(float64(c.all), 1) }

func (c tally) String() string { return fmt.Sprintf("%d/%d (%.0f %%)", c.yes, c.all, 100*c.share()) }

// survey is what was found over many units.
type survey struct {
	right                         tally
	byCause                       map[string]*tally
	confused                      map[string]int
	charge, leak, drop, tau, mean tally // 95 % intervals that hold what was put in
	wronglyFailed, wronglyPassed  tally
	sure, cameTrue                float64
	seen, made                    map[float64]float64 // actuations, by the step of the readings
	strayDrops                    float64             // actuations seen where there was none
}

func newSurvey() *survey {
	s := &survey{byCause: map[string]*tally{}, confused: map[string]int{}, seen: map[float64]float64{}, made: map[float64]float64{}}
	for _, c := range sevenCauses {
		s.byCause[c] = &tally{}
	}
	return s
}

// take adds one unit.
func (s *survey) take(u made, cause string, did truth, r Result) {
	best, chance := "", 0.0
	for _, name := range sevenCauses {
		if p := r.Causes.byName()[name]; p > chance {
			best, chance = name, p
		}
	}
	s.right.add(best == cause)
	s.byCause[cause].add(best == cause)
	if best != cause {
		s.confused[cause+" as "+best]++
	}
	if chance > 0.9 {
		s.sure += chance
		if best == cause {
			s.cameTrue++
		}
	}
	if cause == "normal" {
		s.wronglyFailed.add(r.Verdict == Fail)
	} else {
		s.wronglyPassed.add(r.Verdict == Pass)
	}
	if cause != "sensor" {
		s.cover(u, did, r)
		s.count(u, did, r)
	}
}

// count counts actuations, by the step of the readings; under 0 those of slow
// loggers.
func (s *survey) count(u made, did truth, r Result) {
	quantum := u.quantum
	if u.rate < 1.5 {
		quantum = 0
	}
	var found []float64
	for _, d := range r.Actuations {
		found = append(found, d.AtS)
		if !anyNear(did.actuations, d.AtS) {
			s.strayDrops++
		}
	}
	for _, at := range did.seeable() {
		s.made[quantum]++
		if anyNear(found, at) {
			s.seen[quantum]++
		}
	}
}

func anyNear(moments []float64, at float64) bool {
	for _, a := range moments {
		if math.Abs(a-at) < 1.5 {
			return true
		}
	}
	return false
}

// cover looks whether intervals hold what was put in.
func (s *survey) cover(u made, did truth, r Result) {
	holds := func(c *tally, want, low, high float64) { c.add(want >= low && want <= high) }
	if p := r.PrechargeBar; p != nil {
		holds(&s.charge, u.p0Gauge, p.Low, p.High)
	}
	if e := r.LeakConductance; e != nil {
		holds(&s.leak, u.leak/(u.volumeMl*(u.p0Gauge+pa)), e.Low, e.High)
	}
	if e := r.Settle; e != nil {
		holds(&s.drop, did.coolBar, e.DropLow, e.DropHigh)
		holds(&s.tau, u.tau, e.TimeLowS, e.TimeHighS)
	}
	if i := r.Interval; i.LowS != nil && len(did.settled) > 0 {
		holds(&s.mean, did.settled[len(did.settled)-1], *i.LowS, *i.HighS)
	}
}

// seeable are the actuations while the pump stood, but for those that started it.
func (d truth) seeable() []float64 {
	var out []float64
	for _, at := range d.actuations {
		for i, run := range d.runs {
			if at > run.OffS+quietS && (i+1 == len(d.runs) || at < d.runs[i+1].OnS-beforeS) {
				out = append(out, at)
			}
		}
	}
	return out
}

func (s *survey) String() string {
	text := fmt.Sprintf("true cause likeliest %v; healthy failed %v, faulty passed %v; said over 0.9: %.1f, came true %.0f\n", s.right, s.wronglyFailed, s.wronglyPassed, s.sure, s.cameTrue)
	for _, c := range sevenCauses {
		text += fmt.Sprintf("  %s %v", c, *s.byCause[c])
	}
	text += fmt.Sprintf("\n  confused: %v\n  95 %% intervals hold: pre-charge %v, leak %v, fall by cooling %v, time constant %v, mean interval %v\n", s.confused, s.charge, s.leak, s.drop, s.tau, s.mean)
	text += fmt.Sprintf("  %.0f actuations that were none\n", s.strayDrops)
	text += fmt.Sprintf("  slower than 1.5 readings a second: %.0f of %.0f actuations seen\n", s.seen[0], s.made[0])
	for _, q := range []float64{0.1, 0.5, 1} {
		text += fmt.Sprintf("  steps of %.1f bar: %.0f of %.0f actuations seen\n", q, s.seen[q], s.made[q])
	}
	return text
}

// surveyOf examines so many units of every cause.
func surveyOf(t testing.TB, each int, seed uint64, log bool) *survey {
	random := rand.New(rand.NewPCG(seed, 17))
	s := newSurvey()
	for range each {
		for _, cause := range sevenCauses {
			u := anyUnit(random, cause)
			readings, did := u.play(random)
			level := 3 * random.NormFloat64()
			if cause == "external_leak" {
				level += did.leakedMl * (1 - 0.0026/u.leak)
			}
			ambient := u.wallC
			c := Case{Log: &readings, ReservoirDropMl: &level, AmbientC: &ambient}
			if !log {
				c.Log, c.Runs = nil, clamped(did.runs, random)
			}
			r, err := Examine(t.Context(), c)
			if err != nil {
				t.Fatal(cause, err)
			}
			reasonable(t, r)
			s.take(u, cause, did, r)
		}
	}
	return s
}

// clamped are runs as noted with a clamp on the pump's cable, to a tenth.
func clamped(runs []PumpRun, random *rand.Rand) []PumpRun {
	round := func(at float64) float64 { return math.Round(10*(at+0.05*random.NormFloat64())) / 10 }
	out := make([]PumpRun, len(runs))
	for i, r := range runs {
		out[i] = PumpRun{OnS: round(r.OnS), OffS: math.Max(round(r.OffS), round(r.OnS)+0.1)}
	}
	return out
}

// TestAnyUnit bounds how often the true cause is likeliest, how often the 95 %
// intervals hold what was put in, and how often a verdict is wrong. The bounds are
// own estimates of what makes the instrument worth its time; a third of the faults
// are so mild, or the loggers so slow, that no reading could tell.
func TestAnyUnit(t *testing.T) {
	s := surveyOf(t, 15, 1, true)
	t.Log(s)
	if s.right.share() < 0.78 || s.wronglyFailed.share() > 0.1 || s.wronglyPassed.share() > 0.1 || s.cameTrue < 0.9*s.sure {
		t.Error("worse than it should be")
	}
	for what, c := range map[string]tally{"pre-charge": s.charge, "leak": s.leak, "fall by cooling": s.drop, "time constant": s.tau, "mean interval": s.mean} {
		if c.share() < 0.85 {
			t.Errorf("%s: the 95 %% intervals hold %v", what, c)
		}
	}
	if seen, made := s.seen[0.1]+s.seen[0.5], s.made[0.1]+s.made[0.5]; seen < 0.75*made || s.strayDrops > 0.06*(seen+s.seen[1]) {
		t.Errorf("%.0f of %.0f actuations seen by steps of 0.1 and 0.5 bar, %.0f that were none", seen, made, s.strayDrops)
	}
}

// TestAnyUnitByTimes: with pump times alone the chances are less sure but no less
// honest. That a sensor is wrong they cannot show.
func TestAnyUnitByTimes(t *testing.T) {
	s := surveyOf(t, 15, 2, false)
	t.Log(s)
	sensor := *s.byCause["sensor"]
	if share := float64(s.right.yes-sensor.yes) / float64(s.right.all-sensor.all); share < 0.75 || s.wronglyFailed.share() > 0.15 || s.cameTrue < 0.85*s.sure {
		t.Errorf("%.0f %% right", 100*share)
	}
}

// BenchmarkAnyUnit prints the figures over 210 units, with a log and with pump
// times alone.
func BenchmarkAnyUnit(b *testing.B) {
	for b.Loop() {
		b.Logf("with a log: %v", surveyOf(b, 30, 1, true))
		b.Logf("pump times alone: %v", surveyOf(b, 30, 2, false))
	}
}

// reasonable holds what a result says against what no result may say.
func reasonable(t rapid.TB, r Result) {
	t.Helper()
	text := r.Why + strings.Join(r.Signs, "; ") + r.asked() + strings.Join(r.Cautions, "; ")
	for _, never := range []string{"replace", "--", "100 %)", "(0 %)", "NaN", "Inf", "%!"} {
		if strings.Contains(text, never) {
			t.Errorf("%s: %q holds %q", r.Verdict, text, never)
		}
	}
	said := strings.Join(r.Reasons, "; ")
	if len(r.Reasons) == 0 || strings.Count(said, "; ") != len(r.Reasons)-1 || !strings.HasPrefix(r.Why, said) || r.Verdict != CannotTell && r.Why != said {
		t.Errorf("%q is not made of %q", r.Why, r.Reasons)
	}
	if r.Verdict == Fail && (strings.Contains(r.Why, "nothing wrong") || strings.Contains(r.Why, "over the two minutes") || strings.Contains(r.Why, "too near")) {
		t.Errorf("a fail whose reason speaks against it: %s", r.Why)
	}
	if r.Verdict == Pass && !strings.Contains(r.Why, "over the two minutes") {
		t.Errorf("a pass without its reason: %s", r.Why)
	}
	if r.Verdict == CannotTell && len(r.Next) == 0 {
		t.Errorf("it does not say what to read next: %s", r.Why)
	}
}

func (r Result) asked() string {
	text := ""
	for _, a := range r.Next {
		text += a.Text + "\n"
	}
	return text
}

// BenchmarkExamine is a million readings with over a thousand recharges.
func BenchmarkExamine(b *testing.B) {
	u := healthyUnit()
	u.rate, u.quantum = 3, 1
	log, _ := u.play(rand.New(rand.NewPCG(1, 2)))
	var l Log
	end := log.TimeS[len(log.TimeS)-1] + 1
	for k := 0; len(l.TimeS) < 1_000_000; k++ {
		for i := range log.TimeS {
			l.TimeS, l.PressureBar = append(l.TimeS, log.TimeS[i]+float64(k)*end), append(l.PressureBar, log.PressureBar[i])
		}
	}
	for b.Loop() {
		if _, err := Examine(b.Context(), Case{Log: &l}); err != nil {
			b.Fatal(err)
		}
	}
}
