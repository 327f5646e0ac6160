package web

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/demo"
	"wreckwright/rebuild"
	"wreckwright/store"
	"wreckwright/workshop"
)

// rendering is a page in one state: which template it is made of and how it is
// asked for.
type rendering struct {
	template string
	path     string
	form     url.Values // posted where given
	status   int
}

// Every page template is rendered by its handler in the states it can be in - a
// book without a car, a car of which only the name is known, the full example, a
// refused form, a conflict, an error - and its structure is checked.
func TestEveryPageInEveryState(t *testing.T) {
	server := newTemplateRig(t)
	rendered := map[string]bool{}
	for _, r := range append(append(server.plain(), server.measuredPages(t)...), server.troubled()...) {
		rendered[r.template] = true
		t.Run(r.template+" "+r.path, func(t *testing.T) {
			if r.status == http.StatusAccepted {
				defer server.busy()()
			}
			page := server.answer(t, r)
			for _, fault := range checkStructure(page) {
				t.Error(fault)
			}
		})
	}
	for _, name := range server.pages.names {
		if !rendered[name] {
			t.Errorf("the template %s is rendered in no state", name)
		}
	}
}

// A book without any car, and one with cars that were put away.
func TestYardInEveryState(t *testing.T) {
	server := serverOn(t, t.TempDir())
	get := rendering{path: "/", status: http.StatusOK}
	for _, fault := range checkStructure(server.answer(t, get)) {
		t.Error(fault)
	}
	for _, fault := range checkStructure(server.answer(t, rendering{path: "/appraise", status: http.StatusOK})) {
		t.Error(fault)
	}
	startPlain(t, server, "Put away", true)
	page := server.answer(t, get)
	for _, fault := range checkStructure(page) {
		t.Error(fault)
	}
	if !strings.Contains(page, "Put away (1)") {
		t.Error("the car that was put away is not shown as such")
	}
}

// templateRig is a server over the example book and a car of which only the name
// is known.
type templateRig struct {
	*Server
	skua     *rebuild.Rebuild
	empty    int64
	log      string // hash of a pressure log in the book
	sound    string // hash of a recording in the book
	measured int64  // of the example: what was measured after its first job
}

func newTemplateRig(t *testing.T) *templateRig {
	t.Helper()
	dir := t.TempDir()
	if err := demo.Build(t.Context(), dir, speedDay); err != nil {
		t.Fatal(err)
	}
	rig := serverOn(t, dir)
	var err error
	if rig.skua, err = rig.workshop.Book().Load(t.Context(), 1); err != nil {
		t.Fatal(err)
	}
	log, err := rig.workshop.Book().PutFile(t.Context(), strings.NewReader(tooth("time_s,pressure_bar")), "log.csv", "text/csv", 0)
	if err != nil {
		t.Fatal(err)
	}
	sound, err := rig.workshop.Book().PutFile(t.Context(), strings.NewReader(pumpSound(45)), "beside.wav", "audio/wav", 0)
	if err != nil {
		t.Fatal(err)
	}
	rig.log, rig.sound = log.Hash, sound.Hash
	rig.noises.patience, rig.drives.patience = time.Minute, time.Minute // no page of a test waits but for the answer
	for _, phase := range rebuild.Phases {
		rig.measure(t, phase)
	}
	rig.empty = startPlain(t, rig, "Only a name", false)
	return rig
}

// busy has the workbench read another log, until what it gives back is called.
func (g *templateRig) busy() func() {
	g.logs.turn.Lock()
	g.logs.patience = 0
	return func() {
		g.logs.turn.Unlock()
		g.logs.patience = time.Minute
	}
}

// measure keeps an invented measurement of the example's first job.
func (g *templateRig) measure(t *testing.T, phase rebuild.Phase) {
	t.Helper()
	low, high := 290.0, 330.0
	next, record, err := g.workshop.Book().Do(t.Context(), store.By{Who: "test"}, 1, func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddEvidence(rebuild.Evidence{
			On: "2026-02-01", At: "2026-02-01T18:00:00Z", Instrument: rebuild.InstrumentRecharge, Title: "Pump timed", JobID: rb.Jobs[0].ID, Phase: phase,
			Settings: `{"ambient_c":15}`, Verdict: rebuild.VerdictPass, Why: "it rests", Engine: "recharge 1", Note: "warm",
			Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: 310, Low: &low, High: &high, Unit: "s"}, {Name: "Settled intervals", Value: 3}},
		})
	})
	if err != nil {
		t.Fatal(err)
	}
	g.skua, g.measured = next, record.Edits[0].ID()
}

func serverOn(t *testing.T, dir string) *templateRig {
	t.Helper()
	now := func() time.Time { return speedDay }
	book, err := store.Open(t.Context(), dir, store.Options{Now: now})
	if err != nil {
		t.Fatal(err)
	}
	shop := workshop.New(book, slog.New(slog.DiscardHandler), func() string { return speedDay.Format(time.DateOnly) })
	t.Cleanup(func() {
		_ = shop.Close()
		_ = book.Close()
	})
	server, err := New(shop, Options{Now: now, Dev: "."}) // Dev serves the gallery
	if err != nil {
		t.Fatal(err)
	}
	return &templateRig{Server: server}
}

func startPlain(t *testing.T, rig *templateRig, name string, shelved bool) int64 {
	t.Helper()
	rb, err := rig.workshop.Book().Start(t.Context(), store.By{Who: "test"}, rebuild.Car{Name: name, Shelved: shelved, Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP", Correlation: rebuild.DefaultCorrelation})
	if err != nil {
		t.Fatal(err)
	}
	return rb.ID
}

// answer asks for the page and wants its status.
func (g *templateRig) answer(t *testing.T, r rendering) string {
	t.Helper()
	method, body := http.MethodGet, io.Reader(nil)
	if r.form != nil {
		method, body = http.MethodPost, strings.NewReader(r.form.Encode())
	}
	request := httptest.NewRequest(method, "http://localhost"+r.path, body)
	if r.form != nil {
		request.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	w := httptest.NewRecorder()
	g.ServeHTTP(w, request)
	if w.Code != r.status {
		t.Fatalf("status %d; want %d\n%s", w.Code, r.status, w.Body)
	}
	return w.Body.String()
}

// plain are the pages as they open, of all three cars.
func (g *templateRig) plain() []rendering {
	job, finding, entry := g.skua.Jobs[0], g.skua.Findings[0], g.skua.Entries[0]
	list := []rendering{
		{"yard", "/", nil, http.StatusOK},
		{"rebuild_new", "/new", nil, http.StatusOK},
		{"rebuild_new", "/new?candidate", nil, http.StatusOK},
		{"appraise_list", "/appraise", nil, http.StatusOK},
		{"check_list", "/r/1/bench/check", nil, http.StatusOK},
		{"check_list", "/r/1/bench/check?q=nothing-is-like-that", nil, http.StatusOK},
		{"check", "/r/1/bench/check/disc-run-out", nil, http.StatusOK},
		{"check", "/r/1/bench/check/tyre-age", nil, http.StatusOK},
		{"check", "/r/1/bench/check/own?form=wear", nil, http.StatusOK},
		{"codes", "/r/1/bench/codes", nil, http.StatusOK},
		{"gallery", "/gallery", nil, http.StatusOK},
		{"finding", fmt.Sprintf("/r/1/findings/%d", finding.ID), nil, http.StatusOK},
		{"job_form", fmt.Sprintf("/r/1/jobs/new?finding=%d", finding.ID), nil, http.StatusOK},
		{"job_form", fmt.Sprintf("/r/1/jobs/%d/edit", job.ID), nil, http.StatusOK},
		{"route_form", fmt.Sprintf("/r/1/jobs/%d/routes/new", job.ID), nil, http.StatusOK},
		{"route_form", fmt.Sprintf("/r/1/jobs/%d/routes/%d", job.ID, job.Routes[0].ID), nil, http.StatusOK},
		{"ledger", fmt.Sprintf("/r/1/ledger?for=%d", job.ID), nil, http.StatusOK},
		{"ledger", "/r/1/ledger?all=1&page=2", nil, http.StatusOK},
		{"ledger", "/r/1/ledger?words=nothing+is+like+that", nil, http.StatusOK},
		{"ledger", "/r/1/ledger?from=nonsense&least=much", nil, http.StatusOK},
		{"findings", "/r/1/findings?zone=front-left-corner", nil, http.StatusOK},
		{"findings", "/r/1/findings?q=nothing+is+like+that", nil, http.StatusOK},
		{"jobs", "/r/1/jobs?words=nothing+is+like+that", nil, http.StatusOK},
		{"entry", fmt.Sprintf("/r/1/ledger/%d", entry.ID), nil, http.StatusOK},
		{"money", "/r/1/money/what-if?costs=20&ceiling=30000", nil, http.StatusOK},
		{"zone", "/r/1/zones/front-left-corner", nil, http.StatusOK},
		{"walk", "/r/1/walk?zone=front-left-corner", nil, http.StatusOK},
		{"evidence", fmt.Sprintf("/r/1/bench/evidence/%d", g.measured), nil, http.StatusOK},
		{"stopwatch", fmt.Sprintf("/r/1/bench/stopwatch?job=%d", job.ID), nil, http.StatusOK},
		{"bench_log", fmt.Sprintf("/r/1/bench/recharge?job=%d&log=%s", job.ID, g.log), nil, http.StatusOK},
		{"bench_log", fmt.Sprintf("/r/1/bench/recharge?log=%s&pressure_column=colour&ambient_c=warm", g.log), nil, http.StatusUnprocessableEntity},
		{"bench_wait", fmt.Sprintf("/r/1/bench/recharge?job=%d&log=%s&ambient_c=11", job.ID, g.log), nil, http.StatusAccepted},
		{"case_new", "/r/1/cases/new?model=own", nil, http.StatusOK},
		{"case_new", "/r/1/cases/new?model=hydraulic-recharge&finding=1", nil, http.StatusOK},
		{"case_new", "/r/1/cases/new?q=nothing+is+like+that&zone=roof", nil, http.StatusOK},
		{"error", "/nowhere", nil, http.StatusNotFound},
		{"error", "/r/99/now", nil, http.StatusNotFound},
		{"error", "/r/1/jobs/9999", nil, http.StatusNotFound},
	}
	for _, j := range g.skua.Joints {
		at := fmt.Sprintf("/r/1/joints/%d", j.ID)
		list = append(list, rendering{"joint", at, nil, http.StatusOK}, rendering{"joint_tighten", at + "/tighten", nil, http.StatusOK}, rendering{"joint_form", at + "/edit", nil, http.StatusOK})
	}
	list = append(list,
		rendering{"joints", "/r/1/joints?zone=front-left-corner&state=open", nil, http.StatusOK},
		rendering{"tool", fmt.Sprintf("/r/1/tools/%d", g.skua.Tools[0].ID), nil, http.StatusOK},
		rendering{"bench_joint", "/r/1/bench/joint?thread=M10-8.8&torque=40&engagement_mm=12&into=aluminium", nil, http.StatusOK},
		rendering{"bench_joint", "/r/1/bench/joint?thread=M12x1.5-10.9&torque=50&angle_deg=90&grip_mm=40&load_kn=5", nil, http.StatusOK},
		rendering{"bench_joint", "/r/1/bench/joint?thread=M10x3", nil, http.StatusUnprocessableEntity},
		rendering{"bench_bond", "/r/1/bench/bond?reckon=1&holds=x", nil, http.StatusUnprocessableEntity},
		rendering{"bench_bond", "/r/1/bench/bond?reckon=1&holds=brake+hose&hottest_c=50", nil, http.StatusOK},
	)
	list = append(list, proofRenderings()...)
	list = append(list, g.driven()...)
	for _, s := range g.skua.Strip {
		list = append(list, rendering{"strip_item", fmt.Sprintf("/r/1/strip/%d", s.ID), nil, http.StatusOK})
	}
	list = append(list,
		rendering{"strip", fmt.Sprintf("/r/1/strip?zone=roof&just=%d", g.skua.Strip[0].ID), nil, http.StatusOK},
		rendering{"strip", "/r/1/strip?q=nothing+is+like+that&show=back", nil, http.StatusOK},
		rendering{"refit", "/r/1/refit?zone=front-left-corner", nil, http.StatusOK},
		rendering{"labels", "/r/1/strip/labels?pick=all&from=20", nil, http.StatusOK},
	)
	for _, k := range g.skua.Cases {
		at := fmt.Sprintf("/r/1/cases/%d", k.ID)
		list = append(list, rendering{"case", at, nil, http.StatusOK}, rendering{"model", at + "/model", nil, http.StatusOK})
	}
	for _, j := range g.skua.Jobs {
		list = append(list, rendering{"job", fmt.Sprintf("/r/1/jobs/%d", j.ID), nil, http.StatusOK}, rendering{"plan_job", fmt.Sprintf("/r/1/jobs/%d/plan", j.ID), nil, http.StatusOK})
	}
	for _, candidate := range []int64{3, 4, 5} {
		for name, path := range map[string]string{"appraise": "appraise", "walk": "walk", "findings": "findings", "jobs": "jobs", "money": "money", "car": "car", "build_file": "build-file"} {
			list = append(list, rendering{name, fmt.Sprintf("/r/%d/%s", candidate, path), nil, http.StatusOK})
		}
	}
	for _, form := range []string{"worth", "fees", "event", "story"} {
		list = append(list, rendering{"appraise", "/r/3/appraise?open=" + form, nil, http.StatusOK})
	}
	for _, id := range []int64{g.skua.ID, 2, g.empty} {
		for name, path := range map[string]string{
			"now": "now", "car": "car", "build_file": "build-file", "findings": "findings", "jobs": "jobs", "job_form": "jobs/new", "ledger": "ledger", "import": "ledger/import", "money": "money", "history": "history", "zone": "zones/roof", "walk": "walk", "appraise": "appraise", "bench": "bench", "case_list": "cases", "case_new": "cases/new", "stopwatch": "bench/stopwatch", "bench_log": "bench/recharge", "bench_ear": "bench/listen",
			"strip": "strip", "refit": "refit", "labels": "strip/labels",
			"gates": "gates", "gate": "gates/road-test", "shakedown": "shakedown", "drive": "shakedown/retorque", "inspection": "inspection", "inspected": "inspection/horn", "official": "official-test",
			"plan": "plan", "plan_today": "plan/today", "plan_waiting": "plan/waiting", "plan_what_if": "plan/what-if", "plan_timetable": "plan/set-up", "plan_people": "plan/people", "plan_things": "plan/things", "plan_milestones": "plan/milestones",
			"joints": "joints", "joint_form": "joints/new", "joint_sheet": "joints/sheet", "tools": "tools", "bench_joint": "bench/joint", "bench_bond": "bench/bond",
		} {
			list = append(list, rendering{name, fmt.Sprintf("/r/%d/%s", id, path), nil, http.StatusOK})
		}
	}
	return list
}

// driven are the pages of the drives of the car that is on the road again.
func (g *templateRig) driven() []rendering {
	const id = 6
	r, err := g.workshop.Book().Load(context.Background(), id)
	if err != nil {
		return []rendering{{"drive_run", fmt.Sprintf("/r/%d/shakedown", id), nil, http.StatusOK}} // which fails, and says so
	}
	var list []rendering
	for _, run := range r.Shakedown {
		at := fmt.Sprintf("/r/%d/shakedown/%s/%d", id, run.Stage, run.ID)
		list = append(list, rendering{"drive_run", at, nil, http.StatusOK}, rendering{"drive_found", at + "/finding", nil, http.StatusOK})
	}
	at := fmt.Sprintf("/r/%d/shakedown/%s/%d", id, r.Shakedown[0].Stage, r.Shakedown[0].ID)
	for _, l := range []string{"gates", "shakedown", "shakedown/slow", "inspection", "build-file"} {
		list = append(list, rendering{"", fmt.Sprintf("/r/%d/%s", id, l), nil, http.StatusOK})
	}
	return append(list,
		rendering{"drive_run", at, url.Values{"result": {""}, "km": {"far"}, "rev": {fmt.Sprint(r.Shakedown[0].Rev)}}, http.StatusUnprocessableEntity},
		rendering{"drive_found", at + "/finding", url.Values{"what": {""}, "rev": {fmt.Sprint(r.Shakedown[0].Rev)}}, http.StatusUnprocessableEntity},
		rendering{"conflict", at, url.Values{"request": {"run"}, "result": {"pass"}, "by": {"Me"}, "rev": {"99"}}, http.StatusConflict},
	)
}

// troubled are the pages that answer a form that cannot be taken.
func (g *templateRig) troubled() []rendering {
	job, finding, entry := g.skua.Jobs[0], g.skua.Findings[0], g.skua.Entries[0]
	at := func(format string, args ...any) string { return fmt.Sprintf("/r/1"+format, args...) }
	open := slices.IndexFunc(g.skua.Cases, func(k rebuild.Case) bool { return k.State == rebuild.CaseOpen })
	aCase, joint, tool := g.skua.Cases[open], g.skua.Joints[0], g.skua.Tools[0]
	off := g.skua.Strip[len(g.skua.Strip)-1]
	bad, gone := http.StatusUnprocessableEntity, http.StatusConflict
	rows := "date,what,sum\n2026-02-01,Bolts,24.50\n2026-13-40,Nuts,much\nTotal,,24.50"
	return []rendering{
		{"rebuild_new", "/new", url.Values{"ceiling": {"much"}}, bad},
		{"car", at("/car"), url.Values{"name": {""}, "year": {"then"}, "rev": {fmt.Sprint(g.skua.Car.Rev)}}, bad},
		{"findings", at("/findings"), url.Values{"zone": {"nowhere"}, "what": {""}}, bad},
		{"finding", at("/findings/%d", finding.ID), url.Values{"form": {"edit"}, "what": {""}, "zone": {"roof"}, "rev": {fmt.Sprint(finding.Rev)}}, bad},
		{"job_form", at("/jobs"), url.Values{"title": {""}, "safety": {""}, "routes.1.cost.low": {"9"}, "routes.1.works": {"lots"}}, bad},
		{"job_form", at("/jobs/%d", job.ID), url.Values{"title": {""}, "needed": {"200"}, "rev": {fmt.Sprint(job.Rev)}}, bad},
		{"job", at("/jobs/%d/outcome", job.ID), url.Values{"state": {"waiting"}, "hours_spent": {"-3"}, "done_on": {"later"}, "rev": {fmt.Sprint(job.Rev)}}, bad},
		{"route_form", at("/jobs/%d/routes", job.ID), url.Values{"kind": {"used"}, "cost.low": {"300"}, "cost.likely": {"200"}, "cost.high": {"100"}, "works": {"50"}}, bad},
		{"ledger", at("/ledger"), url.Values{"amount": {"many"}, "on": {"soon"}, "tax": {"x"}}, bad},
		{"entry", at("/ledger/%d", entry.ID), url.Values{"amount": {"many"}, "on": {"soon"}, "rev": {fmt.Sprint(entry.Rev)}}, bad},
		{"import", at("/ledger/import"), url.Values{"paste": {""}}, bad},
		{"import", at("/ledger/import"), url.Values{"paste": {rows}}, http.StatusOK},
		{"bench_log", at("/bench/recharge"), url.Values{"job": {"1"}}, bad},
		{"bench_ear", at("/bench/listen"), url.Values{"job": {"1"}}, bad},
		{"bench_ear", fmt.Sprintf("/r/1/bench/listen?recording=%s", g.sound), nil, http.StatusOK},
		{"stopwatch", at("/bench/stopwatch"), url.Values{"taps": {""}, "ambient_c": {"warm"}}, bad},
		{"stopwatch", at("/bench/stopwatch"), url.Values{"taps": {longStarts}, "look": {"1"}}, http.StatusOK},
		{"stopwatch", at("/bench/stopwatch"), url.Values{"taps": {"0 on\n8 off\n300 on\n308 off\n610 on\n618 off\n920 on\n928 off"}, "look": {"1"}}, http.StatusOK},
		{"evidence", at("/bench/evidence/%d", g.measured), url.Values{"title": {""}, "on": {"soon"}, "rev": {"0"}}, bad},
		{"conflict", at("/bench/evidence/%d", g.measured), url.Values{"request": {"e"}, "title": {"Mine"}, "on": {"2026-02-01"}, "rev": {"9"}}, gone},
		{"case_new", at("/cases"), url.Values{"model": {"ghost"}, "title": {""}}, bad},
		{"case", at("/cases/%d", aCase.ID), url.Values{"title": {""}, "rev": {fmt.Sprint(aCase.Rev)}}, bad},
		{"case", at("/cases/%d/step", aCase.ID), url.Values{"kind": {"test"}, "what": {"ghost"}, "outcome": {"x"}, "rev": {fmt.Sprint(aCase.Rev)}}, bad},
		{"case", at("/cases/%d/trail", aCase.ID), url.Values{"place": {"99"}, "rev": {fmt.Sprint(aCase.Rev)}}, bad},
		{"model", at("/cases/%d/model", aCase.ID), url.Values{"form": {"figures"}, "prior.0": {"much"}, "rev": {fmt.Sprint(aCase.Rev)}}, bad},
		{"model", at("/cases/%d/model", aCase.ID), url.Values{"form": {"text"}, "text": {"symptom: x\nfaults: 3"}, "rev": {fmt.Sprint(aCase.Rev)}}, bad},
		{"conflict", at("/cases/%d/step", aCase.ID), url.Values{"request": {"k"}, "kind": {"test"}, "what": {"x"}, "outcome": {"y"}, "rev": {"999"}}, gone},
		{"strip", at("/strip"), url.Values{"what": {""}, "fasteners.1.count": {"many"}, "at": {"then"}}, bad},
		{"strip_item", at("/strip/%d", off.ID), url.Values{"what": {""}, "zone": {"moon"}, "rev": {fmt.Sprint(off.Rev)}}, bad},
		{"strip_item", at("/strip/%d/more", off.ID), url.Values{"n": {"99"}}, bad},
		{"strip_item", at("/strip/%d/marks", off.ID), url.Values{"mark.0.1.text": {"x"}, "rev": {fmt.Sprint(off.Rev)}}, bad},
		{"strip_item", at("/strip/%d/back", off.ID), url.Values{"anyway": {""}, "back_at": {"then"}, "rev": {fmt.Sprint(off.Rev)}}, bad},
		{"refit", at("/refit/buy"), url.Values{"line": {"ghost"}, "what": {"arrived"}}, bad},
		{"conflict", at("/strip/%d", off.ID), url.Values{"request": {"s"}, "what": {"Mine"}, "rev": {"999"}}, gone},
		{"conflict", at("/strip/%d/back", off.ID), url.Values{"request": {"sb"}, "anyway": {"x"}, "rev": {"999"}}, gone},
		{"joint_form", at("/joints"), url.Values{"title": {""}, "torque": {"much"}, "passes": {"x"}}, bad},
		{"joint_form", at("/joints/%d", joint.ID), url.Values{"title": {""}, "rev": {fmt.Sprint(joint.Rev)}}, bad},
		{"joint_tighten", at("/joints/%d/tighten", joint.ID), url.Values{"step": {"9"}, "torque": {"x"}, "at": {"then"}, "rev": {fmt.Sprint(joint.Rev)}}, bad},
		{"joint", at("/joints/%d/check", joint.ID), url.Values{"second_by": {""}, "rev": {fmt.Sprint(joint.Rev)}}, bad},
		{"joint", at("/joints/%d/undone", joint.ID), url.Values{"why": {""}, "rev": {fmt.Sprint(joint.Rev)}}, bad},
		{"conflict", at("/joints/%d/tighten", joint.ID), url.Values{"request": {"j"}, "step": {"1"}, "torque": {"50"}, "who": {"Kim"}, "rev": {"999"}}, gone},
		{"tools", at("/tools"), url.Values{"title": {""}, "low": {"x"}}, bad},
		{"tool", at("/tools/%d", tool.ID), url.Values{"title": {""}, "rev": {fmt.Sprint(tool.Rev)}}, bad},
		{"tool", at("/tools/%d/compare", tool.ID), url.Values{"set.1": {"x"}, "rev": {fmt.Sprint(tool.Rev)}}, bad},
		{"plan_people", at("/plan/people"), url.Values{"name": {""}, "week.2.1.from": {"18:30"}, "away_from.2": {"soon"}, "extra_on.1": {"2027-01-10"}}, bad},
		{"plan_things", at("/plan/things"), url.Values{"name": {""}, "count": {"many"}}, bad},
		{"plan_milestones", at("/plan/milestones"), url.Values{"name": {""}, "late_once": {"much"}}, bad},
		{"plan_waiting", at("/plan/waiting"), url.Values{"what": {""}, "lead_days.low": {"3"}, "faster.days": {"x"}}, bad},
		{"plan_timetable", at("/plan/set-up"), url.Values{"quiet_from": {"late"}, "cost_name.2": {"Storage"}, "cost_amount.2": {"much"}, "closed_from.1": {"2027-02-01"}, "closed_to.1": {"2027-01-01"}}, bad},
		{"plan_job", at("/jobs/%d/plan", job.ID), url.Values{"who": {"helper"}, "wait_days": {"-1"}, "after": {fmt.Sprint(job.ID)}}, bad},
		{"gate", at("/gates/road-test/pass"), url.Values{"reason": {"because"}}, bad},
		{"gate", at("/gates/hand-over/confirm"), url.Values{}, bad},
		{"drive", at("/shakedown/yard"), url.Values{"km": {"far"}, "what": {"a drip"}, "at": {"then"}}, bad},
		{"inspected", at("/inspection/left-tyres"), url.Values{"value": {"deep"}, "rev": {"0"}}, bad},
		{"conflict", at("/inspection/left-tyres"), url.Values{"request": {"i"}, "result": {"fail"}, "tap": {"1"}, "rev": {"99"}}, gone},
		{"official", at("/official-test"), url.Values{"on": {"soon"}, "found.2.text": {"a lamp"}}, bad},
		{"walk", at("/walk"), url.Values{"zone": {"roof"}, "depth": {"outside"}}, bad},
		{"zone", at("/zones/roof"), url.Values{"open_share": {"10"}, "hidden_expected": {"-1"}, "rev": {"0"}}, bad},
		{"appraise", "/r/3/appraise/worth", url.Values{"rev": {"1"}, "value.low": {"9"}, "confidence": {"20"}}, bad},
		{"appraise", "/r/3/appraise/fees", url.Values{"rev": {"1"}, "from.1": {"9"}, "other.1": {"x"}, "cost.1": {"much"}}, bad},
		{"appraise", "/r/3/appraise/story", url.Values{"rev": {"1"}, "first_used": {"then"}, "events": {"dance"}}, bad},
		{"appraise", "/r/3/appraise/event", url.Values{"rev": {"1"}, "on": {""}, "kind": {"dance"}}, bad},
		{"appraise", "/r/3/appraise/buy", url.Values{"bought_on": {"later"}, "price": {""}}, bad},
		{"appraise", "/r/1/appraise/buy", url.Values{"bought_on": {"2026-01-01"}, "price": {"1"}}, bad},
		{"conflict", "/r/3/appraise/worth", url.Values{"request": {"d"}, "value.likely": {"1"}, "confidence": {"80"}, "rev": {"999"}}, gone},
		{"conflict", at("/jobs/%d", job.ID), url.Values{"request": {"a"}, "title": {"Mine"}, "safety": {"none"}, "rev": {"999"}}, gone},
		{"conflict", at("/findings/%d", finding.ID), url.Values{"request": {"b"}, "form": {"edit"}, "what": {"Mine"}, "zone": {"roof"}, "severity": {"minor"}, "how_found": {"seen"}, "on": {"2026-01-01"}, "rev": {"999"}}, gone},
		{"conflict", at("/ledger/%d", entry.ID), url.Values{"request": {"c"}, "amount": {"1"}, "on": {"2026-01-01"}, "what": {"Mine"}, "kind": {"part"}, "rev": {"999"}}, gone},
		{"error", at("/jobs/%d/choose", job.ID), url.Values{"route": {"99999"}, "rev": {fmt.Sprint(job.Rev)}}, bad},
	}
}
