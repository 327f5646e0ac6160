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
		if o.ID == e.ID || surveyKind(o) == "" || surveyKind(o) != surveyKind(e) || o.On > e.On || o.On == e.On && o.ID > e.ID {
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

// SurveyToCompare is the survey before one where both measured enough of the same
// points to be held against each other; nil: none.
func (w *Workshop) SurveyToCompare(ctx context.Context, rb *rebuild.Rebuild, e *rebuild.Evidence) *rebuild.Evidence {
	if !IsSurveyOfPoints(e) {
		return nil
	}
	before := SurveyBefore(rb, e)
	if before == nil {
		return nil
	}
	was, err := w.SurveyAt(ctx, before)
	if err != nil {
		return nil
	}
	now, err := w.SurveyAt(ctx, e)
	if err != nil || samePoints(was.Survey, now.Survey) < leastSamePoints {
		return nil
	}
	return before
}

// Afresh is the survey without its readings: points, pairs, places, marks on the floor
// and what it was told stay.
func (b BodySurvey) Afresh() BodySurvey {
	b = b.copied()
	b.Readings, b.Skipped = nil, nil
	return b
}

// IsSurvey reports a survey of a body, of points or of five lines.
func IsSurvey(e *rebuild.Evidence) bool { return surveyKind(e) != "" }

// IsSurveyOfPoints reports a survey of a body that has points.
func IsSurveyOfPoints(e *rebuild.Evidence) bool { return surveyKind(e) == rebuild.InstrumentSurvey }

// surveyKind tells surveys of points from those of five lines; empty: another
// instrument's. Only those of points have a scatter among their figures.
func surveyKind(e *rebuild.Evidence) rebuild.Instrument {
	switch {
	case e.Instrument == rebuild.InstrumentQuickSurvey:
		return e.Instrument
	case e.Instrument != rebuild.InstrumentSurvey:
		return ""
	case slices.ContainsFunc(e.Figures, func(f rebuild.EvidenceFigure) bool { return f.Name == figureScatter }):
		return e.Instrument
	}
	return rebuild.InstrumentQuickSurvey
}

// settlesSurvey reports whether what a survey says can take the place of what
// another said: five lines never lift what is said of a structure.
func settlesSurvey(r *rebuild.Rebuild, before, e *rebuild.Evidence) bool {
	if surveyKind(e) != rebuild.InstrumentQuickSurvey {
		return true
	}
	j := r.Job(before.JobID)
	return surveyKind(before) == rebuild.InstrumentQuickSurvey && (j == nil || j.Safety != rebuild.SafetyStructure)
}
