package workshop

import (
	"context"
	"errors"
	"fmt"
	"slices"

	"wreckwright/bench/survey"
	"wreckwright/rebuild"
)

// SurveyChange is what two surveys of a body say of what happened between them: a
// pull, a repair, another knock.
type SurveyChange struct {
	Before, After Surveyed
	Change        survey.Change
}

// CompareSurveys holds two surveys that were kept against each other. A mistake is
// [*rebuild.Invalid].
func (w *Workshop) CompareSurveys(ctx context.Context, before, after *rebuild.Evidence) (SurveyChange, error) {
	var out SurveyChange
	var err error
	if out.Before, err = w.SurveyAt(ctx, before); err != nil {
		return out, fmt.Errorf("%s: %w", before.Title, err)
	}
	if out.After, err = w.SurveyAt(ctx, after); err != nil {
		return out, fmt.Errorf("%s: %w", after.Title, err)
	}
	if out.Before.Quick != nil || out.After.Quick != nil {
		return out, invalidAt("before", "five lines have no points: their figures stand side by side on the bench")
	}
	out.Change, err = survey.Compare(out.Before.Survey.Case(), out.After.Survey.Case())
	var part *survey.PartError
	if errors.As(err, &part) {
		field, of := part.Part, out.Before.Survey
		if field == survey.PartAfter {
			of = out.After.Survey
		}
		var invalid *rebuild.Invalid
		if errors.As(of.mistake(part.Err), &invalid) {
			return out, invalidAt(field, "the survey "+field+": "+invalid.Problems[0].Text)
		}
	}
	return out, err
}

// SurveyBefore is the latest survey of points before one, of the same job where
// there is one; nil: none.
func SurveyBefore(rb *rebuild.Rebuild, e *rebuild.Evidence) *rebuild.Evidence {
	var best *rebuild.Evidence
	for i := range rb.Evidence {
		o := &rb.Evidence[i]
		if o.Instrument != rebuild.InstrumentSurvey || o.ID == e.ID || !sameKindOfSurvey(o, e) || o.On > e.On || o.On == e.On && o.ID > e.ID {
			continue
		}
		switch {
		case best == nil, o.JobID == e.JobID && best.JobID != e.JobID:
			best = o
		case o.JobID != e.JobID && best.JobID == e.JobID:
		case o.On > best.On || o.On == best.On && o.ID > best.ID:
			best = o
		}
	}
	return best
}

// sameKindOfSurvey reports that both are of points, or both of five lines: those
// have no scatter among their figures.
func sameKindOfSurvey(a, b *rebuild.Evidence) bool {
	ofPoints := func(e *rebuild.Evidence) bool {
		return slices.ContainsFunc(e.Figures, func(f rebuild.EvidenceFigure) bool { return f.Name == figureScatter })
	}
	return ofPoints(a) == ofPoints(b)
}
