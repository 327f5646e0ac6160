package web

import (
	"fmt"
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// jobPage is one job: the ways to do it side by side, what it settles, what it
// has cost, how it stands.
type jobPage struct {
	Frame
	Job        *rebuild.Job
	Line       jobLine
	SafetyName string
	StateName  string
	Unclassed  bool // a finding is safety-critical, but the job is said not to be
	Cautions   []knowledge.Caution

	Routes   []routeCard
	Scale    string // how to read the bars
	Findings []*rebuild.Finding
	Entries  []*rebuild.Entry
	Together amount.Amount // of the entries
	Against  string        // the sum beside the estimate

	Joints   []workshop.JointLine // that it wants tight
	Measured []evidenceLine
	Compared []*comparison // of each quantity that was measured before and after

	CameOff offHere            // for it
	Dates   *workshop.JobDates // by the plan; nil: not known at once

	Form     *Form // how it stands
	States   []Option
	Proofs   []rebuild.Attachment
	Failable bool // the chosen route may fail
}

func (s *Server) jobShow(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setOutcome(job)
	f.Set("rev", strconv.Itoa(job.Rev))
	return s.jobPage(w, r, http.StatusOK, rb, job, f, job.Proofs)
}

func (s *Server) jobPage(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, job *rebuild.Job, f *Form, proofs []rebuild.Attachment) error {
	frame, err := s.frame(r, job.Title, "jobs", rb)
	if err != nil {
		return err
	}
	lines, err := s.jobLines(rb)
	if err != nil {
		return err
	}
	page := jobPage{
		Frame: frame, Job: job, SafetyName: safetyNames[job.Safety], StateName: jobStateNames[job.State],
		Cautions: knowledge.CautionsAt(job.Zone, string(job.Safety)),
		Dates:    s.workshop.DatesOfJob(rb, job.ID), Form: f, States: optionsOf(rebuild.JobStates), Proofs: proofs,
	}
	for _, line := range lines {
		if line.Job.ID == job.ID {
			page.Line = line
		}
	}
	route := job.ChosenRoute()
	page.Failable = job.Failed || route != nil && route.Fallback != nil
	page.Routes, page.Scale = routeCards(frame, job, workshop.Routes(rb, job))
	page.gather(rb)
	return s.show(w, status, "job", page)
}

// gather collects what belongs to the job.
func (p *jobPage) gather(rb *rebuild.Rebuild) {
	for _, id := range p.Job.Findings {
		if found := rb.Finding(id); found != nil {
			p.Findings = append(p.Findings, found)
			p.Unclassed = p.Unclassed || found.Safety && !p.Job.Safety.Critical()
		}
	}
	var sum int64
	for i := range rb.Entries {
		if e := &rb.Entries[i]; e.JobID == p.Job.ID {
			p.Entries = append(p.Entries, e)
			sum += e.Amount.Minor
		}
	}
	p.Together = rb.Amount(sum)
	for _, j := range rb.JointsOf(p.Job.ID) {
		p.Joints = append(p.Joints, workshop.JointLine{Joint: j, Stand: rb.JointStand(*j, p.Today)})
	}
	p.Against = p.against()
	p.Measured = evidenceLines(p.Frame, rb, func(e *rebuild.Evidence) bool { return e.JobID == p.Job.ID })
	p.Compared = compareAll(rb, p.Job.ID)
	p.CameOff = newOffHere(p.Frame, rb, []int64{p.Job.ID}, "")
}

// against says how what was paid compares with the estimate as it stood when the
// route was chosen.
func (p *jobPage) against() string {
	estimate := p.Job.Estimate
	if estimate == nil || !p.Line.Written {
		return ""
	}
	paid, without := p.Line.Paid.Float(), ""
	if p.Failable {
		without = ", what comes after a failure not counted"
	}
	said := fmt.Sprintf("When the route was chosen it was thought to cost %s, in 8 of 10 cases %s to %s%s.", p.Whole(estimate.Likely), p.Whole(estimate.Low), p.Whole(estimate.High), without)
	if estimate.IsCertain() {
		said = fmt.Sprintf("When the route was chosen it was thought to cost %s%s.", p.Whole(estimate.Likely), without)
	}
	switch {
	case !p.Job.Finished():
		return fmt.Sprintf("%s Paid so far: %s.", said, p.Money(p.Line.Paid))
	case paid > estimate.High:
		return said + " It came out above the high figure."
	case paid < estimate.Low:
		return said + " It came out below the low figure."
	}
	return said + " It came out within the range."
}
