package web

import (
	"slices"

	"wreckwright/rebuild"
)

// comparison holds the latest measurement before a job's work against the latest
// after it.
type comparison struct {
	Job           *rebuild.Job
	Before, After *rebuild.Evidence
	Rows          []comparedFigure
}

// comparedFigure is one figure before and after; nil where that side has none.
type comparedFigure struct {
	Name          string
	Before, After *rebuild.EvidenceFigure
}

// compare finds what was measured before and after the work of a job; nil where
// one of the two is missing.
func compare(rb *rebuild.Rebuild, job int64) *comparison {
	c := comparison{Job: rb.Job(job)}
	if c.Job == nil {
		return nil
	}
	for _, e := range rb.EvidenceOf(job) {
		switch e.Phase {
		case rebuild.PhaseBefore:
			c.Before = later(c.Before, e)
		case rebuild.PhaseAfter:
			c.After = later(c.After, e)
		}
	}
	if c.Before == nil || c.After == nil || c.Before.Instrument != c.After.Instrument {
		return nil
	}
	for i := range c.Before.Figures {
		f := &c.Before.Figures[i]
		c.Rows = append(c.Rows, comparedFigure{Name: f.Name, Before: f})
	}
	for i := range c.After.Figures {
		f := &c.After.Figures[i]
		at := slices.IndexFunc(c.Rows, func(row comparedFigure) bool {
			return row.Name == f.Name && (row.Before == nil || row.Before.Unit == f.Unit)
		})
		if at < 0 {
			c.Rows = append(c.Rows, comparedFigure{Name: f.Name, After: f})
			continue
		}
		c.Rows[at].After = f
	}
	return &c
}

// later is the one that was measured later; of the same day, the one kept later.
func later(a, b *rebuild.Evidence) *rebuild.Evidence {
	if a == nil || b.On >= a.On {
		return b
	}
	return a
}
