package store_test

import (
	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

// anyCase draws a diagnosis that keeps the rules mostly.
func anyCase(t *rapid.T, r *rebuild.Rebuild) rebuild.Case {
	k := rebuild.Case{
		On: rapid.SampledFrom([]string{"2026-02-05", "2024-02-29"}).Draw(t, "day"), Title: anyText(t, 1, 30), ModelFrom: rapid.SampledFrom([]string{"", "no-crank"}).Draw(t, "model from"),
		Model: anyText(t, 0, 60), Together: rapid.Bool().Draw(t, "together"), State: rapid.SampledFrom(rebuild.CaseStates).Draw(t, "state"), Note: anyText(t, 0, 20),
		NotNow: rapid.SampledFrom([][]string{nil, {}, {"gauge"}, {"swap", "gauge"}}).Draw(t, "not now"),
	}
	if k.State == rebuild.CaseSolved {
		k.Cause = rapid.SampledFrom([]string{"", "worn"}).Draw(t, "cause")
	}
	if k.Model != "" {
		k.Steps = anyList(t, 3, func(t *rapid.T) rebuild.CaseStep { return anyStep(t, r) })
	}
	for _, f := range r.Findings {
		if rapid.Bool().Draw(t, "about") {
			k.Findings = append(k.Findings, f.ID)
		}
	}
	for _, j := range r.Jobs {
		if rapid.Bool().Draw(t, "made") {
			k.Jobs = append(k.Jobs, j.ID)
		}
	}
	return k
}

func anyStep(t *rapid.T, r *rebuild.Rebuild) rebuild.CaseStep {
	s := rebuild.CaseStep{
		At:   rapid.SampledFrom([]string{"2026-02-05T18:03:07Z", "2026-02-05T18:03:07.25+01:00"}).Draw(t, "moment"),
		Kind: rapid.SampledFrom(rebuild.CaseStepKinds).Draw(t, "kind"), Note: anyText(t, 0, 20),
	}
	if s.Kind != rebuild.StepWhole {
		s.What = anyText(t, 1, 10)
	}
	switch {
	case s.Kind != rebuild.StepTest:
		s.Cured = rapid.IntRange(0, 3).Draw(t, "cured") == 0
	case rapid.Bool().Draw(t, "measured"):
		value := anyNumber(t, 1000)
		s.Value, s.ValueSD = &value, anyNumber(t, 10)
	default:
		s.Outcome = anyText(t, 1, 10)
	}
	if len(r.Evidence) > 0 && rapid.Bool().Draw(t, "of a measurement") {
		s.EvidenceID = r.Evidence[rapid.IntRange(0, len(r.Evidence)-1).Draw(t, "measurement")].ID
	}
	return s
}
