package web

import (
	"net/http"
	"strconv"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// routeFormPage is the form of one way to do a job.
type routeFormPage struct {
	Frame
	Job      *rebuild.Job
	Route    *rebuild.Route // nil for a new one
	Fields   routeFields
	Form     *Form
	Bars     []rebuild.Bar // of the route as it stands
	Cautions []knowledge.Caution
	Action   string
}

func (s *Server) routeForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, job *rebuild.Job, route *rebuild.Route, f *Form) error {
	title, action := "Another route: "+job.Title, jobPath(rb, job.ID)+"/routes"
	page := routeFormPage{Job: job, Route: route, Form: f, Fields: newRouteFields(f, "", rb.Car.Currency)}
	if route != nil {
		title, action = "Edit: "+route.Name, action+"/"+strconv.FormatInt(route.ID, 10)
		page.Bars = rebuild.Bars(job.Safety, *route)
	}
	var err error
	if page.Frame, err = s.frame(r, title, "jobs", rb); err != nil {
		return err
	}
	page.Action = action
	if job.Safety.Critical() {
		page.Cautions = knowledge.CautionsAt("", string(job.Safety))
	}
	return s.show(w, status, "route_form", page)
}

func (s *Server) routeNewShow(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.Set("kind", string(rebuild.Repair))
	f.Set("method", string(rebuild.MethodPlain))
	return s.routeForm(w, r, http.StatusOK, rb, job, nil, f)
}

// routeAdd adds a route to the job as it stands: it overwrites nothing, so that
// whoever changed the job meanwhile need not be asked.
func (s *Server) routeAdd(w http.ResponseWriter, r *http.Request) error {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	route := f.readRoute("", rb.Car.Currency)
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
			now := rb.Job(job.ID)
			if now == nil {
				return rebuild.Change{}, &rebuild.Missing{Kind: rebuild.KindJob, ID: job.ID}
			}
			return rb.SetRoute(now.ID, now.Rev, route)
		}, toJob(rb, job.ID))
		if !f.take(err) {
			return err
		}
		f.renameProblems(len(job.Routes)+1, "")
	}
	return s.routeForm(w, r, http.StatusUnprocessableEntity, rb, job, nil, f)
}

// kindRoute names a route where it is missing; it is part of its job, no item.
const kindRoute rebuild.Kind = "route"

// routeOf loads the job and the route of it that the address names.
func (s *Server) routeOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Job, *rebuild.Route, error) {
	rb, job, err := s.jobOf(r)
	if err != nil {
		return nil, nil, nil, err
	}
	id, err := pathNumber(r, "route")
	if err != nil {
		return nil, nil, nil, err
	}
	route := job.Route(id)
	if route == nil {
		return nil, nil, nil, &rebuild.Missing{Kind: kindRoute, ID: id}
	}
	return rb, job, route, nil
}

func (s *Server) routeShow(w http.ResponseWriter, r *http.Request) error {
	rb, job, route, err := s.routeOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setRoute("", route)
	f.Set("rev", strconv.Itoa(job.Rev))
	return s.routeForm(w, r, http.StatusOK, rb, job, route, f)
}

func (s *Server) routeEdit(w http.ResponseWriter, r *http.Request) error {
	rb, job, route, err := s.routeOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	edited, rev := f.readRoute("", rb.Car.Currency), f.rev()
	edited.ID = route.ID
	if len(f.Problems) == 0 {
		err := s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.SetRoute(job.ID, rev, edited) }, toJob(rb, job.ID))
		if !f.take(err) {
			return err
		}
		f.renameProblems(placeOf(job, route.ID), "")
		f.explainChosen("This route, as it would be,", "method")
	}
	return s.routeForm(w, r, http.StatusUnprocessableEntity, rb, job, route, f)
}

// placeOf is the route's place in its job, counted from 1.
func placeOf(job *rebuild.Job, id int64) int {
	for i := range job.Routes {
		if job.Routes[i].ID == id {
			return i + 1
		}
	}
	return 0
}

func (s *Server) routeDelete(w http.ResponseWriter, r *http.Request) error {
	rb, job, route, err := s.routeOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	rev := f.rev()
	return s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.DeleteRoute(job.ID, rev, route.ID) }, toJob(rb, job.ID))
}
