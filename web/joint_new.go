package web

import (
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// jointFormPage is the form for a new joint or for one that exists.
type jointFormPage struct {
	Frame
	Joint *rebuild.Joint // nil: a new one
	Entry jointFields
}

// Action is where the form is sent.
func (p jointFormPage) Action() string {
	if p.Joint == nil {
		return p.Base() + "/joints"
	}
	return jointPath(p.Rebuild.ID, p.Joint.ID)
}

func jointPath(rebuildID, id int64) string {
	return "/r/" + strconv.FormatInt(rebuildID, 10) + "/joints/" + strconv.FormatInt(id, 10)
}

func (s *Server) jointNewShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	return s.jointFormShow(w, r, http.StatusOK, rb, nil, presetJoint(r.URL.Query(), rb))
}

// presetJoint opens the form of a new joint: as another one on the other side, as
// the calculator left it, or empty.
func presetJoint(q url.Values, rb *rebuild.Rebuild) *Form {
	f := &Form{}
	f.Set("count", "1")
	f.Set("safety", q.Get("safety"))
	f.Set("locking", string(rebuild.LockNone))
	if id, err := strconv.ParseInt(q.Get("like"), 10, 64); err == nil {
		if like := rb.Joint(id); like != nil {
			f.setJoint(like, distanceUnit(rb))
			f.Set("title", otherSide(like.Title))
			f.Set("zone", otherSide(like.Zone))
			f.Set("note", "")
			return f
		}
	}
	for _, field := range []string{"title", "zone", "thread", "count", "torque", "unit", "angle_deg", "source", "source_where", "friction", "lubricant", "jobs"} {
		if v := q.Get(field); v != "" {
			f.Set(field, v)
		}
	}
	if q.Get("job") != "" {
		f.Set("jobs", q.Get("job"))
		if id, err := strconv.ParseInt(q.Get("job"), 10, 64); err == nil && rb.Job(id) != nil {
			f.Set("safety", string(rb.Job(id).Safety))
			f.Set("zone", rb.Job(id).Zone)
		}
	}
	return f
}

// otherSide turns left into right and the other way round.
func otherSide(text string) string {
	swap := strings.NewReplacer("left", "right", "right", "left", "Left", "Right", "Right", "Left")
	return swap.Replace(text)
}

// jointFormShow shows the form of a joint.
func (s *Server) jointFormShow(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, j *rebuild.Joint, f *Form) error {
	title := "New joint"
	if j != nil {
		title = "Edit " + j.Title
	}
	frame, err := s.frame(r, title, "joints", rb)
	if err != nil {
		return err
	}
	return s.show(w, status, "joint_form", jointFormPage{frame, j, newJointFields(rb, f)})
}

// jointAdd enters a joint.
func (s *Server) jointAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	var j rebuild.Joint
	f.readJoint(&j, distanceUnit(rb))
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddJoint(j) }, toAddedAs(rb, rebuild.KindJoint, "joints"))
		if !f.take(err) {
			return err
		}
		f.fieldsOfForm(jointProblems)
	}
	return s.jointFormShow(w, r, http.StatusUnprocessableEntity, rb, nil, f)
}

// toAddedAs leads to what a change added of that kind, in its room.
func toAddedAs(rb *rebuild.Rebuild, kind rebuild.Kind, room string) func(store.Record) string {
	return func(record store.Record) string {
		base := Frame{Rebuild: rb}.Base() + "/" + room
		for _, e := range record.Edits {
			if e.Before == nil && e.Kind() == kind {
				return base + "/" + strconv.FormatInt(e.ID(), 10)
			}
		}
		return base
	}
}

func (s *Server) jointEditShow(w http.ResponseWriter, r *http.Request) error {
	rb, j, err := s.jointOf(r)
	if err != nil {
		return err
	}
	f := &Form{}
	f.setJoint(j, distanceUnit(rb))
	return s.jointFormShow(w, r, http.StatusOK, rb, j, f)
}

// jointEdit changes what a joint is and how it is to be tightened.
func (s *Server) jointEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.jointOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	j := *now
	j.Rev = f.rev()
	f.readJoint(&j, distanceUnit(rb))
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditJoint(j) },
			func(store.Record) string { return jointPath(rb.ID, j.ID) })
		if !f.take(err) {
			return err
		}
		f.fieldsOfForm(jointProblems)
	}
	return s.jointFormShow(w, r, http.StatusUnprocessableEntity, rb, now, f)
}
