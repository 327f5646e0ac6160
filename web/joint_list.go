package web

import (
	"net/http"
	"net/url"
	"strconv"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// jointsPage lists the joints, those first that keep the car off the road.
type jointsPage struct {
	Frame
	All      workshop.Joints
	Groups   []jointGroup
	Zones    []Option
	Zone     string
	State    string // "open", "check": only those
	Matches  int
	Tools    []workshop.ToolLine
	Previous string
	Next     string
}

// jointGroup is a part of the list under one heading.
type jointGroup struct {
	Name  string
	Lines []workshop.JointLine
}

const jointsPageSize = 60

func (s *Server) jointsShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Joints", "joints", rb)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	page := jointsPage{
		Frame: frame, All: workshop.JointsOf(rb, s.today()), Zone: q.Get("zone"), State: q.Get("state"),
		Tools: workshop.ToolsOf(rb, s.today(), 0),
	}
	page.Zones = jointZones(rb)
	page.fill(q)
	return s.show(w, http.StatusOK, "joints", page)
}

// jointZones are the zones that have joints.
func jointZones(rb *rebuild.Rebuild) []Option {
	has := map[string]bool{}
	for i := range rb.Joints {
		has[rb.Joints[i].Zone] = true
	}
	options := []Option{{"", "All zones"}}
	for _, z := range rebuild.ZonePlaces {
		if has[z.Key] {
			options = append(options, Option{z.Key, z.Name})
		}
	}
	return options
}

// fill takes one page out of the joints and puts them under headings.
func (p *jointsPage) fill(q url.Values) {
	var lines []workshop.JointLine
	for _, l := range p.All.Lines {
		if (p.Zone == "" || l.Zone == p.Zone) && (p.State != "open" || l.Open()) && (p.State != "check" || l.WantsSecond()) {
			lines = append(lines, l)
		}
	}
	p.Matches = len(lines)
	last := max(1, (len(lines)+jointsPageSize-1)/jointsPageSize)
	now, _ := strconv.Atoi(q.Get("page"))
	now = min(max(now, 1), last)
	address := func(n int) string {
		return p.Base() + "/joints?" + url.Values{"zone": {p.Zone}, "state": {p.State}, "page": {strconv.Itoa(n)}}.Encode()
	}
	if now > 1 {
		p.Previous = address(now - 1)
	}
	if now < last {
		p.Next = address(now + 1)
	}
	for _, l := range lines[(now-1)*jointsPageSize : min(len(lines), now*jointsPageSize)] {
		name := groupOf(l)
		if n := len(p.Groups); n == 0 || p.Groups[n-1].Name != name {
			p.Groups = append(p.Groups, jointGroup{Name: name})
		}
		g := &p.Groups[len(p.Groups)-1]
		g.Lines = append(g.Lines, l)
	}
}

func groupOf(l workshop.JointLine) string {
	switch {
	case l.Open() && l.Safety.Critical():
		return "Lives hang on these: not proven"
	case l.Open():
		return "Not proven"
	case l.Stand.RetorqueDue:
		return "Proven, due to be tightened once more"
	}
	return "Proven"
}

// SafetyName says what a joint holds that lives hang on.
func (f Frame) SafetyName(class rebuild.SafetyClass) string { return safetyNames[class] }

// jointSheet is the list to take to the car on paper: what to tighten to what,
// with a box for each pass.
type jointSheet struct {
	Frame
	Lines []workshop.JointLine
	Job   *rebuild.Job
	Zone  string
	Whole bool // proven ones too
}

const sheetJoints = 200

func (s *Server) jointSheetShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	frame, err := s.frame(r, "Tightening sheet", "joints", rb)
	if err != nil {
		return err
	}
	q := r.URL.Query()
	page := jointSheet{Frame: frame, Zone: q.Get("zone"), Whole: q.Get("all") != ""}
	if id, err := strconv.ParseInt(q.Get("job"), 10, 64); err == nil {
		page.Job = rb.Job(id)
	}
	for _, l := range workshop.JointsOf(rb, s.today()).Lines {
		fits := (page.Zone == "" || l.Zone == page.Zone) && (page.Job == nil || l.NeededBy(page.Job.ID))
		if fits && (page.Whole || l.Open()) && len(page.Lines) < sheetJoints {
			page.Lines = append(page.Lines, l)
		}
	}
	return s.show(w, http.StatusOK, "joint_sheet", page)
}

// AllPasses are the torques of a joint's passes, the last one too.
func (f Frame) AllPasses(j *rebuild.Joint) []float64 {
	if j.TorqueNm == 0 {
		return nil
	}
	return append(append([]float64{}, j.Passes...), j.TorqueNm)
}
