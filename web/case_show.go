package web

import (
	"fmt"
	"net/http"
	"strconv"

	"wreckwright/diagnose"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
	"wreckwright/workshop"
)

// casePage is a diagnosis as a conversation: what it may be, what to do next, what
// was tried.
type casePage struct {
	caseSums
	Case   *rebuild.Case
	Second []workshop.Choice // the two best after the next
	Rest   []workshop.Choice // all others

	Form     *Form  // the form that was refused, empty otherwise
	Refused  string // which: "step", "about", "trail.2", ...
	About    *Form  // title, findings, note
	Findings []findingBox
	Causes   []Option
	Jobs     []*rebuild.Job
	From     *knowledge.FaultModel // what the model was copied from
}

func (s *Server) caseShow(w http.ResponseWriter, r *http.Request) error {
	rb, k, err := s.caseOf(r)
	if err != nil {
		return err
	}
	return s.caseForm(w, r, http.StatusOK, rb, k, &Form{}, "")
}

// caseOf finds the case that the address names.
func (s *Server) caseOf(r *http.Request) (*rebuild.Rebuild, *rebuild.Case, error) {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return nil, nil, err
	}
	id, err := pathNumber(r, "case")
	if err != nil {
		return nil, nil, err
	}
	k := rb.Case(id)
	if k == nil {
		return nil, nil, &rebuild.Missing{Kind: rebuild.KindCase, ID: id}
	}
	return rb, k, nil
}

// caseForm shows a case; f is the form that was refused, with its name.
func (s *Server) caseForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, k *rebuild.Case, f *Form, refused string) error {
	frame, err := s.frame(r, k.Title, "cases", rb)
	if err != nil {
		return err
	}
	d, err := s.workshop.Diagnose(r.Context(), rb, k)
	if err != nil {
		return err
	}
	page := casePage{caseSums: caseSums{frame, d}, Case: k, Form: f, Refused: refused, About: f}
	if refused != "about" {
		page.About = aboutForm(k)
	}
	page.Second, page.Rest = d.Others[:min(2, len(d.Others))], d.Others[min(2, len(d.Others)):]
	page.Findings = newJobFields(rb, page.About).Findings
	page.Causes = causeOptions(d)
	for _, id := range k.Jobs {
		if job := rb.Job(id); job != nil {
			page.Jobs = append(page.Jobs, job)
		}
	}
	if m, ok := knowledge.FaultModelFor(k.ModelFrom); ok {
		page.From = &m
	}
	return s.show(w, status, "case", page)
}

// aboutForm opens on what a case is about.
func aboutForm(k *rebuild.Case) *Form {
	f := &Form{}
	f.Set("title", k.Title)
	f.Set("note", k.Note)
	if k.Together {
		f.Set("together", "1")
	}
	ids := make([]string, len(k.Findings))
	for i, id := range k.Findings {
		ids[i] = strconv.FormatInt(id, 10)
	}
	f.Set("findings", ids...)
	return f
}

// causeOptions are the faults to name as the cause, likeliest first.
func causeOptions(d *workshop.Diagnosis) []Option {
	options := []Option{{"", "Not known"}}
	for _, f := range d.Faults {
		options = append(options, Option{f.ID, f.Name})
	}
	return options
}

// Cause is the fault that was found, nil where none was named.
func (p casePage) Cause() *workshop.FaultChance { return p.D.Fault(p.Case.Cause) }

// Likeliest is the fault to make a job of: the cause, else what is likeliest.
func (p casePage) Likeliest() *workshop.FaultChance {
	if cause := p.Cause(); cause != nil {
		return cause
	}
	if len(p.D.Faults) == 0 {
		return nil
	}
	return &p.D.Faults[0]
}

// TrailForm is the form of a step of the trail: as typed where it was refused.
func (p casePage) TrailForm(place int) *Form {
	if p.Refused == fmt.Sprintf("trail.%d", place) {
		return p.Form
	}
	f, step := &Form{}, p.Case.Steps[place-1]
	f.Set("note", step.Note)
	if step.Value != nil {
		f.Set("reading", trimNumber(*step.Value))
		f.setNumber("doubt", tidyDoubt(step.ValueSD))
	}
	return f
}

// tidyDoubt is a standard uncertainty as "19 times in 20", as it was typed.
func tidyDoubt(sd float64) float64 {
	v, _ := strconv.ParseFloat(strconv.FormatFloat(uncertain.HalfOf95*sd, 'g', 6, 64), 64)
	return v
}

// chanceBar is a chance as a bar in a drawing a hundred wide.
type chanceBar struct{ Now, Before float64 }

// Bar draws a chance, and a mark where it stood before.
func (p casePage) Bar(f workshop.FaultChance) chanceBar {
	b := chanceBar{Now: round2(100 * f.Chance), Before: -1}
	if f.Before != nil {
		b.Before = round2(100 * *f.Before)
	}
	return b
}

// Moved says how a chance moved with the last step.
func (p casePage) Moved(f workshop.FaultChance) string {
	if f.Before == nil {
		return ""
	}
	before, now := percent(*f.Before), percent(f.Chance)
	switch {
	case before == now:
		return ""
	case *f.Before < f.Chance:
		return "up from " + before
	}
	return "down from " + before
}

// choiceView is one choice with the page it stands on, for its template.
type choiceView struct {
	casePage
	workshop.Choice
	Key   string // sets its fields apart from those of the others
	Value string // typed in a form that was refused
	SD    string
	Wrong bool
}

// View is a choice for its template; key sets its fields apart.
func (p casePage) View(key string, c workshop.Choice) choiceView {
	v := choiceView{casePage: p, Choice: c, Key: key}
	if p.Refused == "step" && p.Form.Value("what") == c.ID && p.Form.Value("kind") == string(c.StepKind()) {
		v.Value, v.SD, v.Wrong = p.Form.Value("reading"), p.Form.Value("doubt"), true
	}
	return v
}

// Offers are the tests that a measurement of the book answers, each with it.
func (p casePage) Offers() []choiceView {
	var list []choiceView
	if p.D.Next != nil {
		for i, c := range append([]workshop.Choice{*p.D.Next}, p.D.Others...) {
			if c.Offer != nil {
				list = append(list, p.View(fmt.Sprintf("offer%d", i), c))
			}
		}
	}
	return list
}

// KindName says what a choice is.
func (v choiceView) KindName() string {
	switch v.Kind {
	case diagnose.KindTest:
		return "Test"
	case diagnose.KindRepair:
		return "Repair"
	}
	return "Whole unit"
}

// lasts shows working time given in minutes.
func lasts(minutes float64) string {
	if minutes < 90 {
		return fmt.Sprintf("%.0f\u00a0min", minutes)
	}
	return hours(minutes / 60)
}
