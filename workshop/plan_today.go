package workshop

import (
	"context"
	"fmt"
	"slices"
	"time"

	"wreckwright/plan"
	"wreckwright/rebuild"
)

// Present is who and what is there now.
type Present struct {
	Hours float64        // how long; 0: not said
	Here  map[int64]bool // by person, 0 own hands; nil, or not named: here
	Quiet bool           // nothing noisy
	Dark  bool           // no daylight
	At    string         // RFC 3339: the quiet hours of the timetable count; empty: they do not
	SetUp []string       // what is set up
}

// NowLine is one thing that can be done now.
type NowLine struct {
	plan.Startable
	PlanTask
	Hazards []string // keys of cautions that stand beside it
	Batch   []string // titles of what else can be done where this is open, or with what is set up
}

// HeldLine is one thing whose turn it is but for something.
type HeldLine struct {
	plan.Held
	PlanTask
}

// NowList is what can be done now, the first first.
type NowList struct {
	Now  []NowLine
	Held []HeldLine
	Why  string // why there is no list, or nothing on it; empty: there is something
}

// NowList lists what can be worked on now, who is here, for how long, and what is
// open on the car, with the reasons why each stands where it stands.
func (w *Workshop) NowList(ctx context.Context, r *rebuild.Rebuild, at Present) (NowList, error) {
	p, err := w.Planned(ctx, r)
	if err != nil || p.Why != "" {
		why := ""
		if p != nil {
			why = p.Why
		}
		return NowList{Why: why}, err
	}
	return nowOf(r, p, at)
}

func nowOf(r *rebuild.Rebuild, p *WorkPlan, at Present) (NowList, error) {
	today, err := plan.WhatNow(p.Problem, p.Result, hereOf(r, p, at))
	if err != nil {
		return NowList{}, fmt.Errorf("the list of today: %w", err)
	}
	var list NowList
	for _, s := range today.Now {
		i, _ := p.Index(s.ID)
		line := NowLine{Startable: s, PlanTask: p.Tasks[i], Hazards: p.Tasks[i].hazards()}
		for _, o := range today.Now {
			if k, _ := p.Index(o.ID); o.ID != s.ID && together(p.Problem.Tasks[i], p.Problem.Tasks[k]) {
				line.Batch = append(line.Batch, p.Tasks[k].Title)
			}
		}
		list.Now = append(list.Now, line)
	}
	for _, h := range today.Held {
		i, _ := p.Index(h.ID)
		h.Why = slices.Clone(h.Why)
		for k, why := range h.Why {
			h.Why[k] = p.whoLacks(why)
		}
		list.Held = append(list.Held, HeldLine{h, p.Tasks[i]})
	}
	if len(list.Now) == 0 {
		list.Why = "nothing can be done now with who and what is here; below is what holds it up"
		if len(list.Held) == 0 {
			list.Why = "nothing can be done now: everything waits for what is to come or for work outside"
		}
	}
	return list, nil
}

// whoLacks says in words of people who is not here: "needs 1 Bo; 0 here".
func (p *WorkPlan) whoLacks(why string) string {
	for _, r := range p.Problem.Resources {
		switch {
		case why != "needs 1 "+r.Name+"; 0 here":
		case r.ID == ownHands:
			return "you are not here"
		case r.ID == theCar:
			return "the car is away"
		default:
			return r.Name + " is not here"
		}
	}
	return why
}

// together reports two tasks that share an opened zone or something set up.
func together(a, b plan.Task) bool {
	return a.Zone != "" && a.Zone == b.Zone || a.Tool != "" && a.Tool == b.Tool
}

// hereOf is what is there in the words of the engine.
func hereOf(r *rebuild.Rebuild, p *WorkPlan, at Present) plan.Here {
	here := plan.Here{HoursFree: at.Hours, People: map[string]int{}, Quiet: at.Quiet, Dark: at.Dark, SetUp: at.SetUp}
	for id, there := range at.Here {
		name := ownHands
		if who := r.Person(id); who != nil && !who.Own {
			name = helperID(id)
		}
		if !there {
			here.People[name] = 0
		}
	}
	if t, err := time.Parse(time.RFC3339, at.At); err == nil && r.Timetable().QuietAt(t.Hour()*60+t.Minute()) {
		here.Quiet = true
	}
	for _, s := range r.StillOff("") {
		if zone := rebuild.ZoneName(s.Zone); !slices.Contains(here.Open, zone) {
			here.Open = append(here.Open, zone)
		}
	}
	// What went from the car to the shop holds the car: nothing else is done on it.
	for i, t := range p.Problem.Tasks {
		if t.StartedDay != nil && t.DoneDay == nil && p.Tasks[i].Who == "outside" && slices.ContainsFunc(t.Uses, func(u plan.Use) bool { return u.Resource == theCar }) {
			here.People[theCar] = 0
		}
	}
	return here
}

// hazards are the keys of the cautions of a task.
func (t *PlanTask) hazards() []string {
	a := Action{zone: t.zone, safety: t.safety, welded: t.welded}
	a.warn()
	switch t.Kind {
	case TaskDrive:
		return stageHazards(t.Stage)
	case TaskRefit, TaskTighten, TaskJob:
		return a.Hazards
	}
	return nil
}
