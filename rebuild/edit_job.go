package rebuild

import (
	"fmt"
	"slices"

	"wreckwright/uncertain"
)

// AddJob enters a new job. It and its routes get their numbers here; Chosen, if
// not zero, is the place of the chosen route in j.Routes, counted from 1.
func (r *Rebuild) AddJob(j Job) (Change, error) {
	j.ID, j.Rev = r.nextID(), 0
	next := j.ID + 1
	j.Routes = slices.Clone(j.Routes)
	for i := range j.Routes {
		j.Routes[i].ID = next
		next++
	}
	if j.Chosen < 0 || j.Chosen > int64(len(j.Routes)) {
		return Change{}, &Invalid{[]Problem{{"chosen", fmt.Sprintf("route %d is chosen, but there are %d", j.Chosen, len(j.Routes))}}}
	}
	if j.Chosen > 0 {
		j.Chosen = j.Routes[j.Chosen-1].ID
	}
	j.Estimate = nil
	j.freezeEstimate(0)
	if err := r.checkJob(j); err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("added the job %q", short(j.Title)), nextID: next}
	c.add(j)
	return c, nil
}

// EditJob replaces a job. j.Rev is the revision the form was opened with; routes
// without a number are new.
func (r *Rebuild) EditJob(j Job) (Change, error) {
	return r.editJob(j, fmt.Sprintf("changed the job %q", short(j.Title)))
}

func (r *Rebuild) editJob(j Job, what string) (Change, error) {
	old := r.Job(j.ID)
	if old == nil {
		return Change{}, &Conflict{Kind: KindJob, ID: j.ID, Label: j.Title}
	}
	if err := fresh(*old, j); err != nil {
		return Change{}, err
	}
	if err := old.knowsRoutes(j.Routes); err != nil {
		return Change{}, err
	}
	next := r.nextID()
	j.Routes = slices.Clone(j.Routes)
	for i := range j.Routes {
		if j.Routes[i].ID == 0 {
			j.Routes[i].ID = next
			next++
		}
	}
	j.Estimate = old.Estimate
	j.freezeEstimate(old.Chosen)
	if err := r.checkJob(j); err != nil {
		return Change{}, err
	}
	c := changed(what, *old, j)
	c.nextID = next
	return c, nil
}

// knowsRoutes refuses routes whose number the job does not have, or that come
// twice: numbers are given here, not by a form.
func (j *Job) knowsRoutes(routes []Route) error {
	seen := map[int64]bool{}
	for i, route := range routes {
		if route.ID != 0 && (j.Route(route.ID) == nil || seen[route.ID]) {
			return &Invalid{[]Problem{{fmt.Sprintf("routes.%d", i+1), fmt.Sprintf("the route %q is not there any more", short(route.Name))}}}
		}
		seen[route.ID] = true
	}
	return nil
}

// freezeEstimate keeps the chosen route's cost as it stands at the choice.
func (j *Job) freezeEstimate(chosenBefore int64) {
	if j.Chosen == chosenBefore {
		return
	}
	j.Estimate = nil
	if route := j.ChosenRoute(); route != nil {
		cost := route.Cost
		j.Estimate = &cost
	}
}

func (r *Rebuild) checkJob(j Job) error {
	if err := j.Validate(r.Car.Currency); err != nil {
		return err
	}
	seen := map[int64]bool{}
	for _, id := range j.Findings {
		if r.Finding(id) == nil {
			return &Invalid{[]Problem{{"findings", fmt.Sprintf("finding %d is not there any more", id)}}}
		}
		if seen[id] {
			return &Invalid{[]Problem{{"findings", fmt.Sprintf("finding %d is named twice", id)}}}
		}
		seen[id] = true
	}
	if !r.provenWithout(j, 0) {
		return &Invalid{[]Problem{{"proof", "proven needs evidence: say what shows that it is done right, add a photo or record of it, or keep a measurement of this job that passed after the work"}}}
	}
	stands := r.JointStands()
	if joint := stands.unprovenOf(j); joint != nil {
		why := stands.Of(*joint, "").Why[0]
		return &Invalid{[]Problem{{"state", fmt.Sprintf("lives hang on this job, so it is proven only with its joints: %q is not, for %s", short(joint.Title), why)}}}
	}
	return nil
}

// DeleteJob takes a job out; its ledger entries and measurements stay and belong
// to no job, and the cases, strip items and joints that name it do so no more.
func (r *Rebuild) DeleteJob(id int64, rev int) (Change, error) {
	old, err := r.jobAt(id, rev)
	if err != nil {
		return Change{}, err
	}
	c := Change{What: fmt.Sprintf("deleted the job %q", short(old.Title))}
	for i := range r.Entries {
		if e := r.Entries[i]; e.JobID == id {
			loose := e
			loose.JobID = 0
			loose.Rev++
			c.edit(e, loose)
		}
	}
	for _, e := range r.EvidenceOf(id) {
		loose := *e
		loose.JobID = 0
		loose.Rev++
		c.edit(*e, loose)
	}
	r.loosen(&c, KindJob, id)
	c.remove(*old)
	return c, nil
}

func (r *Rebuild) jobAt(id int64, rev int) (*Job, error) {
	old := r.Job(id)
	if old == nil {
		return nil, &Missing{KindJob, id}
	}
	if old.Rev != rev {
		return nil, &Conflict{KindJob, id, old.Title, *old}
	}
	return old, nil
}

// SetRoute adds a route (ID 0) or replaces the one with its number.
func (r *Rebuild) SetRoute(jobID int64, rev int, route Route) (Change, error) {
	old, err := r.jobAt(jobID, rev)
	if err != nil {
		return Change{}, err
	}
	j := *old
	j.Routes = slices.Clone(j.Routes)
	what := fmt.Sprintf("added the route %q to %q", short(route.Name), short(j.Title))
	if route.ID == 0 {
		j.Routes = append(j.Routes, route)
	} else {
		at := slices.IndexFunc(j.Routes, func(x Route) bool { return x.ID == route.ID })
		if at < 0 {
			return Change{}, &Invalid{[]Problem{{"route", "that route is not there any more"}}}
		}
		j.Routes[at] = route
		what = fmt.Sprintf("changed the route %q of %q", short(route.Name), short(j.Title))
	}
	return r.editJob(j, what)
}

// DeleteRoute takes a route away; a job that went it has none chosen then.
func (r *Rebuild) DeleteRoute(jobID int64, rev int, routeID int64) (Change, error) {
	old, err := r.jobAt(jobID, rev)
	if err != nil {
		return Change{}, err
	}
	route := old.Route(routeID)
	if route == nil {
		return Change{}, &Invalid{[]Problem{{"route", "that route is not there any more"}}}
	}
	j := *old
	j.Routes = slices.DeleteFunc(slices.Clone(j.Routes), func(x Route) bool { return x.ID == routeID })
	if j.Chosen == routeID {
		j.Chosen = 0
	}
	return r.editJob(j, fmt.Sprintf("deleted the route %q of %q", short(route.Name), short(j.Title)))
}

// ChooseRoute decides which way the job goes; 0 takes the choice back. A barred
// route is refused with its reason.
func (r *Rebuild) ChooseRoute(jobID int64, rev int, routeID int64) (Change, error) {
	old, err := r.jobAt(jobID, rev)
	if err != nil {
		return Change{}, err
	}
	j := *old
	j.Chosen = routeID
	what := fmt.Sprintf("left the route of %q open", short(j.Title))
	if route := j.ChosenRoute(); route != nil {
		what = fmt.Sprintf("chose %q for %q", short(route.Name), short(j.Title))
	}
	return r.editJob(j, what)
}

// Outcome is how a job stands or came out.
type Outcome struct {
	State       JobState
	WaitingFor  string
	DoneOn      string // ISO date, needed for done and proven
	HoursSpent  float64
	Failed      bool
	CostNothing bool
	Proof       string
	Proofs      []Attachment
}

// SetOutcome moves a job to another state and keeps what came out.
func (r *Rebuild) SetOutcome(jobID int64, rev int, o Outcome) (Change, error) {
	old, err := r.jobAt(jobID, rev)
	if err != nil {
		return Change{}, err
	}
	j := *old
	j.State, j.WaitingFor, j.DoneOn, j.HoursSpent = o.State, o.WaitingFor, o.DoneOn, o.HoursSpent
	j.Failed, j.CostNothing, j.Proof, j.Proofs = o.Failed, o.CostNothing, o.Proof, o.Proofs
	return r.editJob(j, fmt.Sprintf("set the job %q to %s", short(j.Title), o.State))
}

// Planned is the cost that the job is planned with: the chosen route's, or, while
// none is chosen, that of the route with the least expected likely cost among
// those that are not barred. ok is false when there is none.
func (j *Job) Planned() (route Route, ok bool) {
	if r := j.ChosenRoute(); r != nil {
		return *r, true
	}
	best := -1
	for i, r := range j.Routes {
		if len(Bars(j.Safety, r)) > 0 || r.Kind == Leave {
			continue
		}
		if best < 0 || likelyTotal(r) < likelyTotal(j.Routes[best]) {
			best = i
		}
	}
	if best < 0 {
		return Route{}, false
	}
	return j.Routes[best], true
}

func likelyTotal(r Route) float64 {
	total := r.Cost.Likely
	if r.Fallback != nil {
		total += (1 - r.Works) * r.Fallback.Cost.Likely
	}
	return total
}

// ForecastRange is the estimate that the own record scores for a finished job:
// the frozen one, or none where nothing was estimated beforehand or where the
// route failed (its fallback is not part of the range).
func (j *Job) ForecastRange() (uncertain.Range, bool) {
	if j.Estimate == nil || j.Failed || j.Estimate.IsCertain() {
		return uncertain.Range{}, false
	}
	return *j.Estimate, true
}
