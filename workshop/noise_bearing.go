package workshop

import (
	"fmt"
	"math"
	"strings"

	"wreckwright/bench/noise"
	"wreckwright/diagnose"
	"wreckwright/uncertain"
)

// How strongly a bearing's lines stand over the noise, median and geometric
// spread: simulated damaged bearings whose strikes are at least as loud as the road
// (14.6 and 2.6), simulated sound ones (2.8 and 1.2), both widened for what a
// simulation leaves out; other things that turn have bearings of their own.
//
// ref: DESIGN_ROAD_TESTS
var (
	damagedLines = lines{median: 14, spread: 2.8}
	soundLines   = lines{median: 2.9, spread: 1.5}
	otherLines   = lines{median: 3.6, spread: 1.8}
)

type lines struct{ median, spread float64 }

// density is that of a lognormal, up to a factor that all share.
func (l lines) density(strength float64) float64 {
	wide := math.Log(l.spread)
	return uncertain.NormalPDF(math.Log(strength/l.median)/wide) / wide
}

// BearingEvidence is what a recording with the wheel bearing's geometry says to a
// case of a hum, as a likelihood of its faults; false where its verdict is "cannot
// tell", since then the strength may be of something else. The lines of the wheel
// bearing say nothing of which other fault it is.
func BearingEvidence(c diagnose.Case, r noise.Result) (diagnose.Evidence, bool) {
	if r.Verdict == noise.CannotTell || r.Defect == nil || r.Bearing == nil || !(r.Defect.Strength > 0) {
		return diagnose.Evidence{}, false
	}
	e := diagnose.Evidence{Note: fmt.Sprintf("recording: bearing lines %.1f times the noise", r.Defect.Strength)}
	known := false
	for _, f := range c.Faults {
		l := soundLines
		switch {
		case strings.HasPrefix(f.ID, bearing):
			l, known = damagedLines, true
		case f.ID == "final_drive" || f.ID == "gearbox_bearing" || f.ID == "shaft" || f.ID == "other":
			l = otherLines
		}
		e.Likelihood = append(e.Likelihood, l.density(r.Defect.Strength))
	}
	return e, known && scaled(e.Likelihood)
}
