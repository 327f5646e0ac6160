package web

import (
	"net/http"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"time"

	"wreckwright/bench/joint"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// jointPage is one joint: how it is to be tightened, what that does to it, what
// was done to it, and whether it is proven.
type jointPage struct {
	Frame
	Joint    *rebuild.Joint
	Line     workshop.JointLine
	Said     workshop.JointReckoning
	Grip     *Form // the thickness clamped, for a joint turned by an angle
	Star     *starDrawing
	Trail    []jointEvent // latest first
	Jobs     []*rebuild.Job
	Cautions []knowledge.Caution
	Form     *Form  // the form that was refused, empty otherwise
	Refused  string // which: "check", "undone"
}

func (s *Server) jointShow(w http.ResponseWriter, r *http.Request) error {
	rb, j, err := s.jointOf(r)
	if err != nil {
		return err
	}
	return s.jointForm(w, r, http.StatusOK, rb, j, &Form{}, "")
}

// jointOf finds the joint that the address names.
func (s *Server) jointOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Joint, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "joint")
	if err != nil {
		return nil, nil, err
	}
	j := rb.Joint(id)
	if j == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindJoint, ID: id}
	}
	return rb, j, nil
}

// jointForm shows a joint; f is the form that was refused, with its name.
func (s *Server) jointForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, j *rebuild.Joint, f *Form, refused string) error {
	frame, err := s.frame(r, j.Title, "joints", rb)
	if err != nil {
		return err
	}
	grip := &Form{}
	grip.Set("grip_mm", r.URL.Query().Get("grip_mm"))
	mm := grip.number("grip_mm", "the thickness")
	page := jointPage{
		Frame: frame, Joint: j, Line: workshop.JointLine{Joint: j, Stand: rb.JointStand(*j, s.today())},
		Said: workshop.ReckonJoint(j, max(0, mm)), Grip: grip, Star: newStar(workshop.WheelOrder(j)),
		Trail: jointTrail(rb, j), Cautions: jointCautions(j), Form: f, Refused: refused,
	}
	for _, id := range j.Jobs {
		if job := rb.Job(id); job != nil {
			page.Jobs = append(page.Jobs, job)
		}
	}
	return s.show(w, status, "joint", page)
}

// liftClasses are what is reached with the car in the air.
var liftClasses = []rebuild.SafetyClass{rebuild.SafetyBrake, rebuild.SafetySteering, rebuild.SafetySuspension}

// jointCautions are what can hurt at the joint: by its class and zone, and lifting
// wherever the car is in the air for it.
func jointCautions(j *rebuild.Joint) []knowledge.Caution {
	list := knowledge.CautionsAt(j.Zone, string(j.Safety))
	if !slices.Contains(liftClasses, j.Safety) || slices.ContainsFunc(list, func(c knowledge.Caution) bool { return c.Hazard == "lifting" }) {
		return list
	}
	if c, ok := knowledge.CautionFor("lifting"); ok {
		list = append(list, c)
	}
	return list
}

// jointEvent is one thing that was done to a joint.
type jointEvent struct {
	At       string
	When     string
	Tighten  *rebuild.Tightening
	Tool     *rebuild.Tool
	Item     *rebuild.StripItem // that undid it as it came off
	Undone   *rebuild.Undoing
	Counts   bool // the tightening is later than the last undoing
	Distance string
}

// jointTrail is what was done to a joint, latest first.
func jointTrail(rb *rebuild.Rebuild, j *rebuild.Joint) []jointEvent {
	undone := rb.JointStand(*j, "").UndoneAt
	var list []jointEvent
	for i := range j.Tightenings {
		t := &j.Tightenings[i]
		e := jointEvent{At: t.At, Tighten: t, Tool: rb.Tool(t.Tool), Counts: undone == "" || moment(t.At).After(moment(undone))}
		if t.AtKm != nil {
			e.Distance = odometerField(*t.AtKm, distanceUnit(rb)) + "\u00a0" + rb.Car.DistanceUnit
		}
		list = append(list, e)
	}
	for i := range j.Undone {
		list = append(list, jointEvent{At: j.Undone[i].At, Undone: &j.Undone[i]})
	}
	for _, item := range rb.StripUndoing(j.ID) {
		list = append(list, jointEvent{At: item.At, Item: item})
	}
	slices.SortStableFunc(list, func(a, b jointEvent) int { return moment(b.At).Compare(moment(a.At)) })
	for i := range list {
		list[i].When = momentWords(list[i].At)
	}
	return list
}

// moment reads a moment of the book; a broken one lies before all others.
func moment(text string) time.Time {
	t, err := time.Parse(time.RFC3339, text)
	if err != nil {
		return time.Time{}
	}
	return t
}

// momentWords shows a moment as "4 May 2026, 14:03".
func momentWords(text string) string {
	t := moment(text)
	if t.IsZero() {
		return text
	}
	return t.Format("2 Jan 2006, 15:04")
}

// AgainstMaker reports whether the reckoning speaks against a figure of the maker.
func (p jointPage) AgainstMaker() bool {
	against := p.Said.Breaks || p.Said.Result != nil && !p.Said.SnugOnly && p.Said.Result.Verdict == joint.Fail
	return p.Joint.Source == rebuild.SourceMaker && against
}

// isoDay is a day as the book writes it.
var isoDay = regexp.MustCompile(`\b\d{4}-\d{2}-\d{2}\b`)

// dayWords shows the days in words of the book as pages do: "4 May 2026".
func dayWords(words string) string { return isoDay.ReplaceAllStringFunc(words, day) }

// CalculatorAddress opens the calculator on the joint's specification.
func (p jointPage) CalculatorAddress() string {
	q := url.Values{"thread": {p.Joint.Thread}}
	set := func(name string, v float64) {
		if v > 0 {
			q.Set(name, trimNumber(round2(v)))
		}
	}
	if p.Joint.TorqueNm > 0 {
		q.Set("torque", trimNumber(tidyTorque(p.Joint.TorqueNm)))
	}
	set("angle_deg", p.Joint.AngleDeg)
	set("friction", p.Joint.Friction)
	q.Set("lubricant", p.Said.Asked.Surface)
	q.Set("head", p.Said.Asked.Head)
	q.Set("joint", strconv.FormatInt(p.Joint.ID, 10))
	return p.Base() + "/bench/joint?" + q.Encode()
}
