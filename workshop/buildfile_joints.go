package workshop

import (
	"fmt"
	"math"

	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// jointEngine names the engine that reckons preloads, with the version of what it
// gives.
const jointEngine = "joint 1"

// ReckonedTightening is what bench/joint makes of one tightening: the preload of
// each fastener, or why nothing can be said. A build file holds them, and whoever
// checks it works them out again.
type ReckonedTightening struct {
	Joint  int64            `json:"joint"`  // its number in the rebuild
	Number int              `json:"number"` // of the tightening, from 1
	Title  string           `json:"title"`  // of the joint
	Result buildfile.Result `json:"result"` // Figures: the preload; none: nothing can be said, and Why says why
	// Assumed is what was taken since the book does not say it.
	Assumed []string `json:"assumed"`
}

// Reckoned reports whether a preload could be worked out.
func (t ReckonedTightening) Reckoned() bool { return len(t.Result.Figures) > 0 }

// Name is what it is called in a list.
func (t ReckonedTightening) Name() string {
	return fmt.Sprintf("tightening %d of %s", t.Number, t.Title)
}

// ReckonedTightenings works out every tightening of the rebuild, in its order.
func ReckonedTightenings(r *rebuild.Rebuild) []ReckonedTightening {
	list := []ReckonedTightening{}
	for i := range r.Joints {
		for n := range r.Joints[i].Tightenings {
			list = append(list, reckonTightening(&r.Joints[i], n))
		}
	}
	return list
}

// reckonTightening asks the engine about a joint at the torque that the wrench
// gave, not at the one that was asked for. An angle that follows cannot be reckoned
// without the thickness of what is clamped, which the book does not hold.
func reckonTightening(j *rebuild.Joint, n int) ReckonedTightening {
	done := j.Tightenings[n]
	out := ReckonedTightening{Joint: j.ID, Number: n + 1, Title: j.Title, Assumed: []string{}, Result: buildfile.Result{Engine: jointEngine}}
	as := *j
	as.TorqueNm, as.AngleDeg = done.TorqueNm, done.AngleDeg
	switch k := ReckonJoint(&as, 0); {
	case done.TorqueNm == 0:
		out.Result.Why = "no torque was read at it"
	case k.Wrong != "":
		out.Result.Why = k.Wrong
	case k.SnugOnly:
		out.Result.Why = "an angle follows the torque, and how thick the clamped parts are is not in the book"
	default:
		p := k.Result.Preload
		out.Result.Verdict, out.Result.Why = string(k.Result.Verdict), k.Result.Why
		out.Result.Figures = []buildfile.Figure{{Name: "Preload of each fastener", Unit: "kN", Value: p.Value, Low: &p.Low, High: &p.High}}
		out.Assumed = append(out.Assumed, k.Assumed...)
	}
	return out
}

// preloadWords shows a reckoned preload in the table of tightenings.
func preloadWords(t ReckonedTightening) string {
	if !t.Reckoned() {
		return "not reckoned"
	}
	f := t.Result.Figures[0]
	return fmt.Sprintf("%s kN (%s to %s)", forceText(f.Value), forceText(*f.Low), forceText(*f.High))
}

// forceText shows a force to three digits, never as a power of ten.
func forceText(kN float64) string {
	if math.Abs(kN) >= 99.95 {
		return fmt.Sprintf("%.0f", kN)
	}
	return fmt.Sprintf("%.3g", kN)
}
