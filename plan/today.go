package plan

import (
	"cmp"
	"fmt"
	"slices"
)

// Here is who and what is there today.
type Here struct {
	HoursFree float64        // how long; 0: not said
	People    map[string]int // who is here; a resource that is not named is
	Quiet     bool           // nothing noisy: evening, neighbours
	Dark      bool           // no daylight
	Arrived   []string       // waits that are over: parts that have come
	Open      []string       // zones that are stripped or open now
	SetUp     []string       // tools that are set up
}

// Startable is one task that can be worked on today.
type Startable struct {
	ID          string   `json:"id"`
	Name        string   `json:"name,omitempty"`
	Zone        string   `json:"zone,omitempty"`
	GoingOn     bool     `json:"going_on,omitempty"`
	SlackDays   float64  `json:"slack_days"`
	Criticality float64  `json:"criticality"`
	HoursLikely float64  `json:"hours_likely,omitempty"` // 0 where the plan counts days only
	Fits        bool     `json:"fits"`                   // likely done in the time that is free; true where none was said
	Why         []string `json:"why"`                    // why it stands where it stands, the weightiest first
}

// Held is one task whose turn it is but for something.
type Held struct {
	ID   string   `json:"id"`
	Name string   `json:"name,omitempty"`
	Why  []string `json:"why"` // what holds it up
}

// Today is what can be done now, the first first, and what could be but for one
// thing or another.
type Today struct {
	Now  []Startable `json:"now"`
	Held []Held      `json:"held"`
}

// WhatNow lists the tasks that can be worked on today. What has begun comes
// first; then what the finish hangs on; among those with room to spare what
// shares an open zone or a tool that is set up, so that nothing is opened twice.
//
// ref: DESIGN_PLAN
func WhatNow(p Problem, r Result, here Here) (Today, error) {
	if err := p.Check(); err != nil {
		return Today{}, err
	}
	l := &todayList{p: p, r: r, here: here, done: p.settled(here)}
	out := Today{Now: []Startable{}, Held: []Held{}}
	for i, t := range p.Tasks {
		if l.done[t.ID] || !t.ownWork() {
			continue
		}
		waits := l.waitsFor(t)
		if len(waits) > 1 || len(waits) == 1 && !l.isWait(waits[0]) {
			continue // its turn has not come
		}
		if holds := l.holds(t, waits); len(holds) > 0 {
			out.Held = append(out.Held, Held{t.ID, t.Name, holds})
			continue
		}
		out.Now = append(out.Now, l.startable(i, t))
	}
	slices.SortStableFunc(out.Now, l.before)
	return out, nil
}

type todayList struct {
	p    Problem
	r    Result
	here Here
	done map[string]bool
}

// settled are the tasks that are done and the milestones that are reached.
func (p Problem) settled(here Here) map[string]bool {
	done := map[string]bool{}
	for _, t := range p.Tasks {
		done[t.ID] = t.DoneDay != nil || t.Wait && slices.Contains(here.Arrived, t.ID)
	}
	for range p.Milestones { // one may stand for another
		for _, m := range p.Milestones {
			done[m.ID] = !slices.ContainsFunc(m.After, func(l Link) bool { return !done[l.ID] })
		}
	}
	return done
}

// waitsFor are the ids that have to be done before a task and are not.
func (l *todayList) waitsFor(t Task) []string {
	var out []string
	if t.StartedDay != nil {
		return nil
	}
	for _, link := range t.After {
		if !l.done[link.ID] {
			out = append(out, link.ID)
		}
	}
	return out
}

func (l *todayList) isWait(id string) bool {
	return slices.ContainsFunc(l.p.Tasks, func(t Task) bool { return t.ID == id && !t.ownWork() })
}

// holds says what is in the way of a task whose work could begin otherwise.
func (l *todayList) holds(t Task, waits []string) []string {
	var out []string
	for _, id := range waits {
		out = append(out, "waits for "+l.nameOf(id)+l.expected(id))
	}
	if until := l.lagUntil(t); until > l.p.TodayDay+1 {
		out = append(out, "must wait until "+l.p.date(until)+": what comes before it has to set first")
	}
	if t.NotBeforeDay >= l.p.TodayDay+1 {
		out = append(out, "not before "+l.p.date(t.NotBeforeDay))
	}
	for _, u := range t.Uses {
		if n, said := l.here.People[u.Resource]; said && n < u.Count {
			out = append(out, fmt.Sprintf("needs %d %s; %d here", u.Count, l.resourceName(u.Resource), n))
		}
	}
	if t.Noisy && l.here.Quiet {
		out = append(out, "is noisy, and these are quiet hours")
	}
	if t.Daylight && l.here.Dark {
		out = append(out, "wants daylight")
	}
	return out
}

func (l *todayList) lagUntil(t Task) float64 {
	until := 0.0
	for _, link := range t.After {
		for _, o := range l.p.Tasks {
			if o.ID == link.ID && o.DoneDay != nil && link.LagDays > 0 {
				until = max(until, *o.DoneDay+link.LagDays)
			}
		}
	}
	return until
}

func (l *todayList) nameOf(id string) string {
	for _, t := range l.p.Tasks {
		if t.ID == id {
			return cmp.Or(t.Name, t.ID)
		}
	}
	return id
}

func (l *todayList) resourceName(id string) string {
	r := l.p.resource(id)
	return cmp.Or(l.p.Resources[r].Name, id)
}

func (l *todayList) expected(id string) string {
	for _, x := range l.r.Placed {
		if x.ID == id && x.EndDay > l.p.TodayDay {
			return ", expected " + x.EndDate
		}
	}
	return ""
}

// startable is a task with the reasons for its place.
func (l *todayList) startable(i int, t Task) Startable {
	s := Startable{ID: t.ID, Name: t.Name, Zone: t.Zone, GoingOn: t.StartedDay != nil, Fits: true}
	if i < len(l.r.Placed) {
		s.SlackDays = l.r.Placed[i].SlackDays
	}
	if i < len(l.r.Tasks) {
		s.Criticality = l.r.Tasks[i].Criticality
	}
	s.HoursLikely = l.hours(t)
	if l.here.HoursFree > 0 && s.HoursLikely > 0 {
		s.Fits = s.HoursLikely <= l.here.HoursFree
	}
	s.Why = l.why(t, s)
	return s
}

func (l *todayList) hours(t Task) float64 {
	if t.Hours != nil {
		return t.Hours.Likely
	}
	return t.Days.Likely * l.p.hoursPerWeek() / 7
}

func (l *todayList) why(t Task, s Startable) []string {
	var why []string
	if s.GoingOn {
		why = append(why, "is begun already")
	}
	switch {
	case s.Criticality >= 0.5:
		why = append(why, fmt.Sprintf("the finish hangs on it in %.0f of 100 cases", 100*s.Criticality))
	case s.SlackDays < 0.5:
		why = append(why, "has no room to spare")
	default:
		why = append(why, fmt.Sprintf("has %.0f days to spare", s.SlackDays))
	}
	if l.openZone(t) {
		why = append(why, t.Zone+" is open now"+l.companions(t))
	}
	if l.setUp(t) {
		why = append(why, t.Tool+" is set up")
	}
	if next := l.frees(t); next != "" {
		why = append(why, "lets "+next+" begin")
	}
	if !s.Fits {
		why = append(why, fmt.Sprintf("likely takes %.1f h, more than the %.1f h there are", s.HoursLikely, l.here.HoursFree))
	}
	return why
}

func (l *todayList) openZone(t Task) bool {
	return t.Zone != "" && slices.Contains(l.here.Open, t.Zone)
}

func (l *todayList) setUp(t Task) bool { return t.Tool != "" && slices.Contains(l.here.SetUp, t.Tool) }

// companions names what else is to be done in the same zone.
func (l *todayList) companions(t Task) string {
	n := 0
	for _, o := range l.p.Tasks {
		if o.Zone == t.Zone && o.ID != t.ID && !l.done[o.ID] && o.ownWork() {
			n++
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return ", with one more task in it"
	}
	return fmt.Sprintf(", with %d more tasks in it", n)
}

// frees names outside work or a wait that comes right after the task: it runs
// while other things are done.
func (l *todayList) frees(t Task) string {
	for _, o := range l.p.Tasks {
		if !o.ownWork() && !l.done[o.ID] && slices.ContainsFunc(o.After, func(k Link) bool { return k.ID == t.ID }) {
			return cmp.Or(o.Name, o.ID)
		}
	}
	return ""
}

// before orders two startable tasks.
func (l *todayList) before(a, b Startable) int {
	ta, tb := l.task(a.ID), l.task(b.ID)
	return cmp.Or(
		-cmp.Compare(b2i(a.GoingOn), b2i(b.GoingOn)),
		-cmp.Compare(urgency(a), urgency(b)),
		-cmp.Compare(b2i(l.openZone(ta))+b2i(l.setUp(ta)), b2i(l.openZone(tb))+b2i(l.setUp(tb))),
		-cmp.Compare(b2i(a.Fits), b2i(b.Fits)),
		cmp.Compare(a.SlackDays, b.SlackDays),
		-cmp.Compare(a.Criticality, b.Criticality),
	)
}

// urgency is 2 where the finish mostly hangs on a task, 1 where it often does or
// there is less than a day to spare.
func urgency(s Startable) int {
	switch {
	case s.Criticality >= 0.5:
		return 2
	case s.Criticality >= 0.2 || s.SlackDays < 1:
		return 1
	}
	return 0
}

func (l *todayList) task(id string) Task {
	return l.p.Tasks[slices.IndexFunc(l.p.Tasks, func(t Task) bool { return t.ID == id })]
}
