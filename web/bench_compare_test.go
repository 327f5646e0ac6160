package web

import (
	"fmt"
	"testing"

	"wreckwright/rebuild"
)

// measuredSo keeps an invented measurement of the job that day, by ear or by thumb.
func (g *surveyRig) measuredSo(job int64, phase rebuild.Phase, on, engine string, mean, leak float64) *rebuild.Evidence {
	g.t.Helper()
	id := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddEvidence(rebuild.Evidence{
			On: on, Instrument: rebuild.InstrumentRecharge, Title: on, JobID: job, Phase: phase, Verdict: rebuild.VerdictCannotTell, Why: "as measured; and more", Engine: engine,
			Figures: []rebuild.EvidenceFigure{
				{Name: "Mean interval", Value: mean, Unit: "s"},
				{Name: "Chance: an internal leak (valve or seal)", Value: 100 * leak, Unit: "%"},
				{Name: "Chance: the pressure sensor", Value: 0.01, Unit: "%"},
			},
		})
	})
	return g.now().EvidenceAt(id)
}

// TestLikeIsHeldAgainstLike: the pair that was measured in one way is shown,
// though something newer was measured otherwise; a measurement's own page holds
// that measurement against the other side of the work.
func TestLikeIsHeldAgainstLike(t *testing.T) {
	g := newSurveyRig(t)
	job := g.job("Renew the accumulator", rebuild.JobOpen)
	log1 := g.measuredSo(job, rebuild.PhaseBefore, "2026-04-01", "recharge 1", 71, 0.99981)
	ear1 := g.measuredSo(job, rebuild.PhaseBefore, "2026-04-02", "recharge 1, by ear", 72, 0.5)
	log2 := g.measuredSo(job, rebuild.PhaseAfter, "2026-04-10", "recharge 1", 301, 0.0031)
	log3 := g.measuredSo(job, rebuild.PhaseAfter, "2026-04-11", "recharge 1", 302, 0.02)
	rb := g.now()
	if c := compare(rb, job); c == nil || c.Before.ID != log1.ID || c.After.ID != log3.ID || c.Ways() != nil {
		t.Errorf("of the job: %+v", c)
	}
	for _, pair := range []struct{ of, before, after *rebuild.Evidence }{
		{log2, log1, log2}, {log1, log1, log3}, {ear1, ear1, log3},
	} {
		c := compareOne(rb, rb.EvidenceAt(pair.of.ID))
		if c == nil || c.Before.ID != pair.before.ID || c.After.ID != pair.after.ID {
			t.Errorf("of %s: %+v", pair.of.On, c)
		}
	}
	g.wants(g.get(g.path(fmt.Sprintf("/bench/evidence/%d", log2.ID))), 200, "Before and after", "&gt;99\u00a0%", "&lt;1\u00a0%", "Under 1 % each", "!99.98", "!0.31", "!Chance: ", "Chance of an internal leak", "!Chance of the pressure sensor")
	g.wants(g.get(g.path(fmt.Sprintf("/bench/evidence/%d", ear1.ID))), 200, "<td class=\"num\">by ear</td>", "<td class=\"num\">from a log</td>")
	if c := compareOne(rb, &rebuild.Evidence{JobID: job, Instrument: rebuild.InstrumentRecharge}); c != nil {
		t.Errorf("of neither phase: %+v", c)
	}
}
