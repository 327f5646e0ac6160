package workshop

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// linked are two cases drawn at random, with what was seen in each as likelihoods
// of its faults.
type linked struct {
	priorA, priorB, seenA, seenB []float64
	keysA, keysB                 []string
	s                            float64
}

func drawLinked(t *rapid.T) linked {
	positive := rapid.Float64Range(0.01, 1)
	size := rapid.IntRange(1, 5)
	key := rapid.SampledFrom([]string{"", "gas", "seal", "pump"})
	a, b := size.Draw(t, "faults here"), size.Draw(t, "faults there")
	list := func(n int, name string) []float64 { return rapid.SliceOfN(positive, n, n).Draw(t, name) }
	return linked{
		scaledTo1(list(a, "prior here")), scaledTo1(list(b, "prior there")), list(a, "seen here"), list(b, "seen there"),
		rapid.SliceOfN(key, a, a).Draw(t, "keys here"), rapid.SliceOfN(key, b, b).Draw(t, "keys there"),
		rapid.Float64Range(0, 1).Draw(t, "one cause"),
	}
}

func scaledTo1(list []float64) []float64 {
	sum := 0.0
	for _, v := range list {
		sum += v
	}
	out := slices.Clone(list)
	for i := range out {
		out[i] /= sum
	}
	return out
}

// enumerated is the chance of each fault here by adding up every combination of
// one cause or two, a fault here and a fault there. With two causes they are
// independent; with one it is a pair of faults that are the same thing, as likely
// as the two priors say.
func (l linked) enumerated() []float64 {
	z := 0.0
	for f := range l.priorA {
		for g := range l.priorB {
			if l.same(f, g) {
				z += l.priorA[f] * l.priorB[g]
			}
		}
	}
	chance := make([]float64, len(l.priorA))
	for _, one := range []bool{true, false} {
		for f := range l.priorA {
			for g := range l.priorB {
				p := l.priorA[f] * l.priorB[g]
				switch {
				case one && z == 0, one && !l.same(f, g):
					continue
				case one:
					p *= l.s / z
				case z > 0:
					p *= 1 - l.s
				}
				chance[f] += p * l.seenA[f] * l.seenB[g]
			}
		}
	}
	return scaledTo1(chance)
}

func (l linked) same(f, g int) bool { return l.keysA[f] != "" && l.keysA[f] == l.keysB[g] }

// byRule is the same by the formula, from what the other case comes to alone.
func (l linked) byRule() []float64 {
	there := make([]float64, len(l.priorB))
	for g := range there {
		there[g] = l.priorB[g] * l.seenB[g]
	}
	says := sharedLikelihood(l.priorA, l.priorB, scaledTo1(there), sharedWith(l.keysA, l.keysB), l.s)
	here := make([]float64, len(l.priorA))
	for f := range here {
		here[f] = l.priorA[f] * l.seenA[f]
		if says != nil {
			here[f] *= says[f]
		}
	}
	return scaledTo1(here)
}

func TestSharedFaultsAgainstEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := drawLinked(t)
		want, got := l.enumerated(), l.byRule()
		for f := range want {
			if math.Abs(want[f]-got[f]) > 1e-12 {
				t.Fatalf("fault %d: %v by the rule, %v by adding up", f, got, want)
			}
		}
	})
}

// With one cause for certain and one shared fault there is no other answer; with
// none in common the other case says nothing.
func TestSharedFaultsAtTheEnds(t *testing.T) {
	l := linked{
		priorA: []float64{0.2, 0.8}, priorB: []float64{0.5, 0.5}, seenA: []float64{1, 1}, seenB: []float64{0.3, 0.9},
		keysA: []string{"gas", ""}, keysB: []string{"gas", ""}, s: 1,
	}
	if got := l.byRule(); got[0] != 1 || got[1] != 0 {
		t.Errorf("one cause for certain gives %v", got)
	}
	l.s = 0
	if got := l.byRule(); math.Abs(got[0]-0.2) > 1e-15 {
		t.Errorf("two causes for certain give %v", got)
	}
	l.keysB = []string{"", "seal"}
	if says := sharedLikelihood(l.priorA, l.priorB, l.priorB, sharedWith(l.keysA, l.keysB), 0.5); says != nil {
		t.Errorf("nothing in common says %v", says)
	}
}

// What exonerates a shared fault there makes it less likely here, and what points
// to it there, more.
func TestSharedFaultsMoveTheRightWay(t *testing.T) {
	l := linked{
		priorA: []float64{0.5, 0.5}, priorB: []float64{0.5, 0.5}, seenA: []float64{1, 1}, seenB: []float64{1, 0.001},
		keysA: []string{"gas", ""}, keysB: []string{"gas", ""}, s: sameCauseTogether,
	}
	found := l.byRule()[0]
	l.seenB = []float64{1, 1}
	unknown := l.byRule()[0]
	l.seenB = []float64{0.001, 1}
	cleared := l.byRule()[0]
	if found <= unknown || cleared >= unknown || unknown <= 0.5 {
		t.Errorf("found there it is %g here, cleared there %g, with nothing tried %g", found, cleared, unknown)
	}
}
