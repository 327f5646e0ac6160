package web

import (
	"net/http"
	"slices"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// refitPage is what goes back on the car, in order: what can go back now, what
// waits and for what, what to buy and to gather, and what is left over.
type refitPage struct {
	Frame
	Zone string // that is asked for; empty: all
	Job  int64  // 0: all

	Zones, Jobs []Option
	All, Off    int // all that came off, and what is off
	Listed      int // of the filter
	Circles     []rebuild.Circle
	Today       []refitLine
	Later       []refitLine
	Further     int // left out: a list so long is narrowed, not read
	Tools       []rebuild.ToolNeed
	Cautions    []knowledge.Caution // of where today's things belong
	Joints      []heldJoint         // to tighten with today's list
	Besides     []heldJoint         // not proven, though nothing is off by them
	Buy         []buyLine
	Loose       rebuild.LeftOver // of what is back
	Left        rebuild.LeftOver // of the whole car
	Open        []heldJoint      // not proven, at the end
	Refused     []rebuild.Problem
}

// refitLine is a thing to put back, or a job that comes before it.
type refitLine struct {
	stripLine
	Job      *rebuild.Job // set: the line is a job
	Blocks   blockList
	Tighten  []heldJoint
	Notes    []string
	NotAgain bool // it waits for what must not be used again
}

// buyLine is one line of what to buy.
type buyLine struct {
	rebuild.ToBuy
	Key, Words, Ordered string
	Jobs                int64 // the one that most likely pays; 0: none
}

// mostSteps bounds what is listed as ready, and what is listed as waiting.
const mostSteps = 100

func (s *Server) refitShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.refitForm(w, r, http.StatusOK, rb, nil)
}

func (s *Server) refitForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, refused []rebuild.Problem) error {
	frame, err := s.frame(r, "Refit", "strip", rb)
	if err != nil {
		return err
	}
	page := refitPage{
		Frame: frame, All: len(rb.Strip), Off: len(rb.StillOff("")), Refused: refused,
		Left: rb.LeftOver(), Zones: []Option{{"", "Everywhere"}}, Jobs: []Option{{"", "Everything"}},
	}
	page.readFilter(rb, r)
	page.options(rb)
	page.fill(rb)
	return s.show(w, status, "refit", page)
}

func (p *refitPage) readFilter(rb *rebuild.Rebuild, r *http.Request) {
	q := r.URL.Query()
	if zone := q.Get("zone"); rb.Zone(zone) != nil {
		p.Zone = zone
	}
	id, _ := strconv.ParseInt(q.Get("job"), 10, 64)
	if rb.Job(id) != nil {
		p.Job = id
	}
}

// options are the zones in which and the jobs for which something is off.
func (p *refitPage) options(rb *rebuild.Rebuild) {
	zones, jobs := map[string]bool{p.Zone: p.Zone != ""}, map[int64]bool{p.Job: p.Job != 0}
	for _, s := range rb.StillOff("") {
		zones[s.Zone] = true
		for _, id := range s.Jobs {
			jobs[id] = true
		}
	}
	for _, z := range rebuild.ZonePlaces {
		if zones[z.Key] {
			p.Zones = append(p.Zones, Option{z.Key, z.Name})
		}
	}
	for i := range rb.Jobs {
		if j := &rb.Jobs[i]; jobs[j.ID] {
			p.Jobs = append(p.Jobs, Option{strconv.FormatInt(j.ID, 10), j.Title})
		}
	}
}

// JobValue is the job that is asked for, as its option has it.
func (p refitPage) JobValue() string {
	if p.Job == 0 {
		return ""
	}
	return strconv.FormatInt(p.Job, 10)
}

// Partial reports whether only a part is asked for.
func (p refitPage) Partial() bool { return p.Zone != "" || p.Job != 0 }

func (p *refitPage) fill(rb *rebuild.Rebuild) {
	var jobs, items []int64
	if p.Job != 0 {
		jobs = []int64{p.Job}
	}
	for _, s := range rb.StillOff("") {
		if p.Zone != "" && s.Zone == p.Zone {
			items = append(items, s.ID)
		}
	}
	plan := workshop.PlanRefit(rb, !p.Partial(), jobs, items)
	p.Circles, p.Loose, p.Listed = plan.All.Circles, plan.Loose, len(plan.All.Steps)
	numbers := stripNumbers(rb)
	for i := range plan.Today.Steps[:min(len(plan.Today.Steps), mostSteps)] {
		p.Today = append(p.Today, p.line(rb, numbers, &plan.Today.Steps[i]))
	}
	p.Further = max(0, len(plan.Today.Steps)-mostSteps) + max(0, len(plan.Later)-mostSteps)
	for _, l := range plan.Later[:min(len(plan.Later), mostSteps)] {
		if l.Job != nil {
			p.Later = append(p.Later, refitLine{Job: l.Job})
			continue
		}
		p.Later = append(p.Later, p.line(rb, numbers, l.Step))
	}
	p.Tools, p.Cautions = plan.Today.Tools(), cautionsAt(plan.Today.Steps)
	for _, step := range plan.Today.Steps {
		p.Joints = append(p.Joints, p.held(rb, step.Tighten)...)
	}
	p.Besides = p.held(rb, plan.All.Open)
	p.Open = p.held(rb, p.Left.Joints)
	if p.Off == 0 {
		p.Besides = nil // among those that the whole check names
	}
	for _, b := range rb.ToBuy() {
		p.Buy = append(p.Buy, newBuyLine(b))
	}
}

func (p *refitPage) line(rb *rebuild.Rebuild, numbers map[int64]int, step *rebuild.RefitStep) refitLine {
	line := refitLine{
		stripLine: newStripLine(p.Base(), numbers[step.Item.ID], step.Item),
		Blocks:    newBlockList(p.Base(), rb, numbers, step.Blocks), Notes: step.Notes,
		NotAgain: workshop.NotAgain(rb, step.Item) != "",
	}
	line.Tighten = p.held(rb, step.Tighten)
	return line
}

func (p *refitPage) held(rb *rebuild.Rebuild, joints []*rebuild.Joint) []heldJoint {
	var list []heldJoint
	for _, j := range joints {
		list = append(list, newHeldJoint(p.Frame, rb, j))
	}
	return list
}

func newBuyLine(b rebuild.ToBuy) buyLine {
	line := buyLine{ToBuy: b, Key: workshop.BuyKey(b), Words: workshop.BuyWords(b), Ordered: workshop.BuyOrdered(b)}
	for _, s := range b.Items {
		if len(s.Jobs) > 0 {
			line.Jobs = s.Jobs[0]
			break
		}
	}
	for _, j := range b.Joints {
		if line.Jobs == 0 && len(j.Jobs) > 0 {
			line.Jobs = j.Jobs[0]
		}
	}
	return line
}

// SetWords says what a set of fasteners is.
func (refitPage) SetWords(f rebuild.FastenerSet) string { return workshop.InWords(f) }

// cautionsAt are those of all zones where the steps are done, each once.
func cautionsAt(steps []rebuild.RefitStep) []knowledge.Caution {
	var list []knowledge.Caution
	zones := map[string]bool{}
	for _, step := range steps {
		if zones[step.Item.Zone] {
			continue
		}
		zones[step.Item.Zone] = true
		for _, c := range knowledge.CautionsAt(step.Item.Zone, "") {
			if !slices.ContainsFunc(list, func(o knowledge.Caution) bool { return o.Hazard == c.Hazard }) {
				list = append(list, c)
			}
		}
	}
	return list
}
