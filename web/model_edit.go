package web

import (
	"errors"
	"fmt"
	"net/http"
	"slices"
	"strconv"
	"strings"

	"wreckwright/casefile"
	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// modelPage edits the fault model of one case: by its figures, each with what it
// implies, or as text.
type modelPage struct {
	Frame
	Case    *rebuild.Case
	Model   *faultmodel.Model // nil: the text cannot be read
	Form    *Form             // the figures
	Text    string
	Lines   int    // of the text
	Wrong   string // what is wrong with the text
	Line    int    // where; 0: not known
	Near    []textLine
	Implied map[string]string // words of each figure by its field
	From    *knowledge.FaultModel
	opened  string // the revision that a refused text was opened with
}

// Rev is the revision that the text was opened with.
func (p modelPage) Rev() string {
	if p.opened != "" {
		return p.opened
	}
	return strconv.Itoa(p.Case.Rev)
}

// Has reports whether a part of the figures has a problem, by the beginnings of
// its fields.
func (p modelPage) Has(prefixes ...string) bool {
	return slices.ContainsFunc(p.Form.Problems, func(wrong rebuild.Problem) bool {
		return slices.ContainsFunc(prefixes, func(prefix string) bool { return strings.HasPrefix(wrong.Field, prefix) })
	})
}

// textLine is a line of the text with its number.
type textLine struct {
	Number int
	Text   string
	Here   bool
}

func (s *Server) modelShow(w http.ResponseWriter, r *http.Request) error {
	rb, k, err := s.caseOf(r)
	if err != nil {
		return err
	}
	return s.modelForm(w, r, http.StatusOK, rb, k, k.Model, nil)
}

// modelForm shows the editor on a text; f is the form of figures that was refused.
func (s *Server) modelForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, k *rebuild.Case, text string, f *Form) error {
	frame, err := s.frame(r, "Fault model: "+k.Title, "cases", rb)
	if err != nil {
		return err
	}
	page := modelPage{Frame: frame, Case: k, Text: text, Form: f, opened: r.FormValue("rev"), Lines: min(max(strings.Count(text, "\n")+2, 12), 40)}
	if m, ok := knowledge.FaultModelFor(k.ModelFrom); ok {
		page.From = &m
	}
	model, err := faultmodel.Parse("the model", []byte(text))
	if err != nil {
		page.mistaken(err)
	} else {
		page.Model, page.Implied = &model, impliedBy(model)
		if f == nil {
			page.Form = figuresForm(model)
		}
	}
	return s.show(w, status, "model", page)
}

// mistaken tells where the text is wrong, with the lines around.
func (p *modelPage) mistaken(err error) {
	p.Wrong = err.Error()
	var wrong *casefile.Error
	if !errors.As(err, &wrong) {
		return
	}
	p.Wrong, p.Line = saidOf(wrong), wrong.Line
	for i, line := range strings.Split(strings.TrimRight(p.Text, "\n"), "\n") {
		if n := i + 1; wrong.Line > 0 && n >= wrong.Line-2 && n <= wrong.Line+2 {
			p.Near = append(p.Near, textLine{n, line, n == wrong.Line})
		}
	}
}

// modelEdit keeps the model: its figures, or its text.
func (s *Server) modelEdit(w http.ResponseWriter, r *http.Request) error {
	rb, now, err := s.caseOf(r)
	if err != nil {
		return gone(r, err)
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	text := f.Value("text") + "\n"
	if f.Value("form") == "figures" {
		text, err = f.figuresInto(now.Model)
	}
	if err == nil && len(f.Problems) == 0 {
		_, err = faultmodel.Parse("the model", []byte(text))
	}
	if err == nil && len(f.Problems) == 0 {
		k := *now
		k.Rev, k.Model = f.rev(), text
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.EditCase(k) },
			func(store.Record) string { return casePath(rb, k.ID) })
		if !f.take(err) {
			return err
		}
	}
	if f.Value("form") == "figures" {
		f.refused(err)
		return s.modelForm(w, r, http.StatusUnprocessableEntity, rb, now, now.Model, f)
	}
	return s.modelForm(w, r, http.StatusUnprocessableEntity, rb, now, text, nil)
}

// refused takes over why figures cannot be taken.
func (f *Form) refused(err error) {
	var wrong *casefile.Error
	switch {
	case len(f.Problems) > 0 || err == nil:
	case errors.As(err, &wrong):
		f.problem("", "%s", saidOf(wrong))
	default:
		f.problem("", "%v", err)
	}
}

// figuresForm opens on the figures of a model.
func figuresForm(m faultmodel.Model) *Form {
	f := &Form{}
	f.Set("hour_value", trimNumber(m.Case.HourValue))
	f.Set("several", fmt.Sprint(m.Case.Several))
	if whole := m.Case.ReplaceAll; whole != nil {
		f.setEffort("whole", whole.Cost, whole.Minutes)
	}
	for i, fault := range m.Case.Faults {
		f.Set(fmt.Sprintf("prior.%d", i), trimNumber(tidyShare(100*fault.Prior)))
	}
	for t, test := range m.Case.Tests {
		f.setEffort(fmt.Sprintf("test.%d", t), test.Cost, test.Minutes)
		for i := range m.Case.Faults {
			f.setReading(test, t, i)
		}
	}
	for n, repair := range m.Case.Repairs {
		f.setEffort(fmt.Sprintf("repair.%d", n), repair.Cost, repair.Minutes)
		for i := range m.Case.Faults {
			f.setNumber(fmt.Sprintf("fixes.%d.%d", n, i), tidyShare(100*repair.Fixes[i]))
		}
	}
	return f
}

func (f *Form) setEffort(field string, cost, minutes float64) {
	f.Set(field+".cost", trimNumber(cost))
	f.Set(field+".minutes", trimNumber(minutes))
}

// setReading fills how a test comes out under one fault.
func (f *Form) setReading(t diagnose.Test, at, fault int) {
	if len(t.Measured) > 0 {
		f.Set(fmt.Sprintf("centre.%d.%d", at, fault), trimNumber(t.Measured[fault].Centre))
		f.Set(fmt.Sprintf("spread.%d.%d", at, fault), trimNumber(t.Measured[fault].Spread))
		return
	}
	for o := range t.Outcomes {
		f.Set(fmt.Sprintf("chance.%d.%d.%d", at, fault, o), trimNumber(tidyShare(100*t.Chance[fault][o])))
	}
}

// figuresInto puts the form's figures into the model and gives its text. What the
// form does not name stays.
func (f *Form) figuresInto(text string) (string, error) {
	m, err := faultmodel.Parse("the model", []byte(text))
	if err != nil {
		return "", err
	}
	c := &m.Case
	c.HourValue = f.said("hour_value", "the worth of an hour", c.HourValue)
	c.Several = int(f.said("several", "how many faults at once", float64(c.Several)))
	if c.ReplaceAll != nil {
		f.effortInto("whole", m.UnitName(), &c.ReplaceAll.Cost, &c.ReplaceAll.Minutes)
	}
	for i := range c.Faults {
		c.Faults[i].Prior = f.saidShare(fmt.Sprintf("prior.%d", i), "the chance of "+m.FaultName(i), c.Faults[i].Prior)
	}
	for t := range c.Tests {
		f.effortInto(fmt.Sprintf("test.%d", t), m.TestName(t), &c.Tests[t].Cost, &c.Tests[t].Minutes)
		for i := range c.Faults {
			f.readingInto(&c.Tests[t], t, i, m.TestName(t)+" with "+m.FaultName(i))
		}
	}
	for n := range c.Repairs {
		f.effortInto(fmt.Sprintf("repair.%d", n), m.RepairName(n), &c.Repairs[n].Cost, &c.Repairs[n].Minutes)
		for i := range c.Faults {
			c.Repairs[n].Fixes[i] = f.saidShare(fmt.Sprintf("fixes.%d.%d", n, i), m.RepairName(n)+" with "+m.FaultName(i), c.Repairs[n].Fixes[i])
		}
	}
	written, err := m.YAML()
	return string(written), err
}

func (f *Form) effortInto(field, name string, cost, minutes *float64) {
	*cost = f.said(field+".cost", "the price of "+name, *cost)
	*minutes = f.said(field+".minutes", "the minutes of "+name, *minutes)
}

func (f *Form) readingInto(t *diagnose.Test, at, fault int, name string) {
	if len(t.Measured) > 0 {
		r := &t.Measured[fault]
		r.Centre = f.said(fmt.Sprintf("centre.%d.%d", at, fault), "the middle of "+name, r.Centre)
		r.Spread = f.said(fmt.Sprintf("spread.%d.%d", at, fault), "the spread of "+name, r.Spread)
		return
	}
	for o := range t.Outcomes {
		t.Chance[fault][o] = f.saidShare(fmt.Sprintf("chance.%d.%d.%d", at, fault, o), name, t.Chance[fault][o])
	}
}

// said is a number of the form; a field that the form has not leaves the figure.
func (f *Form) said(field, name string, now float64) float64 {
	if _, there := f.Values[field]; !there {
		return now
	}
	return f.number(field, name)
}

// saidShare is a percentage of the form. Fractions of one in a hundred are plain
// here: a model is full of small chances.
func (f *Form) saidShare(field, name string, now float64) float64 {
	if _, there := f.Values[field]; !there {
		return now
	}
	typed := strings.TrimSpace(strings.TrimSuffix(f.Value(field), "%"))
	if typed == "" {
		return 0
	}
	v, err := parseNumber(typed)
	if err != nil {
		f.problem(field, "%s: %q is not a percentage", name, f.Value(field))
		return now
	}
	if same := tidyShare(100 * now); v == same {
		return now
	}
	return tidyShare(v / 100)
}

// impliedBy gives the words of each figure by the field that holds it.
func impliedBy(m faultmodel.Model) map[string]string {
	words := map[string]string{}
	for _, in := range m.Implied() {
		fault := slices.IndexFunc(m.Case.Faults, func(f diagnose.Fault) bool { return f.ID == in.Fault })
		if in.Part == diagnose.KindRepair {
			n := slices.IndexFunc(m.Case.Repairs, func(r diagnose.Repair) bool { return r.ID == in.ID })
			words[fmt.Sprintf("fixes.%d.%d", n, fault)] = in.Words
			continue
		}
		t := slices.IndexFunc(m.Case.Tests, func(t diagnose.Test) bool { return t.ID == in.ID })
		if in.Outcome == "" {
			words[fmt.Sprintf("centre.%d.%d", t, fault)] = in.Words
			continue
		}
		words[fmt.Sprintf("chance.%d.%d.%d", t, fault, slices.Index(m.Case.Tests[t].Outcomes, in.Outcome))] = in.Words
	}
	return words
}

// ownCase is the least that can be weighed.
func ownCase(symptom, currency string) diagnose.Case {
	return diagnose.Case{
		Symptom: symptom, Currency: currency, HourValue: 30, Several: 1,
		Faults: []diagnose.Fault{{ID: "first", Name: "the fault you suspect", Prior: 0.6}, {ID: "other", Name: "something else", Prior: 0.4}},
		Tests: []diagnose.Test{{
			ID: "look", Name: "Look at it", Minutes: 20, Outcomes: []string{"bad", "good"}, Chance: [][]float64{{0.8, 0.2}, {0.1, 0.9}},
		}},
		Repairs:    []diagnose.Repair{{ID: "mend", Name: "Mend it", Cost: 100, Minutes: 120, Fixes: []float64{0.9, 0}}},
		ReplaceAll: &diagnose.ReplaceAll{Cost: 1000, Minutes: 240},
	}
}

// saidOf is what is wrong with a text, for a reader who has it before him.
func saidOf(e *casefile.Error) string {
	said := e.Problem + "; expected " + e.Expected
	if e.Key != "" {
		said = e.Key + ": " + said
	}
	return said
}
