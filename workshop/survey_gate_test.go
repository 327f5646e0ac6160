package workshop

import (
	"slices"
	"strings"
	"testing"

	"wreckwright/prove/gate"
	"wreckwright/rebuild"
)

// surveyedBody keeps a survey of a body under the job with that place among the
// jobs; 0: under none.
func surveyedBody(by rebuild.Instrument, title string, verdict rebuild.Verdict, job int, on string) step {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) {
		e := rebuild.Evidence{On: on, Instrument: by, Title: title, Verdict: verdict, Why: "so", Engine: "survey 1"}
		if by == rebuild.InstrumentSurvey {
			e.Figures = []rebuild.EvidenceFigure{{Name: figureScatter, Value: 1}}
		}
		if job > 0 {
			e.JobID = r.Jobs[job-1].ID
		}
		return r.AddEvidence(e)
	}
}

// A body that is not straight stands against driving, whatever its survey is called
// and under whichever job it hangs; only a survey of points lifts it.
func TestASurveyThatFailsHoldsTheCar(t *testing.T) {
	const (
		whole = rebuild.InstrumentSurvey
		quick = rebuild.InstrumentQuickSurvey
		pass  = rebuild.VerdictPass
		fail  = rebuild.VerdictFail
	)
	rail := aJob("front rail", 10, ofClass(rebuild.SafetyStructure))
	for _, c := range []struct {
		name   string
		steps  []step
		stands bool
	}{
		{"under no job", []step{surveyedBody(whole, "Body survey", fail, 0, "2026-05-10")}, true},
		{"five lines under no job", []step{surveyedBody(quick, "Diagonals", fail, 0, "2026-05-10")}, true},
		{"five lines that pass, called alike", []step{surveyedBody(whole, "Body survey", fail, 0, "2026-05-10"), surveyedBody(quick, "Body survey", pass, 0, "2026-05-11")}, true},
		{"points that pass, called otherwise and under a job", []step{rail, surveyedBody(whole, "Body survey", fail, 0, "2026-05-10"), surveyedBody(whole, "After the pull", pass, 1, "2026-05-11")}, false},
		{"five lines that fail, points that pass", []step{surveyedBody(quick, "Diagonals", fail, 0, "2026-05-10"), surveyedBody(whole, "Body", pass, 0, "2026-05-11")}, false},
		{"five lines that fail, five that pass", []step{surveyedBody(quick, "Diagonals", fail, 0, "2026-05-10"), surveyedBody(quick, "Again", pass, 0, "2026-05-11")}, false},
		{"five lines of a structural job, five that pass", []step{rail, surveyedBody(quick, "Diagonals", fail, 1, "2026-05-10"), surveyedBody(quick, "Again", pass, 0, "2026-05-11")}, true},
		{"points that cannot tell", []step{surveyedBody(whole, "Body", rebuild.VerdictCannotTell, 0, "2026-05-10")}, true},
		{"points that pass, then fail", []step{surveyedBody(whole, "One", pass, 0, "2026-05-10"), surveyedBody(whole, "Two", fail, 0, "2026-05-11")}, true},
	} {
		t.Run(c.name, func(t *testing.T) {
			lines, err := gatesOf(stand(t, append(c.steps, surveyed, confirmedAll)...), today)
			if err != nil {
				t.Fatal(err)
			}
			failed := slices.ContainsFunc(lines[0].Against, func(a gate.Against) bool {
				return strings.HasPrefix(a.Rule, "check-failed") || a.Rule == "check-cannot-tell-critical"
			})
			if failed != c.stands {
				t.Errorf("failed %v; want %v (%+v)", failed, c.stands, lines[0].Against)
			}
		})
	}
}
