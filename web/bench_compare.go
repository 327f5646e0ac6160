package web

import (
	"slices"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// comparison holds a measurement before a job's work against one after it.
type comparison struct {
	Job           *rebuild.Job
	Before, After *rebuild.Evidence
	Rows          []comparedFigure
	Chances       []comparedChance
}

// comparedFigure is one figure before and after; nil where that side has none.
type comparedFigure struct {
	Name          string
	Before, After *rebuild.EvidenceFigure
}

// comparedChance is the chance of a cause before and after; nil where that side
// weighed none.
type comparedChance struct {
	Name          string
	Before, After *float64
}

// compare finds what was measured before and after the work of a job; nil where
// one of the two is missing. What was measured in one way is held together where
// there is such a pair: intervals by thumb against intervals by thumb.
func compare(rb *rebuild.Rebuild, job int64) *comparison {
	var after []*rebuild.Evidence
	for _, e := range rb.EvidenceOf(job) {
		if e.Phase == rebuild.PhaseAfter {
			after = append(after, e)
		}
	}
	slices.SortStableFunc(after, func(a, b *rebuild.Evidence) int { return strings.Compare(b.On, a.On) })
	var best *comparison
	for _, e := range after {
		c := compareOne(rb, e)
		if c != nil && (best == nil || !best.alike() && c.alike()) {
			best = c
		}
	}
	return best
}

// compareAll finds all that was measured before and after the work of a job, each
// quantity once: the latest of each, in one way where there is such a pair.
func compareAll(rb *rebuild.Rebuild, job int64) []*comparison {
	measured := rb.EvidenceOf(job)
	slices.SortStableFunc(measured, func(a, b *rebuild.Evidence) int { return strings.Compare(b.On, a.On) })
	var list []*comparison
	for _, e := range measured {
		if e.Phase != rebuild.PhaseAfter {
			continue
		}
		c := compareOne(rb, e)
		if c == nil {
			continue
		}
		at := slices.IndexFunc(list, func(o *comparison) bool {
			return o.After.Instrument == e.Instrument && alikeNoise(o.After, e) && (e.Instrument != rebuild.InstrumentCheck || workshop.SameQuantity(o.After, e))
		})
		switch {
		case at < 0:
			list = append(list, c)
		case !list[at].alike() && c.alike():
			list[at] = c
		}
	}
	return list
}

// compareOne holds one measurement of a job against the one on the other side of
// the work: the latest that was measured in the same way, else the latest of the
// same instrument; nil where there is none.
func compareOne(rb *rebuild.Rebuild, e *rebuild.Evidence) *comparison {
	c := &comparison{Job: rb.Job(e.JobID)}
	if c.Job == nil || e.Phase == "" {
		return nil
	}
	var alike, other *rebuild.Evidence
	for _, o := range rb.EvidenceOf(e.JobID) {
		if o.Phase == "" || o.Phase == e.Phase || o.Instrument != e.Instrument || !alikeNoise(o, e) || e.Instrument == rebuild.InstrumentCheck && !workshop.SameQuantity(o, e) {
			continue
		}
		other = later(other, o)
		if measuredHow(o) == measuredHow(e) {
			alike = later(alike, o)
		}
	}
	if alike != nil {
		other = alike
	}
	if other == nil {
		return nil
	}
	c.Before, c.After = other, e
	if e.Phase == rebuild.PhaseBefore {
		c.Before, c.After = e, other
	}
	c.fill()
	return c
}

// alikeNoise reports that two are no noises, or noises of one kind: a recording is
// not held against a road test.
func alikeNoise(a, b *rebuild.Evidence) bool {
	return a.Instrument != rebuild.InstrumentNoise || workshop.SameNoise(a, b)
}

// alike reports that both sides were measured in the same way.
func (c *comparison) alike() bool { return measuredHow(c.Before) == measuredHow(c.After) }

// Ways says how each side was measured, where that differs.
func (c *comparison) Ways() []string {
	if c.alike() {
		return nil
	}
	return []string{measuredHow(c.Before), measuredHow(c.After)}
}

// byEar ends the engine's name where the readings were heard.
const byEar = ", by ear"

// measuredHow is how a unit was measured.
func measuredHow(e *rebuild.Evidence) string {
	switch {
	case e.Instrument != rebuild.InstrumentRecharge:
		return "by hand"
	case strings.HasSuffix(e.Engine, byEar):
		return "by ear"
	case len(e.Raw) == 1 && e.Raw[0].Name == tapsFile:
		return "by thumb"
	}
	return "from a log"
}

// fill sets the figures of both sides beside each other.
func (c *comparison) fill() {
	before, chancesBefore := workshop.PartChances(workshop.ShownFigures(c.Before))
	after, chancesAfter := workshop.PartChances(workshop.ShownFigures(c.After))
	for i := range before {
		c.Rows = append(c.Rows, comparedFigure{Name: before[i].Name, Before: &before[i]})
	}
	for i := range after {
		f := &after[i]
		at := slices.IndexFunc(c.Rows, func(row comparedFigure) bool {
			return row.Name == f.Name && (row.Before == nil || row.Before.Unit == f.Unit)
		})
		if at < 0 {
			c.Rows = append(c.Rows, comparedFigure{Name: f.Name, After: f})
			continue
		}
		c.Rows[at].After = f
	}
	c.fillChances(chancesBefore, chancesAfter)
}

// worthTelling is the chance from which on a cause is held side by side.
const worthTelling = 0.01

func (c *comparison) fillChances(before, after []workshop.CauseChance) {
	row := map[string]int{}
	at := func(name string) *comparedChance {
		i, ok := row[name]
		if !ok {
			i = len(c.Chances)
			row[name] = i
			c.Chances = append(c.Chances, comparedChance{Name: name})
		}
		return &c.Chances[i]
	}
	for _, chance := range before {
		at(chance.Name).Before = &chance.Chance
	}
	for _, chance := range after {
		at(chance.Name).After = &chance.Chance
	}
	c.Chances = slices.DeleteFunc(c.Chances, func(row comparedChance) bool {
		return (row.Before == nil || *row.Before < worthTelling) && (row.After == nil || *row.After < worthTelling)
	})
}

// later is the one that was measured later; of the same day, the one kept later.
func later(a, b *rebuild.Evidence) *rebuild.Evidence {
	if a == nil || b.On >= a.On {
		return b
	}
	return a
}
