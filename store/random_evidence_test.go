package store_test

import (
	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

// anyEvidence draws a measurement that keeps the rules mostly.
func anyEvidence(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.Evidence {
	e := rebuild.Evidence{
		On: rapid.SampledFrom([]string{"2026-02-05", "2024-02-29"}).Draw(t, "day"), At: rapid.SampledFrom([]string{"", "2026-02-05T18:03:07Z", "2026-02-05T18:03:07.25+01:00"}).Draw(t, "moment"),
		Instrument: rebuild.InstrumentRecharge, Title: anyText(t, 1, 30), Phase: rapid.SampledFrom([]rebuild.Phase{"", rebuild.PhaseBefore, rebuild.PhaseAfter}).Draw(t, "phase"),
		Raw: anyFiles(t, files), Settings: rapid.SampledFrom([]string{"", `{"ambient_c":15}`, `{`}).Draw(t, "settings"),
		Verdict: rapid.SampledFrom(rebuild.Verdicts).Draw(t, "verdict"), Why: anyText(t, 1, 40), Figures: anyList(t, 3, anyFigure), Engine: "recharge 1", Note: anyText(t, 0, 20),
	}
	if len(r.Jobs) > 0 && rapid.Bool().Draw(t, "of a job") {
		e.JobID = r.Jobs[rapid.IntRange(0, len(r.Jobs)-1).Draw(t, "job")].ID
	}
	return e
}

func anyFigure(t *rapid.T) rebuild.EvidenceFigure {
	f := rebuild.EvidenceFigure{Name: anyText(t, 1, 10), Value: anyNumber(t, 1000), Unit: rapid.SampledFrom([]string{"", "s", "bar"}).Draw(t, "unit")}
	if rapid.Bool().Draw(t, "bounded") {
		low, high := f.Value-anyNumber(t, 10), f.Value+anyNumber(t, 10)
		f.Low, f.High = &low, &high
	}
	return f
}
