package web

import (
	"fmt"
	"html"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
)

var byKim = store.By{Who: "Kim"}

// hourOn is a clock an hour ahead of another.
func hourOn(now func() time.Time) func() time.Time {
	return func() time.Time { return now().Add(time.Hour) }
}

// fasten enters an invented joint on which lives hang.
func (g *surveyRig) fasten(change ...func(*rebuild.Joint)) (int64, string) {
	g.t.Helper()
	j := rebuild.Joint{
		Title: "Caliper bracket", Zone: "front-left-corner", Safety: rebuild.SafetyBrake, Thread: "M12x1.5-10.9", Count: 2,
		TorqueNm: 115, ToleranceNm: 8, Source: rebuild.SourceMaker, SourceWhere: "Invented manual, 34-08", Lubricant: "dry", Locking: rebuild.LockNone,
	}
	for _, c := range change {
		c(&j)
	}
	id := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddJoint(j) })
	return id, g.path(fmt.Sprintf("/joints/%d", id))
}

// wrench enters an invented tool that is in calibration on the day of the rig.
func (g *surveyRig) wrench(change ...func(*rebuild.Tool)) int64 {
	g.t.Helper()
	t := rebuild.Tool{Title: "Click wrench", Class: "4 %", LowNm: 40, HighNm: 210, CalibratedOn: "2026-01-10"}
	for _, c := range change {
		c(&t)
	}
	return g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) { return rb.AddTool(t) })
}

// jointForm is a form of the joint at the revision it has now.
func (g *surveyRig) jointForm(id int64, pairs ...string) url.Values {
	fields := url.Values{"rev": {fmt.Sprint(g.now().Joint(id).Rev)}}
	for i := 0; i+1 < len(pairs); i += 2 {
		fields.Add(pairs[i], pairs[i+1])
	}
	return fields
}

func (g *surveyRig) standOf(id int64) rebuild.JointStand {
	rb := g.now()
	return rb.JointStand(*rb.Joint(id), "2026-05-04")
}

// The whole way: a joint entered in pound-feet, tightened, checked by somebody
// else, proven, undone by what comes off, open again.
func TestJointIsProvenAndOpensAgain(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/joints")), 200, "No joint yet", "None yet: a joint is proven only with a tool")
	fields := url.Values{
		"title": {"Hub nut"}, "zone": {"front-left-corner"}, "safety": {"suspension"}, "thread": {"M22x1.5-10.9"}, "count": {"1"},
		"torque": {"100"}, "tolerance": {"5"}, "unit": {"lbf-ft"}, "passes": {"50"}, "source": {"maker's manual"}, "source_where": {"p. 12"}, "locking": {"staked"}, "one_time": {"1"}, "request": {"n1"},
	}
	var to string
	for range 2 { // sent twice it counts once
		w := g.post(g.path("/joints"), fields)
		g.wants(w, http.StatusSeeOther)
		to = w.Header().Get("Location")
	}
	rb := g.now()
	if len(rb.Joints) != 1 {
		t.Fatalf("%d joints", len(rb.Joints))
	}
	j := rb.Joints[0]
	if j.TorqueNm < 135.58 || j.TorqueNm > 135.59 || j.Passes[0] < 67.79 || j.Passes[0] > 67.80 || j.ToleranceNm < 6.77 || j.ToleranceNm > 6.79 {
		t.Errorf("100, 50 and 5 lbf·ft are kept as %v, %v, %v", j.TorqueNm, j.Passes, j.ToleranceNm)
	}
	g.wants(g.get(to), 200, "Not tightened yet", "135.6\u00a0N·m", "100\u00a0lbf·ft", "1200\u00a0lbf·in", "Maker&#39;s manual, p. 12", "Caution", "Under a raised car", "The maker&#39;s procedure comes first")
	g.wants(g.get(g.path("/joints")), 200, "0 of 1", "Lives hang on these: not proven", "never tightened")
	g.wants(g.get(g.path("/now")), 200, "1 safety joint not proven")
	tool := g.wrench()
	page := g.path(fmt.Sprintf("/joints/%d", j.ID))
	g.wants(g.get(page+"/tighten"), 200, "Pass 1 of 2", "Pass 2 of 2", "67.79\u00a0N·m", "50\u00a0lbf·ft", "Click wrench", "Locking done: staked", "New fasteners")
	g.wants(g.post(page+"/tighten", g.jointForm(j.ID, "step", "1", "step", "2", "torque", "135.58", "tool", fmt.Sprint(tool), "renewed", "1", "locked", "1", "who", "Kim")), http.StatusSeeOther)
	if got := g.now().Joint(j.ID).Tightenings[0]; got.TorqueNm != j.TorqueNm || got.Passes != 2 || !got.Renewed || !got.Locked || got.At != "2026-05-04T12:00:00Z" {
		t.Errorf("kept %+v", got)
	}
	g.wants(g.get(page), 200, "Not proven yet", "no second person has checked it", "The second person")
	g.wants(g.post(page+"/check", g.jointForm(j.ID, "second_by", " kim ")), http.StatusUnprocessableEntity, "must be somebody else")
	g.wants(g.post(page+"/check", g.jointForm(j.ID, "second_by", "")), http.StatusUnprocessableEntity, "say who checked it")
	g.wants(g.post(page+"/check", g.jointForm(j.ID, "as", "alone", "alone", "")), http.StatusUnprocessableEntity, "say why nobody else")
	g.wants(g.post(page+"/check", g.jointForm(j.ID, "second_by", "Robin")), http.StatusSeeOther)
	if s := g.standOf(j.ID); !s.Proven() {
		t.Fatalf("not proven: %v", s.Why)
	}
	g.wants(g.get(page), 200, "By Kim, checked by Robin", "!The second person")
	g.wants(g.get(g.path("/history")), 200, "4 May 2026, 12:00, 135.6 N·m by Kim, checked by Robin", "Torque, plus and minus, N·m")
	g.wants(g.get(g.path("/joints")), 200, "1 of 1")
	g.wants(g.get(g.path("/now")), 200, "!safety joint not proven")
	g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddStripItem(rebuild.StripItem{At: "2026-05-05T08:00:00Z", What: "Drive shaft", Joints: []int64{j.ID}})
	})
	if s := g.standOf(j.ID); s.State != rebuild.JointUndone {
		t.Errorf("after the shaft came off it is %s", s.State)
	}
	g.wants(g.get(page), 200, "Undone</strong> as it came off", "Drive shaft")
}

// Of two tightenings entered for one minute the later entry counts, and the second
// person's name goes to that one.
func TestSecondPersonChecksTheLastEntry(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.fasten(func(j *rebuild.Joint) { j.Passes = []float64{40} })
	tool := fmt.Sprint(g.wrench())
	for _, steps := range [][]string{{"step", "1"}, {"step", "1", "step", "2"}} {
		fields := append([]string{"torque", "115", "who", "Kim", "tool", tool, "at", "2026-05-04T11:30"}, steps...)
		g.wants(g.post(page+"/tighten", g.jointForm(id, fields...)), http.StatusSeeOther)
	}
	g.wants(g.post(page+"/check", g.jointForm(id, "second_by", "Robin")), http.StatusSeeOther)
	list := g.now().Joint(id).Tightenings
	if list[0].SecondBy != "" || list[1].SecondBy != "Robin" {
		t.Errorf("Robin checked %q, %q; expected the last", list[0].SecondBy, list[1].SecondBy)
	}
	if s := g.standOf(id); !s.Proven() {
		t.Errorf("checked, and not proven: %v", s.Why)
	}
}

// What was not done is not proven by saying that something was.
func TestTighteningInOrder(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.fasten(func(j *rebuild.Joint) {
		j.Passes, j.AngleDeg, j.AngleToleranceDeg = []float64{40, 80}, 90, 5
	})
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "step", "3", "torque", "115", "who", "Kim", "note", "kept words")), http.StatusUnprocessableEntity, "step 3 is ticked, but step 2", "kept words")
	g.wants(g.post(page+"/tighten", g.jointForm(id, "torque", "115", "who", "Kim")), http.StatusUnprocessableEntity, "tick what was done")
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "torque", "many", "who", "")), http.StatusUnprocessableEntity, "not a number")
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "torque", "115", "who", "Kim", "at", "2031-01-01T10:00")), http.StatusUnprocessableEntity, "has not come yet")
	if n := len(g.now().Joint(id).Tightenings); n != 0 {
		t.Fatalf("%d tightenings of refused forms", n)
	}
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "torque", "115", "angle_deg", "90", "who", "Kim", "tool", fmt.Sprint(g.wrench()))), http.StatusSeeOther)
	if got := g.now().Joint(id).Tightenings[0]; got.TorqueNm != 40 || got.Passes != 1 || got.AngleDeg != 0 {
		t.Errorf("one pass of three is kept as %+v", got)
	}
	if s := g.standOf(id); s.Proven() || !strings.Contains(strings.Join(s.Why, " "), "3 passes, but 1 were made") {
		t.Errorf("one pass of three: %s, %v", s.State, s.Why)
	}
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "step", "2", "step", "3", "step", "4", "torque", "115", "angle_deg", "92", "who", "Kim", "at", "2026-05-04T11:30")), http.StatusSeeOther)
	if got := g.now().Joint(id).Tightenings[1]; got.AngleDeg != 92 || got.Passes != 3 || got.At != "2026-05-04T11:30:00Z" {
		t.Errorf("kept %+v", got)
	}
}

// The other side is recorded with one press, and only what was whole is offered.
func TestTheOtherSideIsTheSame(t *testing.T) {
	g := newSurveyRig(t)
	tool := g.wrench()
	left, page := g.fasten(func(j *rebuild.Joint) { j.Passes, j.OneTime = []float64{50}, true })
	g.wants(g.get(g.path(fmt.Sprintf("/joints/new?like=%d", left))), 200, `value="M12x1.5-10.9"`, `value="front-right-corner" selected`)
	right, other := g.fasten(func(j *rebuild.Joint) {
		j.Title, j.Zone, j.Passes, j.OneTime = "Caliper bracket, right", "front-right-corner", []float64{50}, true
	})
	g.wants(g.post(page+"/tighten", g.jointForm(left, "step", "1", "torque", "115", "who", "Kim", "tool", fmt.Sprint(tool))), http.StatusSeeOther)
	g.wants(g.get(other+"/tighten"), 200, "!Same as the last")
	g.wants(g.post(page+"/tighten", g.jointForm(left, "step", "1", "step", "2", "torque", "115", "who", "Kim", "renewed", "1", "tool", fmt.Sprint(tool))), http.StatusSeeOther)
	g.wants(g.get(other+"/tighten"), 200, "Same as the last", "new fasteners", "by Kim")
	g.wants(g.post(other+"/tighten", g.jointForm(right, "step", "1", "step", "2", "unit", "nm", "torque", "115", "angle_deg", "0", "who", "Kim", "renewed", "1", "tool", fmt.Sprint(tool))), http.StatusSeeOther)
	if s := g.standOf(right); len(s.Why) != 1 || !strings.Contains(s.Why[0], "second person") {
		t.Errorf("the other side: %v", s.Why)
	}
}

// A tool that is not fit is shown as such, and the joint says why it is not proven.
func TestToolOutOfCalibrationOrRange(t *testing.T) {
	g := newSurveyRig(t)
	old := g.wrench(func(t *rebuild.Tool) { t.Title, t.CalibratedOn = "Old one", "2024-01-10" })
	g.wrench(func(t *rebuild.Tool) { t.Title, t.LowNm, t.HighNm = "Small one", 5, 25 })
	id, page := g.fasten(func(j *rebuild.Joint) { j.Safety = rebuild.SafetyNone })
	w := g.get(page + "/tighten")
	g.wants(w, 200, "its calibration of 10 Jan 2024 held until 10 Jan 2025", "115 N·m is outside its range, 5 to 25 N·m")
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "torque", "115", "who", "Kim", "tool", fmt.Sprint(old))), http.StatusSeeOther)
	if s := g.standOf(id); s.Proven() || !strings.Contains(strings.Join(s.Why, " "), "calibrat") {
		t.Errorf("with a tool out of calibration it is %s: %v", s.State, s.Why)
	}
	g.wants(g.get(g.path("/tools")), 200, "out of calibration", "in calibration", "1 joint tightened with it")
	toolPage := g.path(fmt.Sprintf("/tools/%d", old))
	rev := func() string { return fmt.Sprint(g.now().Tool(old).Rev) }
	g.wants(g.post(toolPage+"/delete", url.Values{"rev": {rev()}}), http.StatusUnprocessableEntity, "was tightened with")
	compare := url.Values{"rev": {rev()}, "reference": {"Bench gauge"}, "unit": {"nm"}, "set.1": {"100"}, "read.1": {"99"}, "set.2": {"200"}, "read.2": {"196"}, "counts": {"1"}}
	g.wants(g.post(toolPage+"/compare", url.Values{"rev": {rev()}, "reference": {""}, "set.1": {"x"}}), http.StatusUnprocessableEntity, "say what it was held against", "not a number")
	g.wants(g.post(toolPage+"/compare", compare), http.StatusSeeOther)
	tool := g.now().Tool(old)
	if tool.CalibratedOn != "2026-05-04" || !strings.Contains(tool.Note, "furthest off +2.0 %") {
		t.Errorf("after a comparison that counts: %+v", tool)
	}
	g.wants(g.post(toolPage+"/compare", url.Values{"rev": {rev()}, "reference": {"Bench gauge"}, "set.1": {"100"}, "read.1": {"90"}}), http.StatusSeeOther)
	if tool := g.now().Tool(old); tool.CalibratedOn != "" || !strings.Contains(tool.Note, "not within") {
		t.Errorf("after a comparison that it fails: %+v", tool)
	}
	g.wants(g.post(toolPage, url.Values{"rev": {rev()}, "title": {""}, "low": {"9"}, "high": {"5"}}), http.StatusUnprocessableEntity, "the tool&#39;s name is missing", "the second figure must be the greater")
	g.wants(g.post(toolPage, url.Values{"rev": {"0"}, "title": {"Mine"}}), http.StatusConflict)
}

// Undoing by hand needs a reason and sets a proven safety job back.
func TestUndoingSetsTheJobBack(t *testing.T) {
	g := newSurveyRig(t)
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Front discs", Safety: rebuild.SafetyBrake, State: rebuild.JobDone, DoneOn: "2026-05-01", Needed: 1})
	})
	tool := g.wrench()
	id, page := g.fasten(func(j *rebuild.Joint) { j.Jobs = []int64{job} })
	g.wants(g.get(g.path(fmt.Sprintf("/jobs/%d", job))), 200, "Joints it wants tight", "Caliper bracket", "it is not proven while one of its joints is open")
	rev := fmt.Sprint(g.now().Job(job).Rev)
	proof := url.Values{"rev": {rev}, "state": {"proven"}, "proof": {"Brake test"}, "done_on": {"2026-05-01"}}
	g.wants(g.post(g.path(fmt.Sprintf("/jobs/%d/outcome", job)), proof), http.StatusUnprocessableEntity, "Caliper bracket")
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "torque", "115", "who", "Kim", "tool", fmt.Sprint(tool))), http.StatusSeeOther)
	g.wants(g.post(page+"/check", g.jointForm(id, "as", "alone", "alone", "Nobody near")), http.StatusSeeOther)
	g.wants(g.get(page), 200, "Proven, with a doubt", "Not checked by a second person: Nobody near")
	g.wants(g.post(g.path(fmt.Sprintf("/jobs/%d/outcome", job)), proof), http.StatusSeeOther)
	g.wants(g.post(page+"/undone", g.jointForm(id, "why", "")), http.StatusUnprocessableEntity, "say why it was undone")
	g.server.now = hourOn(g.server.now)
	w := g.post(page+"/undone", g.jointForm(id, "why", "Hose renewed"))
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "Hose renewed", "is done, but proven no more")
	if state := g.now().Job(job).State; state != rebuild.JobDone {
		t.Errorf("the job is %s", state)
	}
	if s := g.standOf(id); s.State != rebuild.JointUndone {
		t.Errorf("the joint is %s", s.State)
	}
}

// The engine's word on a specification stands on the joint's page.
func TestJointIsReckoned(t *testing.T) {
	g := newSurveyRig(t)
	_, fair := g.fasten()
	g.wants(g.get(fair), 200, "Preload of one fastener", "Dry or oiled", "Show the working", "Reckon with other figures")
	_, wild := g.fasten(func(j *rebuild.Joint) {
		j.Thread, j.TorqueNm, j.Lubricant, j.ToleranceNm = "M8-8.8", 40, "light oil", 0
	})
	g.wants(g.get(wild), 200, "does not fit this bolt: check that grade and lubrication are right", "The maker&#39;s figure stands above this reckoning")
	_, torn := g.fasten(func(j *rebuild.Joint) { j.Thread, j.TorqueNm = "M8-8.8", 90 })
	g.wants(g.get(torn), 200, "90 N·m breaks a bolt M8", "reckoned-verdict verdict-warn", "Breaks the bolt", "The maker&#39;s figure stands above this reckoning")
	g.wants(g.get(torn+"/tighten"), 200, "This figure and this bolt do not go together", "90 N·m breaks a bolt")
	g.wants(g.get(fair+"/tighten"), 200, "!do not go together")
	_, broken := g.fasten(func(j *rebuild.Joint) { j.Thread = "M10x3-8.8" })
	g.wants(g.get(broken), 200, "M10")
	_, bare := g.fasten(func(j *rebuild.Joint) {
		j.Thread, j.TorqueNm, j.ToleranceNm, j.Source, j.SourceWhere = "", 0, 0, "", ""
	})
	g.wants(g.get(bare), 200, "The thread and its strength class are not said", "Nobody has said what torque it needs", "no source is named")
	_, angle := g.fasten(func(j *rebuild.Joint) { j.TorqueNm, j.ToleranceNm, j.AngleDeg = 50, 0, 60 })
	g.wants(g.get(angle), 200, "This is the torque alone", "Thickness clamped", "!reckoned-verdict")
	g.wants(g.get(angle+"?grip_mm=40"), 200, "Each degree adds", "reckoned-verdict")
	_, wheel := g.fasten(func(j *rebuild.Joint) { j.Count, j.RetorqueAfterKm = 5, 80 })
	g.wants(g.get(wheel), 200, "1, 3, 5, 2, 4", "In this order, each pass all the way round")
}

func TestJointCalculator(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/joint")
	g.wants(g.get(g.path("/bench")), 200, "/bench/joint", "/bench/bond")
	g.wants(g.get(page), 200, "Nothing is kept", "!id=\"result\"")
	w := g.get(page + "?thread=M10-8.8&torque=35.4&unit=lbf-ft&lubricant=oiled")
	g.wants(w, 200, "M10", "48", "Make a joint of it", "Aimed at 75")
	address := w.Body.String()
	at := strings.Index(address, `/joints/new?`)
	address = address[at:]
	address = html.UnescapeString(address[:strings.IndexByte(address, '"')])
	g.wants(g.get(g.path(address)), 200, `value="M10-8.8"`, `value="48"`, `value="own calculation" checked`)
	for query, wants := range map[string]string{
		"thread=M10x3-8.8&torque=40":              "M10",
		"thread=M10-99&torque=40":                 "99",
		"thread=M10-8.8&torque=9000":              "Torque 9000",
		"thread=M10-8.8&torque=400":               "breaks a bolt",
		"thread=M10-8.8&torque=40&friction=0.9":   "Friction 0.9",
		"thread=M10-8.8&torque=40&angle_deg=-5":   "Angle -5",
		"thread=M10-10.9&torque=40&nut=8":         "nut",
		"thread=M10-8.8&torque=much":              "not a number",
		"thread=&reckon=1":                        "say the thread",
		"thread=M10-8.8&torque=40&preload_kn=20":  "both given",
		"thread=M10-8.8&torque=40&angle_deg=90":   "thick",
		"thread=" + strings.Repeat("M", 3000):     "M",
		"thread=%3Cscript%3E&torque=40&joint=abc": "script&gt;",
	} {
		got := g.get(page + "?" + query)
		g.wants(got, http.StatusUnprocessableEntity, wants, "That cannot be reckoned yet")
	}
	if n := len(g.now().Joints); n != 0 {
		t.Errorf("the calculator kept %d joints", n)
	}
}

func TestBondCalculator(t *testing.T) {
	g := newSurveyRig(t)
	page := g.path("/bench/bond")
	given := url.Values{
		"reckon": {"1"}, "holds": {"washer bottle bracket"}, "layout": {"single"}, "load_n": {"60"}, "width_mm": {"25"}, "overlap_mm": {"20"}, "bond_mm": {"0.3"},
		"first.material": {"aluminium"}, "first.thickness_mm": {"2"}, "second.modulus_gpa": {"71"}, "second.thickness_mm": {"2"},
		"kind": {"epoxy"}, "shear_strength_mpa": {"20"}, "shear_modulus_mpa": {"900"}, "preparation": {"abraded"}, "service": {"wet"}, "hottest_c": {"50"},
	}
	ask := func(field, value string) string {
		q := url.Values{}
		for k, v := range given {
			q[k] = v
		}
		q.Set(field, value)
		return page + "?" + q.Encode()
	}
	g.wants(g.get(page), 200, "Only for what may fall off")
	g.wants(g.get(ask("factor", "")), 200, "Peak shear at the ends", "Worth making", "left of the sheet")
	g.wants(g.get(ask("safety_critical", "1")), 200, "Not reckoned", "safety hangs on", "licensed practice", "!Peak shear")
	g.wants(g.get(ask("holds", "brake hose bracket")), 200, "Not reckoned", "!Peak shear")
	g.wants(g.get(ask("hottest_c", "")), http.StatusUnprocessableEntity, "say how hot it gets")
	g.wants(g.get(ask("overlap_mm", "-3")), http.StatusUnprocessableEntity, "the overlap", "-3 mm is impossible")
	g.wants(g.get(ask("kind", "chewing gum")), http.StatusUnprocessableEntity, "chewing gum")
}

// Lists filter, and the sheet leaves out what is proven.
func TestJointListAndSheet(t *testing.T) {
	g := newSurveyRig(t)
	id, page := g.fasten()
	g.fasten(func(j *rebuild.Joint) {
		j.Title, j.Zone, j.Safety = "Undertray screws", "underside", rebuild.SafetyNone
	})
	g.wants(g.get(g.path("/joints?zone=underside")), 200, "Undertray screws", "!/joints/"+fmt.Sprint(id)+`"`)
	g.wants(g.get(g.path("/joints?state=check")), 200, "None is like that")
	g.wants(g.get(g.path("/joints/sheet")), 200, "Caliper bracket", "Undertray screws", "115\u00a0N·m")
	g.wants(g.get(g.path("/joints/sheet?zone=underside")), 200, "Undertray screws", "!<strong>Caliper bracket")
	tool := g.wrench()
	g.wants(g.post(page+"/tighten", g.jointForm(id, "step", "1", "torque", "115", "who", "Kim", "tool", fmt.Sprint(tool))), http.StatusSeeOther)
	g.wants(g.get(g.path("/joints?state=check")), 200, "Caliper bracket", "1 only wants")
	g.wants(g.post(page+"/check", g.jointForm(id, "second_by", "Robin")), http.StatusSeeOther)
	g.wants(g.get(g.path("/joints/sheet")), 200, "!<strong>Caliper bracket")
	g.wants(g.get(g.path("/joints/sheet?all=1")), 200, "<strong>Caliper bracket")
}

// Extreme and hostile words do no harm, and are shown as they were typed.
func TestJointExtremeWords(t *testing.T) {
	g := newSurveyRig(t)
	nasty := `<b>"'&` + strings.Repeat("é", 100)
	fields := url.Values{"title": {nasty}, "safety": {"none"}, "count": {"1"}, "locking": {"none"}, "thread": {"M8 <i>"}, "torque": {"1.234,5"}, "source_where": {nasty[:100]}, "note": {strings.Repeat("long ", 700)}}
	g.wants(g.post(g.path("/joints"), fields), http.StatusSeeOther)
	j := g.now().Joints[0]
	if j.Title != nasty || j.TorqueNm != 1234.5 {
		t.Errorf("kept %q, %v", j.Title, j.TorqueNm)
	}
	w := g.get(g.path(fmt.Sprintf("/joints/%d", j.ID)))
	g.wants(w, 200, "&lt;b&gt;", "!<b>")
	for _, bad := range []url.Values{
		{"title": {""}},
		{"title": {"x"}, "count": {"0"}},
		{"title": {"x"}, "count": {"1"}, "torque": {"9999999"}},
		{"title": {"x"}, "passes": {"40; many"}},
		{"title": {"x"}, "count": {"1"}, "friction": {"0.9"}},
		{"title": {"x"}, "jobs": {"none"}},
		{"title": {"x"}, "count": {"1"}, "jobs": {"424242"}},
		{"title": {strings.Repeat("x", 999)}, "count": {"1"}},
	} {
		for name, v := range map[string]string{"safety": "none", "locking": "none"} {
			if !bad.Has(name) {
				bad.Set(name, v)
			}
		}
		g.wants(g.post(g.path("/joints"), bad), http.StatusUnprocessableEntity, "Not saved yet")
	}
	for _, path := range []string{"/joints/99999", "/joints/x", "/tools/99999", "/joints/99999/tighten"} {
		g.wants(g.get(g.path(path)), http.StatusNotFound)
	}
	edit := url.Values{"title": {"Mine"}, "rev": {"7"}, "count": {"1"}, "safety": {"none"}, "locking": {"none"}}
	g.wants(g.post(g.path(fmt.Sprintf("/joints/%d", j.ID)), edit), http.StatusConflict, "Mine")
	g.wants(g.post(g.path(fmt.Sprintf("/joints/%d/tighten", j.ID)), url.Values{"rev": {"7"}, "step": {"1"}, "torque": {"50"}, "who": {"Kim"}}), http.StatusConflict)
	g.wants(g.post(g.path(fmt.Sprintf("/joints/%d/delete", j.ID)), g.jointForm(j.ID)), http.StatusSeeOther)
	g.wants(g.post(g.path(fmt.Sprintf("/joints/%d", j.ID)), edit), http.StatusConflict)
}

// The tools of another car are offered once each, the latest calibration of a name.
func TestToolsOfOtherCars(t *testing.T) {
	g := newSurveyRig(t)
	first := g.id
	g.wrench()
	other, err := g.book.Start(t.Context(), byKim, rebuild.Car{Name: "Dipper", Jurisdiction: "UK", DistanceUnit: "mi", Currency: "GBP", Correlation: 0.25})
	if err != nil {
		t.Fatal(err)
	}
	g.id = other.ID
	g.wants(g.get(g.path("/tools")), 200, "Of your other cars", "Click wrench", "Norvane Skua")
	take := url.Values{"from": {fmt.Sprint(first)}, "tool": {fmt.Sprint(firstTool(g, first))}}
	g.wants(g.post(g.path("/tools"), take), http.StatusSeeOther)
	if tools := g.now().Tools; len(tools) != 1 || tools[0].CalibratedOn != "2026-01-10" {
		t.Errorf("taken over: %+v", tools)
	}
	g.wants(g.get(g.path("/tools")), 200, "!Of your other cars")
	g.wants(g.post(g.path("/tools"), url.Values{"from": {"x"}, "tool": {"1"}}), http.StatusBadRequest)
	g.wants(g.post(g.path("/tools"), url.Values{"from": {fmt.Sprint(first)}, "tool": {"424242"}}), http.StatusNotFound)
}

func firstTool(g *surveyRig, of int64) int64 {
	rb, err := g.book.Load(g.t.Context(), of)
	if err != nil {
		g.t.Fatal(err)
	}
	return rb.Tools[0].ID
}

func TestStarDrawing(t *testing.T) {
	d := newStar([]int{1, 3, 5, 2, 4})
	var orders []int
	for _, s := range d.Studs {
		orders = append(orders, s.Order)
	}
	if !slices.Equal(orders, []int{1, 2, 3, 4, 5}) || d.Studs[0].Y != 16 || d.Studs[0].X != 50 || len(d.Lines) != 4 {
		t.Errorf("drawn %+v", d)
	}
	if newStar(nil) != nil {
		t.Error("no order is drawn")
	}
}
