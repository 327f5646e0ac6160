package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// windowModel is an invented symptom with three faults.
const windowModel = `symptom: window winds slowly
currency: GBP
hour_value: 30
several: 1
cautions: [springs, lifting]
faults:
  - {id: dry, name: "dry runners, or a-very-long-part-number-that-cannot-be-broken-0000000000000", prior: 0.6, shared: runner}
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
    cost: 4
    minutes: 10
    measured: {dry: {median: 12, spread: 1.2}, motor: {median: 7, spread: 1.3}, other: {median: 9, spread: 1.5}}
repairs:
  - {id: clean, name: Clean and grease the runners, cost: 10, minutes: 60, fixes: {dry: 0.95}, kind: repair}
  - {id: renew, name: New motor, cost: 150, minutes: 120, fixes: {motor: 0.97}, kind: new}
replace_all: {name: complete regulator, cost: 600, minutes: 180}
`

func (c *car) openCase(k rebuild.Case) string {
	k.On, k.Model = "2026-05-01", windowModel
	if k.State == "" {
		k.State = rebuild.CaseOpen
	}
	return c.path(fmt.Sprintf("/cases/%d", c.do(func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.AddCase(k) })))
}

// A case from its symptom to the job that comes of it, once with scripts and once
// without: a model chosen, two tests, a repair that did not cure and one that did.
func TestCaseStory(t *testing.T) {
	t.Run("with scripts", func(t *testing.T) { t.Parallel(); caseStory(t, true) })
	t.Run("without scripts", func(t *testing.T) { t.Parallel(); caseStory(t, false) })
}

func caseStory(t *testing.T, scripts bool) {
	s := serve(t)
	car := startEmpty(t, s)
	b := newTab(t, s)
	b.width(phone)
	if !scripts {
		b.noScripts()
	}
	b.open(car.path("/now"), http.StatusOK)
	b.press(`.tabs a[href$="/cases"]`)
	b.holds("main", "No case yet")
	b.press(`.empty a.button`)
	b.write("#q", "pump")
	b.press(".case-search button")
	b.press(`.models a[href*="hydraulic-recharge"]`)
	b.holds("main", "First notice")
	b.write("#title", "Pump runs every minute")
	b.press(`form[data-draft] .actions button`)
	b.holds(".did", "opened the case")
	b.holds(".stake", "Whole unit", "From here", "Saving")
	first := b.text(".bars li:first-child")
	answer(b, "wet", `button[value="dry"]`)
	answer(b, "listen", `button[value="block"]`)
	b.holds(".bars li:first-child", "Valve in the block leaks inside", "up from")
	if first == b.text(".bars li:first-child") {
		t.Errorf("after two tests the likeliest is still %q", first)
	}
	answer(b, "flush", `button[name="cured"][value="0"]`)
	b.holds(".trail", "dry", "at the valve block", "still there")
	answer(b, "reseal_block", `button[name="cured"][value="1"]`)
	b.holds(".case-ended", "Solved", "Valve in the block leaks inside")
	b.press(".case-make button")
	b.holds(".did", "added the job")
	b.holds("main", "New seals and cleaned valves in the block", "Reference price")
	b.press(`.did button`)
	r := car.now()
	if len(r.Jobs) != 0 || len(r.Cases) != 1 || len(r.Cases[0].Jobs) != 0 || len(r.Cases[0].Steps) != 4 || r.Cases[0].Cause != "valve_leak" {
		t.Errorf("after the undo there are %d jobs, the case is %+v", len(r.Jobs), r.Cases[0].Steps)
	}
}

// answer enters how a test or repair came out, wherever it stands on the page.
func answer(b *tab, what, button string) {
	b.t.Helper()
	b.press(fmt.Sprintf(`form:has(input[name="what"][value=%q]) %s`, what, button))
	b.holds(".did", "Done: you noted")
}

// The words of a likelihood follow while it is typed.
func TestModelSaysWhatIsTyped(t *testing.T) {
	t.Parallel()
	s := serve(t)
	car := startEmpty(t, s)
	page := car.openCase(rebuild.Case{Title: "Window winds slowly"})
	b := newTab(t, s)
	b.open(page+"/model", http.StatusOK)
	row := `.model-row:has([name="chance.0.1.1"])`
	b.write(`[name="chance.0.1.1"]`, "75")
	b.holds(row, "If it is tired motor, “it runs freely” comes 3 times in 4.")
	b.write(`[name="chance.0.1.0"]`, "25")
	b.press(`[data-model] .actions button`)
	b.holds(".did", "changed the fault model")
	if m := car.now().Cases[0].Model; !strings.Contains(m, "0.75") {
		t.Errorf("kept is\n%s", m)
	}
}

// Every page of a case in its states is held against the accessibility rules.
func TestCasesAreAccessible(t *testing.T) {
	source := needAxe(t)
	s := serve(t)
	car := fill(t, s)
	low, high := 28.0, 36.0
	car.do(func(r *rebuild.Rebuild) (rebuild.Change, error) {
		return r.AddEvidence(rebuild.Evidence{
			On: "2026-05-01", Instrument: rebuild.InstrumentRecharge, Title: "Window timed", Verdict: rebuild.VerdictFail, Why: "as measured", Engine: "recharge 1",
			Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: 32, Low: &low, High: &high, Unit: "s"}},
		})
	})
	at := "2026-05-02T10:00:00Z"
	value := 8.0
	tried := []rebuild.CaseStep{{At: at, Kind: rebuild.StepTest, What: "hand", Outcome: "free", Note: "arm off"}, {At: at, Kind: rebuild.StepTest, What: "gone", Value: &value}, {At: at, Kind: rebuild.StepRepair, What: "clean"}}
	open := car.openCase(rebuild.Case{Title: "Window winds slowly", Findings: []int64{car.finding}, Steps: tried, NotNow: []string{"renew"}, Note: "Since the rain"})
	fresh := car.openCase(rebuild.Case{Title: "The other window sticks", Together: true})
	solved := car.openCase(rebuild.Case{Title: "Rear window stuck", State: rebuild.CaseSolved, Cause: "dry", Steps: []rebuild.CaseStep{{At: at, Kind: rebuild.StepRepair, What: "clean", Cured: true}}})
	stuck := car.openCase(rebuild.Case{Title: "Window again", NotNow: []string{"replace_all"}})
	lookAtAll(t, s, source, []visit{
		{name: "cases", path: car.path("/cases"), status: http.StatusOK},
		{name: "new case", path: car.path("/cases/new"), status: http.StatusOK, brief: true},
		{name: "new case of a model", path: car.path(fmt.Sprintf("/cases/new?model=runs-hot&finding=%d", car.finding)), status: http.StatusOK, brief: true},
		{name: "case with a trail", path: open, status: http.StatusOK},
		{name: "case, nothing tried", path: fresh, status: http.StatusOK},
		{name: "case, solved", path: solved, status: http.StatusOK, brief: true},
		{name: "case that cannot be weighed", path: stuck, status: http.StatusOK, brief: true},
		{name: "fault model", path: open + "/model", status: http.StatusOK, brief: true},
		{name: "case, refused", path: fresh, status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			b.write(`#second0-value, #second1-value, #next-value, #rest0-value`, "many")
			b.press(`.choice-value button`)
			b.holds("#problems", "not a number")
		}},
		{name: "fault model, refused", path: fresh + "/model", status: http.StatusUnprocessableEntity, brief: true, before: func(b *tab) {
			ask[bool](b, `(document.querySelector('#text').value = 'symptom: x\nfaults: 3') !== ''`)
			b.press(`form:has(#text) .actions button`)
			b.holds("#problems", "Line 1", "currency")
		}},
	})
}
