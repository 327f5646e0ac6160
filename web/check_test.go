package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/knowledge"
	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// A run-out taken by hand without any script: one reading after another, taken
// back, kept, held against the one after the work.
func TestRunOutIsMeasuredWithoutScript(t *testing.T) {
	g := newSurveyRig(t)
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Front discs", Zone: "front-left-corner", State: rebuild.JobOpen, Safety: rebuild.SafetyBrake})
	})
	at := g.path("/bench/check/disc-run-out")
	g.wants(g.get(g.path("/bench")), 200, "Measure against a limit", "Fault codes and live values")
	g.wants(g.get(at), 200, "Dial gauge on", "dial gauge with stand", "No verdict yet", "Fitted: at most 0.1 mm", "Caution.")
	form := url.Values{"limit": {"0"}, "instrument_limit": {"0.01"}}
	ask := func(more ...string) string {
		f := url.Values{}
		for k, v := range form {
			f[k] = v
		}
		for i := 0; i+1 < len(more); i += 2 {
			f.Set(more[i], more[i+1])
		}
		w := g.post(at, f)
		if w.Code != http.StatusOK {
			t.Fatalf("%d %s", w.Code, w.Body)
		}
		return w.Body.String()
	}
	page := ask("do", "add", "reading", "0.13")
	has(t, page, ">0.13</li>", "Fail", "line-guard")
	page = ask("do", "add", "taken", "0.13", "reading", "0.14")
	has(t, page, ">0.13</li><li>0.14</li>")
	page = ask("do", "undo", "taken", "0.13\n0.14")
	has(t, page, ">0.13</li></ol>")
	has(t, ask("do", "look", "taken", "0.095\n0.1\n0.09"), "Cannot tell", "What would decide it")
	for phase, readings := range map[string]string{"before": "0.13\n0.14\n0.13", "after": "0.04\n0.05\n0.04"} {
		w := g.post(at, url.Values{
			"limit": {"0"}, "instrument_limit": {"0.01"}, "do": {"keep"}, "taken": {readings}, "which": {"left"},
			"job": {itoa(job)}, "phase": {phase}, "request": {phase},
		})
		g.wants(w, http.StatusSeeOther)
		g.wants(g.get(w.Header().Get("Location")), 200, "Run-out of a fitted brake disc, left", "SHA-256", "Measure it once more")
	}
	rb := g.now()
	if len(rb.Evidence) != 2 {
		t.Fatalf("%d measurements", len(rb.Evidence))
	}
	for i := range rb.Evidence {
		e := &rb.Evidence[i]
		again, err := g.server.workshop.CheckOf(t.Context(), e)
		if err != nil || again.Verdict != e.Verdict || again.Why != e.Why {
			t.Errorf("%+v worked out anew gives %v %q, %v", e, again.Verdict, again.Why, err)
		}
		if (e.Phase == rebuild.PhaseAfter) != e.Proves() {
			t.Errorf("%s proves: %v", e.Phase, e.Proves())
		}
		if e.Phase == rebuild.PhaseAfter {
			g.wants(g.get(g.path("/bench/evidence/"+itoa(e.ID))), 200, "Before and after", "proves its job")
		}
	}
	g.wants(g.get(at), 200, `value="0.01"`)
}

// What is refused comes back as typed; sent twice it counts once.
func TestCheckRefusesAndCountsOnce(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/check/tyre-tread")
	g.wants(g.get(g.path("/bench/check/nothing")), 404)
	g.wants(g.post(at, url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "do": {"add"}, "reading": {"3 mm"}}), 422, "is not a number", `value="3 mm"`)
	g.wants(g.post(at, url.Values{"limit": {"0"}, "do": {"add"}, "reading": {"3"}}), 422, "Say how far off the instrument may be")
	g.wants(g.post(at, url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "lower": {"3"}, "do": {"add"}, "reading": {"3.4"}}), 422, "say where the limit is from")
	g.wants(g.post(at, url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "do": {"keep"}}), 422, "there is no reading yet", "Not kept yet")
	g.wants(g.post(at, url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "do": {"look"}, "taken": {"3 4 5"}}), 422, "one number or several?")
	f := url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "do": {"keep"}, "taken": {"1.2"}, "reading": {"1.15"}, "request": {"once"}}
	for range 2 {
		g.wants(g.post(at, f), http.StatusSeeOther)
	}
	rb := g.now()
	if len(rb.Evidence) != 1 || rb.Evidence[0].Verdict != rebuild.VerdictFail {
		t.Errorf("%+v", rb.Evidence)
	}
	g.wants(g.post(g.path("/undo"), url.Values{"record": {"2"}}), http.StatusSeeOther)
}

// Script asks for the part that says what it comes to; the list stays its own.
func TestCheckAnswersTheScript(t *testing.T) {
	g := newSurveyRig(t)
	r := strings.NewReader(url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "do": {"undo"}, "taken": {"5.1\n5.2"}}.Encode())
	w := g.script(g.path("/bench/check/tyre-tread"), r)
	g.wants(w, 200, `id="check-live"`, "5.2</li>", "Pass")
	if strings.Contains(w.Body.String(), "<html") {
		t.Error("a whole page came")
	}
	w = g.script(g.path("/bench/check/tyre-tread"), strings.NewReader(url.Values{"taken": {"x"}}.Encode()))
	g.wants(w, 200, `id="check-live"`, "is not a number")
}

// Figures as they are written where the reader lives.
func TestReadingsAreReadAsWritten(t *testing.T) {
	for _, c := range []struct {
		text  string
		comma bool
		want  float64
	}{
		{"27,982", true, 27.982}, {"27,982", false, 27982}, {"27.982", true, 27.982}, {"0,12", false, 0.12}, {"-0.5", false, -0.5}, {" 12 ", true, 12},
	} {
		got, err := readingText{c.comma}.number(c.text)
		if err != nil || got != c.want {
			t.Errorf("%q, comma %v: %v, %v; want %v", c.text, c.comma, got, err, c.want)
		}
	}
	for _, text := range []string{"", "1 2", "12 500", "1,2,3", "x", "1e5", "NaN", "∞"} {
		if got, err := (readingText{}).number(text); err == nil {
			t.Errorf("%q gives %v", text, got)
		}
	}
}

// Each quantity opens, and says something of plausible readings, in every place.
func TestEveryQuantityHasAPage(t *testing.T) {
	g := newSurveyRig(t)
	for _, c := range knowledge.Checks() {
		at := g.path("/bench/check/" + c.Key)
		g.wants(g.get(at), 200, "How")
		two := func(part string) string {
			p, _ := c.Plausible.Of(part)
			v := p.Low + 0.1*(p.High-p.Low)
			return trimNumber(v) + "; " + trimNumber(1.02*v)
		}
		f := url.Values{"do": {"look"}, "instrument_limit": {"0.1"}, "taken": {strings.Replace(two(""), "; ", "\n", 1)}, "temperature_c": {"15"}, "rim_mm": {"370"}, "effort_unit": {"N"}}
		if len(c.Limits) > 0 {
			f.Set("limit", "0")
		} else {
			f.Set("lower", "1")
			f.Set("limit_from", "the maker")
		}
		for _, p := range c.Parts {
			field := strings.ReplaceAll(p, " ", "_")
			f.Set("part."+field, two(p))
			f.Set("limit."+field, "0.1")
		}
		switch c.Form {
		case "wear":
			f.Set("taken", "1000: 8\n2000: 7\n3000: 6.1")
		case "tyre_age":
			f.Set("taken", "2319")
		}
		page := g.post(at, f)
		g.wants(page, 200, "verdict-big")
		for _, fault := range checkStructure(page.Body.String()) {
			t.Errorf("%s: %s", c.Key, fault)
		}
	}
}

// A quantity of one's own, in each way of working it out.
func TestOwnQuantity(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/check/own")
	g.wants(g.get(at+"?form=difference"), 200, "First", "Second")
	f := url.Values{"own_name": {"Door gap"}, "own_unit": {"mm"}, "part.first": {"4.1; 4.2"}, "part.second": {"3.9"}, "instrument_limit": {"0.1"}, "upper": {"1"}, "limit_from": {"own estimate"}, "do": {"look"}}
	g.wants(g.post(at+"?form=difference", f), 200, "Pass")
	f.Set("do", "keep")
	g.wants(g.post(at+"?form=difference", f), http.StatusSeeOther)
	f.Set("own_name", "")
	g.wants(g.post(at+"?form=difference", f), 422, "say what is measured")
	if e := g.now().Evidence[0]; e.Title != "Door gap" || e.Figures[0].Unit != "mm" {
		t.Errorf("%+v", e)
	}
}

// Extreme words and figures neither break the page nor the book.
func TestCheckBearsExtremes(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/check/own")
	long := strings.Repeat("W", 80)
	f := url.Values{"own_name": {long}, "own_unit": {"<b>&"}, "taken": {"-1000000000000\n1000000000000"}, "instrument_limit": {"0"}, "lower": {"-0.000000001"}, "limit_from": {strings.Repeat("é", 200)}, "which": {strings.Repeat("ß", 60)}, "do": {"keep"}}
	w := g.post(at, f)
	g.wants(w, http.StatusSeeOther)
	page := g.get(w.Header().Get("Location"))
	g.wants(page, 200, "&lt;b&gt;&amp;")
	f.Set("own_name", long+"W")
	g.wants(g.post(at, f), 422, "at most 80 fit")
	f.Set("own_name", long)
	f.Set("taken", strings.Repeat("1\n", 501))
	g.wants(g.post(at, f), 422, "more than 500 readings")
	f.Set("taken", "1"+strings.Repeat("0", 400))
	g.wants(g.post(at, f), 422)
}

// A slip of the key is refused with what was probably meant; ticked it is kept, and
// the doubt with it; what nothing can read is never kept.
func TestASlipOfTheKeyIsAskedAbout(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/check/disc-thickness")
	form := func(taken string, more ...string) url.Values {
		f := url.Values{"lower": {"24.3"}, "limit_from": {"cast on the hat"}, "instrument_limit": {"0.01"}, "do": {"keep"}, "taken": {taken}, "request": {"slip" + taken}}
		for i := 0; i+1 < len(more); i += 2 {
			f[more[i]] = append(f[more[i]], more[i+1])
		}
		return f
	}
	g.wants(g.post(at, form("24.56\n2455\n24.54")), 422, "2455 mm: did you mean 24.55? Expected 3 to 60 mm", "It really reads 2455 mm", ">2455</li>", "Not kept yet", "!verdict-big")
	g.wants(g.post(at, form("24.56\n2455", "really", "=2400")), 422, "did you mean 24.55?")
	g.wants(g.post(at, form("-24.5", "really", "=-24.5")), 422, "nothing reads less than 0 mm here; did you mean 24.5?", "!It really reads")
	if n := len(g.now().Evidence); n != 0 {
		t.Fatalf("%d measurements kept", n)
	}
	w := g.post(at, form("2455", "really", "=2455"))
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "somebody ticked that it really reads that", "2455 mm: did you mean 24.55?")
	e := g.now().Evidence[0]
	if again, err := g.server.workshop.CheckOf(t.Context(), &e); err != nil || again.Why != e.Why || len(again.Settings.Confirmed) != 1 {
		t.Errorf("worked out anew: %q, %v; kept %q", again.Why, err, e.Why)
	}
	brake := g.path("/bench/check/brake-imbalance")
	f := url.Values{"limit": {"0"}, "instrument_limit": {"30"}, "do": {"look"}, "part.left": {"2400; 240"}, "part.right": {"2300"}}
	g.wants(g.post(brake, f), 422, "Left: 240 beside 2400: did you mean 2400?", `value="2400; 240"`)
	r := strings.NewReader(url.Values{"limit": {"0"}, "instrument_limit": {"0.1"}, "taken": {"6.1\n61"}}.Encode())
	g.wants(g.script(g.path("/bench/check/tyre-tread"), r), 200, `id="check-live"`, "did you mean 6.1?", "It really reads 61 mm")
}

// The page of a measurement says in words what it was told, and where it is accepted
// from with as many digits as its picture; a job shows all that was measured before
// and after.
func TestEvidenceInWordsAndAllBeforeAndAfter(t *testing.T) {
	g := newSurveyRig(t)
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Front brakes", Zone: "front-left-corner", State: rebuild.JobOpen, Safety: rebuild.SafetyBrake})
	})
	var last string
	for i, f := range []struct{ quantity, phase, taken string }{
		{"disc-run-out", "before", "0.13"}, {"disc-run-out", "after", "0.04"}, {"disc-thickness", "before", "24.1"}, {"disc-thickness", "after", "25.97; 26.01; 25.9"},
	} {
		w := g.post(g.path("/bench/check/"+f.quantity), url.Values{
			"lower": {map[bool]string{true: "24.3"}[f.quantity == "disc-thickness"]}, "limit": {"0"}, "limit_from": {"cast on the hat"}, "instrument_limit": {"0.1"},
			"do": {"keep"}, "taken": {f.taken}, "job": {itoa(job)}, "phase": {f.phase}, "request": {"r" + itoa(int64(i))},
		})
		g.wants(w, http.StatusSeeOther)
		last = w.Header().Get("Location")
	}
	g.wants(g.get(g.path("/jobs/"+itoa(job))), 200, "Before and after: Run-out of a fitted brake disc", "Before and after: Brake disc thickness")
	page := g.get(last)
	g.wants(page, 200, "Worked out as: the mean of the readings", "Instrument off by at most ±: 0.1", "At least: 24.3", "The limit is for, or from: cast on the hat", "!{&#34;", "!&#34;form&#34;")
	said := g.now().Evidence[3]
	for _, f := range workshop.ShownFigures(&said) {
		if f.Name == "Accepted from" && strings.Count(page.Body.String(), boundText(f.Value)) < 2 {
			t.Errorf("%s stands on the page less than twice: in the table and in the picture", boundText(f.Value))
		}
	}
}

// A part that wears: which way its readings go may be said, and is kept.
func TestWhichWayItWears(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/check/clutch-wear")
	f := url.Values{"do": {"look"}, "instrument_limit": {"0.01"}, "lower": {"3"}, "limit_from": {"the manual"}, "taken": {"0: 2.9\n1000: 2.8\n2000: 2.7\n3000: 2.6"}}
	g.wants(g.post(at, f), 200, "from the first reading on")
	f.Set("wears", "up")
	g.wants(g.post(at, f), 200, "do not go towards")
	f.Set("wears", "sideways")
	g.wants(g.post(at, f), 422, "choose which way it wears", `value="3"`)
	f.Set("wears", "down")
	f.Set("do", "keep")
	f.Set("request", "wear-1")
	g.wants(g.post(at, f), 303)
	g.wants(g.get(at), 200, `<option value="down" selected>`)
}

// A limit that goes by the rim of the steering wheel wants it, and says what it is.
func TestPlayByTheRim(t *testing.T) {
	g := newSurveyRig(t)
	at := g.path("/bench/check/steering-play")
	g.wants(g.get(at), 200, "Diameter of the steering wheel")
	f := url.Values{"do": {"look"}, "limit": {"0"}, "instrument_limit": {"0.5"}, "taken": {"12\n12\n12"}}
	g.wants(g.post(at, f), 422, "the limit goes by it", "12\n12\n12")
	f.Set("rim_mm", "320")
	g.wants(g.post(at, f), 200, "verdict-warn")
	f.Set("rim_mm", "400")
	g.wants(g.post(at, f), 200, "verdict-good")
}
