package workshop

import (
	"fmt"
	"slices"

	"wreckwright/rebuild"
)

// RefitPlan is what goes back, in order: what can go back today, and what waits
// with the jobs before it.
type RefitPlan struct {
	All   rebuild.Refit
	Today rebuild.Refit
	Later []RefitLine
	// Loose are bags and connectors of what is back on the car.
	Loose rebuild.LeftOver
}

// RefitLine is a thing that waits, or a job that comes before it.
type RefitLine struct {
	Job  *rebuild.Job
	Step *rebuild.RefitStep
}

// PlanRefit works it out for everything, or for jobs and things alone.
func PlanRefit(r *rebuild.Rebuild, all bool, jobs, items []int64) RefitPlan {
	p := RefitPlan{All: r.Refit()}
	if !all {
		p.All = r.RefitOf(jobs, items)
	}
	p.Today = p.All.Ready()
	p.Later = laterSteps(r, p.All, p.Today)
	p.Loose = LooseEnds(r)
	return p
}

// laterSteps are the steps that wait, each job before the first of them that it
// holds up.
func laterSteps(r *rebuild.Rebuild, all, today rebuild.Refit) []RefitLine {
	ready, said := map[int64]bool{}, map[int64]bool{}
	for _, s := range today.Steps {
		ready[s.Item.ID] = true
	}
	var lines []RefitLine
	for i := range all.Steps {
		step := &all.Steps[i]
		if ready[step.Item.ID] {
			continue
		}
		for _, b := range step.Blocks {
			if b.Kind == rebuild.BlockJob && !said[b.ID] {
				said[b.ID] = true
				lines = append(lines, RefitLine{Job: r.Job(b.ID)})
			}
		}
		lines = append(lines, RefitLine{Step: step})
	}
	return lines
}

// LooseEnds are bags not emptied and connectors not made of what is back.
func LooseEnds(r *rebuild.Rebuild) rebuild.LeftOver {
	l := r.LeftOver()
	l.Off, l.Joints, l.Fasteners = nil, nil, 0
	l.Bags = slices.DeleteFunc(l.Bags, func(b rebuild.LeftFasteners) bool { return b.Item.Off() })
	l.Connectors = slices.DeleteFunc(l.Connectors, func(k rebuild.LeftConnector) bool { return k.Item.Off() })
	for _, b := range l.Bags {
		l.Fasteners += b.Set.Count
	}
	return l
}

// Back is that a thing went back on.
type Back struct {
	At, By, Anyway string
	Emptied, Made  []int // places of the fasteners that are in and the connectors that are made
}

// PutBack enters it. What stands against it can be gone over with a reason, but
// for fasteners and things that must not be used again: those are refused until
// new ones are there.
func PutBack(r *rebuild.Rebuild, id int64, rev int, b Back) (rebuild.Change, error) {
	old := r.StripItem(id)
	if old == nil {
		return rebuild.Change{}, &rebuild.Missing{Kind: rebuild.KindStripItem, ID: id}
	}
	if why := NotAgain(r, old); why != "" {
		return rebuild.Change{}, &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "back_anyway", Text: why}}}
	}
	if _, err := r.PutBack(id, rev, b.At, b.By, b.Anyway); err != nil {
		return rebuild.Change{}, err
	}
	s := *old
	s.BackAt, s.BackBy, s.BackAnyway = b.At, b.By, b.Anyway
	s.Fasteners, s.Connectors = slices.Clone(s.Fasteners), slices.Clone(s.Connectors)
	for _, i := range b.Emptied {
		if i >= 0 && i < len(s.Fasteners) {
			s.Fasteners[i].Emptied = true
		}
	}
	for _, i := range b.Made {
		if i >= 0 && i < len(s.Connectors) {
			s.Connectors[i].Made = true
		}
	}
	return r.EditStripItem(s)
}

// NotAgain says which of a thing's parts must not be used again and have no new
// ones; empty: none.
func NotAgain(r *rebuild.Rebuild, s *rebuild.StripItem) string {
	for _, b := range r.BlocksOf(s.ID) {
		oneTime := b.Kind == rebuild.BlockFasteners || b.Kind == rebuild.BlockCondition && s.Condition == rebuild.ConditionOneTime
		if oneTime {
			return fmt.Sprintf("%q stays off: %s. No reason makes a one-time fastener good again; say that the new ones have arrived, or, where they are not one-time, change the entry", s.What, b.Text)
		}
	}
	return ""
}
