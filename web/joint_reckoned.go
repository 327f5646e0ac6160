package web

import (
	"fmt"

	"wreckwright/bench/joint"
	"wreckwright/workshop"
)

// preloadBar is a preload on a scale from nothing to where the bolt tears, drawn a
// hundred wide.
type preloadBar struct{ Value, Low, High, Proof, Yield, Least float64 }

func newPreloadBar(r *joint.Result) preloadBar {
	most := max(r.TensileKN, r.Preload.High) * 1.02
	at := func(kN float64) float64 { return round2(100 * kN / most) }
	return preloadBar{at(r.Preload.Value), at(r.Preload.Low), at(r.Preload.High), at(r.ProofKN), at(r.YieldKN), at(0.4 * r.ProofKN)}
}

// reckoned is what the template of a reckoning shows.
type reckoned struct {
	Frame
	R    *joint.Result
	Bar  preloadBar
	Both []joint.Condition // dry against oiled
	// Figures only: no verdict is given.
	NoVerdict bool
}

// Span is how wide the shaded part of the drawing is.
func (k reckoned) Span() float64 { return round2(max(0.5, k.Bar.High-k.Bar.Low)) }

// Reckoned is a result for its template.
func (f Frame) Reckoned(r *joint.Result, noVerdict bool) reckoned {
	return reckoned{f, r, newPreloadBar(r), workshop.DryAgainstOiled(r), noVerdict}
}

// Against says how much more the preload is oiled than dry at the same torque.
func (k reckoned) Against() string {
	if len(k.Both) < 2 || k.Both[0].PreloadKN <= 0 {
		return ""
	}
	more := 100 * (k.Both[1].PreloadKN/k.Both[0].PreloadKN - 1)
	return fmt.Sprintf("The same torque on oiled threads stretches the bolt %.0f %% more than on dry ones: a specification holds for the one that it was written for, and only for that.", more)
}

// VerdictWords says a verdict as it stands on the page.
func (k reckoned) VerdictWords() string {
	switch k.R.State {
	case joint.DoesNotFit:
		return "Does not fit"
	case joint.OverYield:
		return "Over yield"
	case joint.UnderTightened:
		return "Under-tightened"
	case joint.MakerGoverns:
		return "The maker's figure governs"
	case joint.Strips:
		return "The thread strips"
	}
	if k.R.Verdict == joint.Pass {
		return "Fair"
	}
	return "Fair, with doubt at the ends"
}
