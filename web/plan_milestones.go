package web

import (
	"net/http"
	"strconv"

	"wreckwright/rebuild"
)

// planMilestones are points that somebody wants to reach by a date.
var planMilestones = planItems[rebuild.Milestone]{
	kind: rebuild.KindMilestone, name: "milestone", path: "/plan/milestones",
	find: (*rebuild.Rebuild).Milestone, fill: (*Form).setMilestone, read: (*Form).readMilestone,
	add: (*rebuild.Rebuild).AddMilestone, edit: (*rebuild.Rebuild).EditMilestone, remove: (*rebuild.Rebuild).DeleteMilestone,
	show: (*Server).milestonesShow,
}

// milestonePage is the list of milestones with the form of a new one, or one.
type milestonePage struct {
	planItemPage[rebuild.Milestone]
	Gates []Option
	Jobs  boxes
}

func (s *Server) milestonesShow(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, m *rebuild.Milestone, f *Form) error {
	title := "Milestones"
	if m != nil {
		title = milestoneName(*m)
	}
	frame, err := s.planFrame(r, title, rb)
	if err != nil {
		return err
	}
	page := milestonePage{planItemPage[rebuild.Milestone]{frame, m, f}, gateOptions(), f.jobBoxes(rb, "")}
	return s.show(w, status, "plan_milestones", page)
}

// gateOptions are the gates as milestones, after none.
func gateOptions() []Option {
	options := []Option{{"", "None: a milestone of your own"}}
	for _, g := range rebuild.Gates {
		options = append(options, Option{string(g), gateNames[g].Name})
	}
	return options
}

func milestoneName(m rebuild.Milestone) string {
	if m.Name == "" {
		return gateNames[m.Gate].Name
	}
	return m.Name
}

// MilestoneName is a milestone in words.
func (f Frame) MilestoneName(m rebuild.Milestone) string { return milestoneName(m) }

func (f *Form) setMilestone(m rebuild.Milestone) {
	f.Set("name", m.Name)
	f.Set("gate", string(m.Gate))
	f.setIDs("jobs", m.Jobs)
	f.Set("wished_on", m.WishedOn)
	f.setMoney("late_once", m.LateOnce)
	f.setMoney("late_per_day", m.LatePerDay)
	f.Set("note", m.Note)
}

func (f *Form) readMilestone(m *rebuild.Milestone, rb *rebuild.Rebuild, today string) {
	m.Rev = f.rev()
	m.Name, m.Gate, m.WishedOn, m.Note = f.Value("name"), rebuild.Gate(f.Value("gate")), f.Value("wished_on"), f.Value("note")
	if had := rb.Milestone(m.ID); had == nil || had.WishedOn != m.WishedOn {
		f.notPast("wished_on", "the wished date", today)
	}
	m.Jobs = f.ids("jobs")
	m.LateOnce = f.money("late_once", "what it costs to miss it", rb.Car.Currency)
	m.LatePerDay = f.money("late_per_day", "what each day late costs", rb.Car.Currency)
}

// jobOptions lists jobs for a choice of one, those being worked on first, behind
// an empty choice.
func jobOptions(rb *rebuild.Rebuild, none string, but int64) []Option {
	options := []Option{{"", none}}
	for _, group := range jobGroups(rb) {
		for _, o := range group.Jobs {
			if o.Value != strconv.FormatInt(but, 10) {
				options = append(options, o)
			}
		}
	}
	return options
}
