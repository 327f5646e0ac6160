package web

import (
	"cmp"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// caseNewPage opens a case: first the fault model is chosen by its symptom, then
// the case is named.
type caseNewPage struct {
	Frame
	Form     *Form
	Zones    []Option
	Models   []modelLine
	Chosen   *modelLine // nil: not chosen yet
	Own      bool       // the model is to be written
	Findings []findingBox
	Others   int // open cases besides
}

// modelLine is one fault model of the knowledge.
type modelLine struct {
	knowledge.FaultModel
	Model faultmodel.Model
	Href  string
	score int
}

// ownModel stands for no model of the knowledge in addresses and forms.
const ownModel = "own"

func (s *Server) caseNewShow(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	if id := f.whole("finding", "the finding"); rb.Finding(id) != nil {
		f.Set("findings", strconv.FormatInt(id, 10))
	}
	if job := rb.Job(f.whole("job", "the job")); job != nil {
		ids := make([]string, len(job.Findings))
		for i, id := range job.Findings {
			ids[i] = strconv.FormatInt(id, 10)
		}
		f.Set("findings", ids...)
		f.Set("title", job.Title)
		if f.Value("zone") == "" {
			f.Set("zone", job.Zone)
		}
	}
	f.Problems = nil // a finding that is gone is no reason to refuse the page
	return s.caseNewForm(w, r, http.StatusOK, rb, f)
}

func (s *Server) caseNewForm(w http.ResponseWriter, r *http.Request, status int, rb *rebuild.Rebuild, f *Form) error {
	frame, err := s.frame(r, "New case", "cases", rb)
	if err != nil {
		return err
	}
	page := caseNewPage{Frame: frame, Form: f, Zones: zoneOptions("Anywhere"), Own: f.Value("model") == ownModel}
	for i := range rb.Cases {
		if rb.Cases[i].State == rebuild.CaseOpen {
			page.Others++
		}
	}
	if m, ok := knowledge.FaultModelFor(f.Value("model")); ok {
		line, err := s.lineOf(m)
		if err != nil {
			return err
		}
		page.Chosen = &line
		if f.Value("title") == "" {
			f.Set("title", capital(line.Model.Case.Symptom))
		}
	}
	if page.Models, err = s.modelsFor(frame, rb, f); err != nil {
		return err
	}
	page.Findings = newJobFields(rb, f).Findings
	return s.show(w, status, "case_new", page)
}

func (s *Server) lineOf(m knowledge.FaultModel) (modelLine, error) {
	model, err := s.workshop.Model(string(m.YAML))
	return modelLine{FaultModel: m, Model: model}, err
}

// modelsFor lists the fault models, those that fit what is known first: words
// looked for, the zone, the finding.
func (s *Server) modelsFor(frame Frame, rb *rebuild.Rebuild, f *Form) ([]modelLine, error) {
	words := wordsOf(f.Value("q"))
	zone, hints := f.Value("zone"), wordsOf(f.Value("title"))
	for _, text := range f.Values["findings"] {
		id, _ := strconv.ParseInt(text, 10, 64)
		if found := rb.Finding(id); found != nil {
			hints = append(hints, wordsOf(found.What)...)
		}
	}
	var lines []modelLine
	for _, m := range knowledge.FaultModels() {
		line, err := s.lineOf(m)
		if err != nil {
			return nil, err
		}
		said := strings.ToLower(line.Title + " " + line.Model.Case.Symptom + " " + line.Model.Asks + " " + faultNames(line.Model))
		if !holdsAll(said, words) || zone != "" && m.Zone != zone && len(hints) == 0 {
			continue
		}
		line.score = held(said, hints)
		if zone != "" && m.Zone == zone {
			line.score += 2
		}
		line.Href = frame.Base() + "/cases/new?" + withModel(f, m.Key)
		lines = append(lines, line)
	}
	slices.SortStableFunc(lines, func(a, b modelLine) int { return cmp.Compare(b.score, a.score) })
	return lines, nil
}

// withModel is the query that goes on with that model and keeps what is known.
func withModel(f *Form, key string) string {
	q := url.Values{"model": {key}, "findings": f.Values["findings"]}
	if title := f.Value("title"); title != "" {
		q.Set("title", title)
	}
	return q.Encode()
}

// FaultName is what a fault is called.
func (caseNewPage) FaultName(f diagnose.Fault) string { return cmp.Or(f.Name, f.ID) }

// OwnHref goes on without a model of the knowledge.
func (p caseNewPage) OwnHref() string { return p.Base() + "/cases/new?" + withModel(p.Form, ownModel) }

func faultNames(m faultmodel.Model) string {
	var b strings.Builder
	for i := range m.Case.Faults {
		b.WriteString(m.FaultName(i) + " ")
	}
	return b.String()
}

// wordsOf are the words of a text that tell something: four letters and more.
func wordsOf(text string) []string {
	var words []string
	for _, word := range strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) }) {
		if len(word) >= 4 {
			words = append(words, word)
		}
	}
	return words
}

func holdsAll(text string, words []string) bool { return held(text, words) == len(words) }

func held(text string, words []string) int {
	n := 0
	for _, word := range words {
		if strings.Contains(text, word) {
			n++
		}
	}
	return n
}

// caseAdd opens a case on a copy of the model.
func (s *Server) caseAdd(w http.ResponseWriter, r *http.Request) error {
	rb, err := s.rebuildOf(r)
	if err != nil {
		return err
	}
	f, err := readForm(r)
	if err != nil {
		return err
	}
	k := rebuild.Case{On: s.today(), State: rebuild.CaseOpen}
	f.readAbout(&k)
	key := f.Value("model")
	m, known := knowledge.FaultModelFor(key)
	switch {
	case known:
		k.ModelFrom, k.Model = m.Key, string(m.YAML)
	case key == ownModel:
		k.Model = emptyModel(k.Title, rb.Car.Currency)
	default:
		f.problem("model", "choose the symptom that fits, or your own")
	}
	if len(f.Problems) == 0 {
		err = s.change(w, r, func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddCase(k) }, toAddedCase(rb))
		if !f.take(err) {
			return err
		}
	}
	return s.caseNewForm(w, r, http.StatusUnprocessableEntity, rb, f)
}

// emptyModel is what a model of one's own begins with: two faults, a test that
// splits them, a repair of one, the whole unit. It can be weighed as it stands.
func emptyModel(symptom, currency string) string {
	m := faultmodel.Model{
		Title: symptom, Basis: faultmodel.OwnEstimate, WholeName: "the whole unit",
		Case: ownCase(symptom, currency), Faults: make([]faultmodel.FaultNote, 2),
		Tests:   []faultmodel.TestNote{{How: "Say how it is done."}},
		Repairs: []faultmodel.RepairNote{{How: "Say how it is done.", Kind: "repair"}},
	}
	text, err := m.YAML()
	if err != nil {
		return "" // the page of the model says that there is none yet
	}
	return string(text)
}
