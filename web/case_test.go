package web

import (
	"encoding/xml"
	"fmt"
	"net/http"
	"net/url"
	"reflect"
	"strings"
	"testing"

	"wreckwright/diagnose"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/knowledge"
	"wreckwright/rebuild"
)

// windowModel is an invented symptom with three faults, small enough to be solved
// at once.
const windowModel = `symptom: window winds slowly
currency: GBP
hour_value: 30
several: 1
cautions: [springs]
faults:
  - {id: dry, name: dry runners, prior: 0.6, shared: runner}
  - {id: motor, name: tired motor, prior: 0.3}
  - {id: other, name: something else, prior: 0.1}
tests:
  - id: hand
    name: Move the glass by hand
    how: With the arm off.
    tools: [trim lever]
    cost: 0
    minutes: 20
    outcomes: {dry: {stiff: 0.9, free: 0.1}, motor: {stiff: 0.1, free: 0.9}, other: {stiff: 0.5, free: 0.5}}
    outcome_names: {stiff: it is stiff, free: it runs freely}
  - id: interval
    name: Time the window
    unit: s
    instrument: recharge
    figure: Mean interval
    cost: 0
    minutes: 10
    measured: {dry: {median: 12, spread: 1.2}, motor: {median: 7, spread: 1.3}, other: {median: 9, spread: 1.5}}
repairs:
  - {id: clean, name: Clean and grease the runners, cost: 10, minutes: 60, fixes: {dry: 0.95}, kind: repair}
  - {id: renew, name: New motor, cost: 150, minutes: 120, fixes: {motor: 0.97}, kind: new}
replace_all: {name: complete regulator, cost: 600, minutes: 180}
`

func (g *surveyRig) openCase(model string, change ...func(*rebuild.Case)) (int64, string) {
	g.t.Helper()
	k := rebuild.Case{On: "2026-05-04", Title: "Window winds slowly", Model: model, State: rebuild.CaseOpen}
	for _, c := range change {
		c(&k)
	}
	id := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddCase(k) })
	return id, g.path(fmt.Sprintf("/cases/%d", id))
}

// tell posts a form of the case at the revision it has now.
func (g *surveyRig) tell(id int64, form string, pairs ...string) {
	g.t.Helper()
	g.wants(g.post(g.path(fmt.Sprintf("/cases/%d%s", id, form)), g.caseFields(id, pairs...)), http.StatusSeeOther)
}

func (g *surveyRig) caseFields(id int64, pairs ...string) url.Values {
	fields := url.Values{"rev": {fmt.Sprint(g.now().Case(id).Rev)}}
	for i := 0; i+1 < len(pairs); i += 2 {
		fields.Add(pairs[i], pairs[i+1])
	}
	return fields
}

func TestCaseBeginsFromAFinding(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/cases")), 200, "No case yet")
	finding := g.find(rebuild.Finding{What: "Pump re-primes every minute", Zone: "fluids"})
	g.wants(g.get(g.path(fmt.Sprintf("/findings/%d", finding))), 200, fmt.Sprintf("/cases/new?finding=%d", finding))
	list := g.get(g.path(fmt.Sprintf("/cases/new?finding=%d&zone=fluids", finding)))
	g.wants(list, 200, "Which symptom is it?", fmt.Sprintf("findings=%d", finding))
	if first, other := strings.Index(list.Body.String(), "Hydraulic power unit"), strings.Index(list.Body.String(), "Battery flat"); first > other {
		t.Error("the model that the finding speaks of is not first")
	}
	g.wants(g.get(g.path("/cases/new?q=nothinglikethat")), 200, "None fits")
	g.wants(g.get(g.path(fmt.Sprintf("/cases/new?model=hydraulic-recharge&findings=%d", finding))), 200, "First notice", fmt.Sprintf(`value="%d" checked`, finding), "Pump re-primes too often")
	fields := url.Values{"model": {"hydraulic-recharge"}, "title": {"Pump runs every minute"}, "findings": {fmt.Sprint(finding)}, "request": {"n1"}}
	var to string
	for range 2 { // sent twice it counts once
		w := g.post(g.path("/cases"), fields)
		g.wants(w, http.StatusSeeOther)
		to = w.Header().Get("Location")
	}
	rb := g.now()
	if len(rb.Cases) != 1 || rb.Cases[0].ModelFrom != "hydraulic-recharge" || rb.Cases[0].Findings[0] != finding || rb.Cases[0].On != "2026-05-04" {
		t.Fatalf("kept %+v", rb.Cases)
	}
	g.wants(g.get(to), 200, "Done: you opened the case", "Do this next", "Accumulator has lost gas", "Whole unit", "Gas under pressure", "The maker&#39;s procedure for letting pressure down comes first", "rough rate")
	g.wants(g.get(g.path("/cases")), 200, "Pump runs every minute", "Next:", "From here")
	g.wants(g.get(g.path("/now")), 200, "(Pump runs every minute)")
	g.wants(g.post(g.path("/cases"), url.Values{"model": {"ghost"}, "title": {"kept words"}}), http.StatusUnprocessableEntity, "choose the symptom that fits")
	g.wants(g.post(g.path("/cases"), url.Values{"model": {"hydraulic-recharge"}, "title": {""}}), http.StatusUnprocessableEntity, "the symptom is missing")
}

// Two cautions or more are read at the step, without a tap.
func TestCautionsOfTheNextActionAreOpen(t *testing.T) {
	g := newSurveyRig(t)
	_, page := g.openCase(strings.Replace(windowModel, "cautions: [springs]", "cautions: [springs, lifting]", 1))
	body := g.get(page).Body.String()
	next := body[strings.Index(body, `aria-label="Cautions"`):]
	next = next[:strings.Index(next, "</div>")]
	if open, all := strings.Count(next, "<details open>"), strings.Count(next, "<details"); open != 2 || all != 2 {
		t.Errorf("%d of %d cautions are open at the next action, want both", open, all)
	}
}

// The whole way: tests, a repair that did not cure, one that did, a job, undo.
func TestCaseIsSolved(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	g.wants(g.get(page), 200, "Nothing yet.", "Whole unit", "£690", "trim lever", "It is stiff", "It runs freely", "Cannot be done now")
	g.tell(id, "/step", "kind", "test", "what", "hand", "outcome", "free")
	g.tell(id, "/step", "kind", "test", "what", "interval", "reading", "7,5", "doubt", "1.96")
	step := g.now().Case(id).Steps[1]
	if *step.Value != 7.5 || step.ValueSD < 0.999 || step.ValueSD > 1.001 || step.At != "2026-05-04T12:00:00Z" {
		t.Errorf("kept %+v", step)
	}
	g.wants(g.get(page), 200, "7.5 ± 2 s", "it runs freely", "then likeliest: tired motor", "down from")
	g.tell(id, "/step", "kind", "repair", "what", "clean", "cured", "0")
	g.wants(g.get(page), 200, "still there", "New motor")
	g.tell(id, "/step", "kind", "repair", "what", "renew", "cured", "1")
	k := g.now().Case(id)
	if k.State != rebuild.CaseSolved || k.Cause != "motor" {
		t.Errorf("the case is %s by %q", k.State, k.Cause)
	}
	g.wants(g.get(g.path("/history")), 200, "hand: free", "interval: 7.5", "clean: still there", "30 lines")
	g.wants(g.get(page), 200, "Solved", "Tired motor", "Make a job of it", "!Do this next", "!class=\"stake\"")
	w := g.post(page+"/job", g.caseFields(id, "fault", "motor", "request", "j1"))
	g.wants(w, http.StatusSeeOther)
	job := g.now().Jobs[0]
	if w.Header().Get("Location") != g.path(fmt.Sprintf("/jobs/%d?did=%s", job.ID, strings.Split(w.Header().Get("Location"), "did=")[1])) {
		t.Errorf("went on to %s", w.Header().Get("Location"))
	}
	if job.State != rebuild.JobDone || job.ChosenRoute() == nil || job.ChosenRoute().Name != "New motor" || job.Reference.Float() != 600 {
		t.Errorf("the job is %+v", job)
	}
	g.wants(g.get(w.Header().Get("Location")), 200, "Done: you added the job")
	g.wants(g.post(g.path("/undo"), url.Values{"request": {"u1"}, "record": {strings.Split(w.Header().Get("Location"), "did=")[1]}}), http.StatusSeeOther)
	if rb := g.now(); len(rb.Jobs) != 0 || len(rb.Case(id).Jobs) != 0 {
		t.Errorf("undo left %d jobs, the case names %v", len(rb.Jobs), rb.Case(id).Jobs)
	}
	// Not cured after all: the last step back opens it again.
	g.tell(id, "/trail", "place", "4", "do", "out")
	if k := g.now().Case(id); k.State != rebuild.CaseOpen || k.Cause != "" || len(k.Steps) != 3 {
		t.Errorf("with the step taken back it is %s by %q", k.State, k.Cause)
	}
	g.tell(id, "/step", "kind", "whole unit", "what", "replace_all", "cured", "1")
	g.wants(g.get(page), 200, "which fault it was is not known", "Complete regulator")
	g.tell(id, "/end", "state", "solved", "cause", "other")
	g.wants(g.get(page), 200, "Something else")
}

func TestStepsAreChangedAndTakenOut(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	g.tell(id, "/step", "kind", "test", "what", "hand", "outcome", "free")
	g.tell(id, "/step", "kind", "test", "what", "interval", "reading", "7")
	g.tell(id, "/trail", "place", "1", "outcome", "stiff", "note", "tried twice")
	g.tell(id, "/trail", "place", "2", "reading", "12", "doubt", "")
	steps := g.now().Case(id).Steps
	if steps[0].Outcome != "stiff" || steps[0].Note != "tried twice" || *steps[1].Value != 12 || steps[1].Kind != rebuild.StepTest {
		t.Errorf("changed to %+v", steps)
	}
	g.wants(g.post(page+"/trail", g.caseFields(id, "place", "2", "reading", "many")), http.StatusUnprocessableEntity, "not a number", `value="many"`)
	g.wants(g.post(page+"/trail", g.caseFields(id, "place", "1", "outcome", "sideways")), http.StatusUnprocessableEntity, "no outcome")
	g.wants(g.post(page+"/trail", g.caseFields(id, "place", "9", "do", "out")), http.StatusUnprocessableEntity, "no step")
	g.tell(id, "/trail", "place", "1", "do", "out")
	if steps := g.now().Case(id).Steps; len(steps) != 1 || steps[0].What != "interval" {
		t.Errorf("left are %+v", steps)
	}
}

func TestStepsThatCannotBe(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	for says, pairs := range map[string][]string{
		"enter what was measured":         {"kind", "test", "what", "interval", "reading", ""},
		"not a number":                    {"kind", "test", "what", "interval", "reading", "soon"},
		"has no outcome":                  {"kind", "test", "what", "hand", "outcome", "sideways"},
		"has no test":                     {"kind", "test", "what", "ghost", "outcome", "x"},
		"say whether the symptom is gone": {"kind", "repair", "what", "clean"},
		"has no repair":                   {"kind", "repair", "what", "ghost", "cured", "0"},
		"has no test &#34;&#34;":          {"kind", "dance"},
		"measurement 77 is not there":     {"kind", "test", "what", "interval", "evidence", "77"},
		"cannot be below zero":            {"kind", "test", "what", "interval", "reading", "7", "doubt", "-3"},
	} {
		g.wants(g.post(page+"/step", g.caseFields(id, pairs...)), http.StatusUnprocessableEntity, "Not saved yet", says)
	}
	g.wants(g.post(page+"/step", g.caseFields(id, "kind", "test", "what", "interval", "reading", "soon")), http.StatusUnprocessableEntity, `value="soon"`)
	if n := len(g.now().Case(id).Steps); n != 0 {
		t.Errorf("%d steps were kept", n)
	}
	g.wants(g.post(page+"/end", g.caseFields(id, "state", "lost")), http.StatusUnprocessableEntity, "say how it ended")
	g.wants(g.post(page+"/end", g.caseFields(id, "state", "solved", "cause", "")), http.StatusUnprocessableEntity, "a solved case needs the cause")
	g.wants(g.post(page+"/job", g.caseFields(id, "fault", "ghost")), http.StatusUnprocessableEntity, "no fault")
	g.wants(g.get(g.path("/cases/999")), http.StatusNotFound)
	g.wants(g.post(g.path("/cases/999/step"), url.Values{"kind": {"test"}}), http.StatusConflict)
}

func TestStaleCaseIsAConflict(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	old := g.caseFields(id, "kind", "test", "what", "hand", "outcome", "free")
	g.tell(id, "/step", "kind", "test", "what", "hand", "outcome", "stiff")
	g.wants(g.post(page+"/step", old), http.StatusConflict, "Changed meanwhile", `href="`+page+`"`)
	if steps := g.now().Case(id).Steps; len(steps) != 1 || steps[0].Outcome != "stiff" {
		t.Errorf("the trail is %+v", steps)
	}
}

func TestMeasurementIsTakenWithOneTap(t *testing.T) {
	g := newSurveyRig(t)
	evidence := g.measure(0, "", rebuild.VerdictFail, 30)
	id, page := g.openCase(windowModel)
	g.wants(g.get(page), 200, "was measured already", "30 s", "give or take 10", "Nothing yet.")
	g.tell(id, "/step", "kind", "test", "what", "interval", "evidence", fmt.Sprint(evidence))
	step := g.now().Case(id).Steps[0]
	if *step.Value != 30 || step.EvidenceID != evidence || step.ValueSD < 5.1 || step.ValueSD > 5.11 {
		t.Errorf("kept %+v", step)
	}
	g.wants(g.get(page), 200, "!was measured already", fmt.Sprintf("/bench/evidence/%d", evidence), "30 ± 10 s")
	// Its note can be changed, its value not.
	g.tell(id, "/trail", "place", "1", "note", "cold", "reading", "99")
	if step := g.now().Case(id).Steps[0]; *step.Value != 30 || step.Note != "cold" {
		t.Errorf("changed to %+v", step)
	}
}

func TestWhatCannotBeDoneNow(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	for _, what := range []string{"hand", "clean"} {
		g.tell(id, "/not-now", "what", what)
	}
	g.wants(g.get(page), 200, "It can after all", "!<button name=\"outcome\" value=\"stiff\"")
	g.tell(id, "/not-now", "what", "hand", "do", "back")
	g.wants(g.get(page), 200, "<button name=\"outcome\" value=\"stiff\"")
	g.tell(id, "/not-now", "what", "replace_all")
	g.wants(g.get(page), 200, "It cannot be weighed as it stands", "Put something back", "It can after all")
}

func TestLicensedPracticeIsAllThatIsSaid(t *testing.T) {
	g := newSurveyRig(t)
	m, ok := knowledge.FaultModelFor("restraint-lamp")
	if !ok {
		t.Fatal("the fault model is gone")
	}
	id, page := g.openCase(string(m.YAML))
	g.wants(g.get(page), 200, "Licensed practice only", "!Do this next", "!<button name=\"outcome\"", "!What it may be", "!class=\"stake\"")
	g.wants(g.get(g.path("/cases")), 200, "licensed practice only")
	g.wants(g.get(page+"/file"), http.StatusUnprocessableEntity)
	g.tell(id, "/end", "state", "solved", "note", "Put right by licensed practice.")
	g.wants(g.get(page), 200, "Put right by licensed practice.", "Open it again")
}

// The page of a case whose advice is known, as on every visit but the first.
func BenchmarkCasePage(b *testing.B) {
	g := newSurveyRig(b)
	m, _ := knowledge.FaultModelFor("hydraulic-recharge")
	id, page := g.openCase(string(m.YAML))
	g.tell(id, "/step", "kind", "test", "what", "wet", "outcome", "dry")
	g.wants(g.get(page), 200)
	for b.Loop() {
		g.wants(g.get(page), 200)
	}
}

func TestCasesThatShareAFault(t *testing.T) {
	g := newSurveyRig(t)
	_, page := g.openCase(windowModel)
	_, other := g.openCase(windowModel, func(k *rebuild.Case) { k.Title, k.Together = "The other window sticks", true })
	g.wants(g.get(page), 200, "may have the same cause", "dry runners", "The other window sticks", "50\u00a0%")
	id := g.now().Cases[1].ID
	g.tell(id, "/step", "kind", "repair", "what", "clean", "cured", "1")
	g.wants(g.get(page), 200, "was found and mended in", "It is gone", "!may have the same cause")
	g.wants(g.get(other), 200, "Solved")
	first := g.now().Cases[0].ID
	g.tell(first, "/step", "kind", "repair", "what", "clean", "cured", "0", "note", "Done in the other case")
	g.wants(g.get(page), 200, "Done in the other case")
}

func TestCaseAsAFile(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	g.tell(id, "/step", "kind", "test", "what", "hand", "outcome", "free")
	w := g.get(page + "/file")
	g.wants(w, 200, "evidence:")
	m, err := faultmodel.Parse("case.yaml", w.Body.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	a, err := diagnose.Advise(t.Context(), m.Case)
	if err != nil || a.Next.ID == "" {
		t.Fatalf("%+v, %v", a, err)
	}
	if w.Header().Get("Content-Disposition") != fmt.Sprintf(`attachment; filename="case-%d.yaml"`, id) {
		t.Errorf("it is called %s", w.Header().Get("Content-Disposition"))
	}
}

func TestModelIsEdited(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.openCase(windowModel)
	model := page + "/model"
	shown := g.get(model)
	g.wants(shown, 200, "If it is dry runners, “it is stiff” comes 9 times in 10.", "If it is tired motor, New motor cures it", `name="prior.0"`, `value="60"`, "8 readings in 10")
	figures := g.caseFields(id, "form", "figures")
	for name, value := range fieldsIn(t, shown.Body.String()) {
		figures.Set(name, value)
	}
	g.wants(g.post(model, figures), http.StatusSeeOther)
	before, err := faultmodel.Parse("", []byte(windowModel))
	if err != nil {
		t.Fatal(err)
	}
	same, err := faultmodel.Parse("", []byte(g.now().Case(id).Model))
	if err != nil || !reflect.DeepEqual(same, before) {
		t.Errorf("saved as it opened, the model is\n%+v\nnot\n%+v (%v)", same, before, err)
	}
	g.tell(id, "/model", "form", "figures", "chance.0.0.0", "75 %", "chance.0.0.1", "25", "prior.2", "0,5", "repair.0.cost", "12.50")
	edited, err := faultmodel.Parse("", []byte(g.now().Case(id).Model))
	if err != nil {
		t.Fatal(err)
	}
	if edited.Case.Tests[0].Chance[0][0] != 0.75 || edited.Case.Faults[2].Prior != 0.005 || edited.Case.Repairs[0].Cost != 12.5 || edited.Case.Faults[0].Prior != 0.6 {
		t.Errorf("edited to %+v", edited.Case)
	}
	g.wants(g.post(model, g.caseFields(id, "form", "figures", "chance.0.0.0", "80")), http.StatusUnprocessableEntity, "Not saved yet", `value="80"`, "expected 1")
	g.wants(g.post(model, g.caseFields(id, "form", "figures", "test.0.cost", "much")), http.StatusUnprocessableEntity, "not a number", `value="much"`)
	broken := strings.Replace(windowModel, "minutes: 20", "minutes: a while", 1)
	g.wants(g.post(model, g.caseFields(id, "form", "text", "text", broken)), http.StatusUnprocessableEntity, "Line 16", "near-here", "minutes: a while")
	g.tell(id, "/model", "form", "text", "text", strings.ReplaceAll(windowModel, "dry runners", "sticky runners"))
	g.wants(g.get(page), 200, "Sticky runners")
}

func TestModelOfOnesOwn(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/cases/new?model=own")), 200, "A fault model of your own")
	w := g.post(g.path("/cases"), url.Values{"model": {"own"}, "title": {"Roof leaks"}})
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "The fault you suspect", "Look at it")
	if k := g.now().Cases[0]; k.ModelFrom != "" || k.Model == "" {
		t.Errorf("kept %+v", k)
	}
	_, page := g.openCase("")
	g.wants(g.get(page), 200, "It cannot be weighed as it stands")
	g.wants(g.get(page+"/model"), 200, "The model")
}

// fieldsIn are the fields of the form of figures as the page opens.
func fieldsIn(t *testing.T, page string) map[string]string {
	t.Helper()
	form := page[strings.Index(page, "data-model"):]
	form = form[:strings.Index(form, "</form>")]
	decoder := xml.NewDecoder(strings.NewReader("<form " + form + "</form>"))
	decoder.Strict, decoder.AutoClose, decoder.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	fields := map[string]string{}
	for {
		token, err := decoder.Token()
		if err != nil {
			return fields
		}
		e, ok := token.(xml.StartElement)
		if !ok || e.Name.Local != "input" {
			continue
		}
		attrs := map[string]string{}
		for _, a := range e.Attr {
			attrs[a.Name.Local] = a.Value
		}
		if name := attrs["name"]; name != "request" && name != "rev" && name != "back" && name != "form" {
			fields[name] = attrs["value"]
		}
	}
}

// Words and figures at the edge of what the book takes.
func TestCasesBearTheLargest(t *testing.T) {
	g := newSurveyRig(t)
	long := strings.Repeat("W", 79)
	model := strings.NewReplacer("dry runners", strings.Repeat("wide <b>%s</b> ", 12), "cost: 600, minutes: 180", "cost: 1000000000000, minutes: 1000000", "id: hand", "id: "+long, "Move the glass by hand", strings.Repeat("“%d” ", 30)).Replace(windowModel)
	id, page := g.openCase(model, func(k *rebuild.Case) {
		k.Title, k.Note = strings.Repeat("T", 200), strings.Repeat("n <i>", 700)
	})
	g.tell(id, "/step", "kind", "test", "what", long, "outcome", "stiff", "note", strings.Repeat("&", 2000))
	g.tell(id, "/step", "kind", "test", "what", "interval", "reading", "0.000000001", "doubt", "1000000000")
	for _, p := range []string{page, page + "/model", page + "/file", g.path("/cases"), g.path("/now"), g.path("/history")} {
		w := g.get(p)
		if w.Code != http.StatusOK {
			t.Errorf("%s: %d %s", p, w.Code, w.Body)
			continue
		}
		if p == page+"/file" {
			continue
		}
		for _, fault := range checkStructure(strings.ReplaceAll(w.Body.String(), "%!", "")) {
			t.Errorf("%s: %s", p, fault)
		}
	}
	g.tell(id, "/step", "kind", "repair", "what", "clean", "cured", "1")
	// More than the book takes for one job is refused in words.
	g.wants(g.post(page+"/job", g.caseFields(id, "fault", "dry")), http.StatusUnprocessableEntity, "is above 100000000")
}
