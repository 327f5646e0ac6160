package web

import (
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/workshop"
)

// begins starts a survey and gives its address.
func (g *surveyRig) begins(kind string) string {
	g.t.Helper()
	w := g.post(g.path("/bench/survey"), url.Values{"kind": {kind}, "request": {fmt.Sprint("begin ", len(g.now().Sheets))}})
	g.wants(w, http.StatusSeeOther)
	to, _, _ := strings.Cut(w.Header().Get("Location"), "?")
	return to[:strings.LastIndexByte(to, '/')]
}

// reads sends one reading and follows the redirect.
func (g *surveyRig) reads(at, kind, from, to, mm string, n int) string {
	g.t.Helper()
	w := g.post(at+"/measure", url.Values{"do": {"add"}, "kind": {kind}, "from": {from}, "to": {to}, "mm": {mm}, "n": {strconv.Itoa(n)}, "request": {"reading"}})
	g.wants(w, http.StatusSeeOther)
	return g.get(w.Header().Get("Location")).Body.String()
}

func (g *surveyRig) surveyNow() workshop.BodySurvey {
	g.t.Helper()
	b, err := workshop.ReadBodySurvey(g.now().Sheets[0].Told)
	if err != nil {
		g.t.Fatal(err)
	}
	return b
}

// sound checks how pages are built.
func (g *surveyRig) sound(paths ...string) {
	g.t.Helper()
	for _, path := range paths {
		w := g.get(path)
		if w.Code != http.StatusOK {
			g.t.Errorf("%s: %d", path, w.Code)
			continue
		}
		for _, fault := range checkStructure(w.Body.String()) {
			g.t.Errorf("%s: %s", path, fault)
		}
	}
}

// Five lines by hand without script: each twice, then a verdict, kept as evidence
// that is worked out again.
func TestFiveLinesWithoutScript(t *testing.T) {
	g := newSurveyRig(t)
	g.wants(g.get(g.path("/bench")), 200, "Body survey")
	at := g.begins("quick")
	g.wants(g.get(at), 200, "No verdict yet", "There is no reading yet.")
	lines := [][2]string{{"cross-front", "840"}, {"diagonal-from-left", "2815"}, {"diagonal-from-right", "2801"}, {"cross-middle", "1460"}, {"cross-rear", "1060"}}
	for round := range 2 {
		for i, l := range lines {
			page := g.reads(at, "distance", l[0], "", l[1], 5*round+i)
			if round == 0 && i == 0 {
				has(t, page, "Front left to rear right", "1 of 10 readings", "Take back the last")
			}
		}
	}
	g.wants(g.get(at+"/measure"), 200, "All of the list is read")
	g.wants(g.get(at), 200, "Fail", "14.0 mm longer", "What five lines cannot see", "licensed")
	g.sound(at, at+"/measure", at+"/tape", g.path("/bench/survey"))
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Front-left rail", Zone: "front-left-corner", State: rebuild.JobOpen, Safety: rebuild.SafetyStructure})
	})
	straight := g.begins("quick")
	for i, l := range lines {
		for round := range 2 {
			mm := strings.Replace(l[1], "2815", "2801", 1)
			g.wants(g.post(straight+"/measure", url.Values{"do": {"add"}, "kind": {"distance"}, "from": {l[0]}, "mm": {mm}, "n": {itoa(int64(2*i + round))}, "request": {"straight"}}), http.StatusSeeOther)
		}
	}
	g.wants(g.post(straight+"/keep", url.Values{"request": {"proof"}, "job": {itoa(job)}, "phase": {"after"}}), http.StatusUnprocessableEntity, "Not kept yet", "five lines are no proof")
	g.wants(g.post(straight+"/keep", url.Values{"request": {"loose"}, "phase": {"after"}}), http.StatusSeeOther)
	loose := g.now().Evidence[0]
	g.wants(g.post(g.path("/bench/evidence/"+itoa(loose.ID)), url.Values{"request": {"moved"}, "rev": {"0"}, "title": {loose.Title}, "on": {loose.On}, "job": {itoa(job)}, "phase": {"after"}}),
		http.StatusUnprocessableEntity, "five lines are no proof", "!proves its job")
	w := g.post(at+"/keep", url.Values{"request": {"keep"}, "title": {"Diagonals, as bought"}})
	g.wants(w, http.StatusSeeOther)
	g.wants(g.get(w.Header().Get("Location")), 200, "Diagonals, as bought", "Fail", "What five lines cannot see", "survey.json")
	g.wants(g.get(g.path("/bench/survey")), 200, "Diagonals, as bought", "Being measured")
}

// carFiles are the lists of the body that the engine is tested with.
func carFiles(t *testing.T) url.Values {
	t.Helper()
	v := url.Values{"rev": {"0"}, "nominal_from": {"invented for the test"}}
	for field, name := range map[string]string{"distances": "car1_dist.csv", "heights": "car1_heights.csv", "nominal": "car1_nominal.csv", "pairs": "car1_pairs.csv"} {
		text, err := os.ReadFile(filepath.Join("..", "bench", "survey", "testdata", name))
		if err != nil {
			t.Fatal(err)
		}
		v.Set(field, string(text))
	}
	return v
}

// Lists come in, the answer is drawn, kept, compared with the survey before; the
// lists go out as they came.
func TestABodyFromListsToEvidence(t *testing.T) {
	g := newSurveyRig(t)
	job := g.do(func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		return rb.AddJob(rebuild.Job{Title: "Front-left rail", Zone: "front-left-corner", State: rebuild.JobOpen, Safety: rebuild.SafetyStructure})
	})
	at := g.begins("own")
	g.wants(g.get(at+"/points"), 200, "take lists in from files")
	w := g.post(at+"/files", carFiles(t))
	g.wants(w, http.StatusSeeOther)
	again := carFiles(t)
	again.Set("request", "other")
	g.wants(g.post(at+"/files", again), http.StatusConflict)
	g.wants(g.get(at), 200, "Fail", "L01 (front-left) has gone forward 6, in 9 and up 4 mm", "fig-body-strong", "fig-body-doubt", "50 times as long",
		"L06 to R07", "12.3 mm too long", "Measure it again", "invented for the test", "Nothing checks the height of L01", "maker&#39;s lifting points")
	g.sound(at, at+"/measure", at+"/points", at+"/points?point=L01", at+"/tape", at+"/files")
	kept := []string{}
	for _, phase := range []string{"before", "after"} {
		w := g.post(at+"/keep", url.Values{"request": {phase}, "job": {itoa(job)}, "phase": {phase}, "on": {"2026-05-0" + map[string]string{"before": "1", "after": "3"}[phase]}})
		g.wants(w, http.StatusSeeOther)
		kept = append(kept, w.Header().Get("Location"))
	}
	g.wants(g.get(kept[1]), 200, "Largest displacement", "fig-body-strong", "Hold it against the survey before", "SHA-256", "Before and after")
	g.sound(kept[1])
	e := g.now().Evidence
	compare := g.path("/bench/survey/compare?before=" + itoa(e[0].ID) + "&after=" + itoa(e[1].ID))
	g.wants(g.get(compare), 200, "Still not within tolerance", "L01", "Where the points went")
	g.sound(compare, g.path("/bench/survey/compare"))
	out := g.get(at + "/files/distances.csv")
	g.wants(out, 200, "from,to,mm,sd", "L06,R07,")
	if kind := out.Header().Get("Content-Type"); !strings.HasPrefix(kind, "text/csv") {
		t.Errorf("given out as %s", kind)
	}
	g.wants(g.get(at+"/files/other.csv"), 404)
	anew, err := g.server.workshop.SurveyAt(t.Context(), &e[0])
	if err != nil || anew.Why != e[0].Why || anew.Verdict != e[0].Verdict {
		t.Errorf("worked out again: %v %s", err, anew.Why)
	}
}

// A reading that differs is asked for a third time; what is typed wrong comes back.
func TestReadingsOneByOne(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("short")
	has(t, g.get(at+"/measure").Body.String(), "L1", "Reads, mm", "0 of 111 readings", "0 of 18</strong> points")
	has(t, g.reads(at, "distance", "L1", "R1", "962", 0), "1 of 111 readings")
	has(t, g.reads(at, "distance", "R1", "L1", "972", 1), "was read 962 and 972 mm. That is too far apart: read it once more", "Reading 3 of this line")
	has(t, g.reads(at, "distance", "L1", "R1", "971", 2), "set aside")
	has(t, g.reads(at, "height", "L1", "", "431", 3), "Height of L1")
	for _, c := range []struct{ from, to, mm, says string }{
		{"L1", "X9", "500", "X9 is no point of this survey; expected one of L1, R1"},
		{"L1", "L1", "500", "L1 to itself"},
		{"L1", "R2", "-5", "L1 to R2: -5 mm; expected above 0"},
		{"L1", "R2", "12x", "&#34;12x&#34; is not a number"},
		{"L1", "R2", "", "type the reading first"},
	} {
		w := g.post(at+"/measure", url.Values{"do": {"add"}, "kind": {"distance"}, "from": {c.from}, "to": {c.to}, "mm": {c.mm}, "request": {"wrong"}})
		g.wants(w, http.StatusUnprocessableEntity, c.says, `id="mm" name="mm" value="`+c.mm+`"`)
		for _, fault := range checkStructure(w.Body.String()) {
			t.Errorf("%q: %s", c.says, fault)
		}
	}
	g.wants(g.post(at+"/measure", url.Values{"do": {"skip"}, "kind": {"distance"}, "from": {"L1"}, "to": {"L2"}, "request": {"skip"}}), http.StatusSeeOther)
	if b := g.surveyNow(); len(b.Readings) != 4 || len(b.Skipped) != 1 {
		t.Errorf("%d readings, %d skipped", len(b.Readings), len(b.Skipped))
	}
	g.wants(g.post(at+"/measure", url.Values{"do": {"undo"}, "request": {"undo"}}), http.StatusSeeOther)
	g.wants(g.post(at+"/measure", url.Values{"do": {"drop"}, "at": {"0"}, "mm": {"5"}, "request": {"drop"}}), http.StatusUnprocessableEntity, "not there any more")
	g.wants(g.post(at+"/measure", url.Values{"do": {"drop"}, "at": {"0"}, "mm": {"962"}, "request": {"drop"}}), http.StatusSeeOther)
	if b := g.surveyNow(); len(b.Readings) != 2 {
		t.Errorf("%d readings", len(b.Readings))
	}
	g.wants(g.get(at), 200, "No verdict yet", "has distances to 1 point only")
	g.wants(g.post(at+"/keep", url.Values{"request": {"keep"}}), http.StatusUnprocessableEntity, "Not kept yet", "has distances to 1 point only")
}

// The same reading sent twice counts once; the same value read again counts twice.
func TestAReadingSentTwiceCountsOnce(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("short")
	for range 2 {
		g.reads(at, "distance", "L1", "R1", "962", 0)
	}
	g.reads(at, "distance", "L1", "R1", "962", 1)
	if b := g.surveyNow(); len(b.Readings) != 2 {
		t.Errorf("%d readings", len(b.Readings))
	}
}

// Points are added with their mirror, changed, taken out; the maker's places come
// with their source. What was changed meanwhile is noticed.
func TestPointsOfASurvey(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("own")
	add := func(rev, id, x, y, z string) *url.Values {
		return &url.Values{"rev": {rev}, "id": {id}, "x": {x}, "y": {y}, "z": {z}, "pair": {"1"}, "request": {id + rev}}
	}
	g.wants(g.post(at+"/points", *add("0", "L1", "740", "480", "430")), http.StatusSeeOther)
	if b := g.surveyNow(); len(b.Points) != 2 || b.Points[0].Mirror != "R1" || b.Points[1].At.YMm != -480 {
		t.Fatalf("%+v", b.Points)
	}
	g.wants(g.post(at+"/points", *add("0", "L2", "330", "420", "230")), http.StatusConflict, "L2")
	g.wants(g.post(at+"/points", *add("1", "L1", "330", "420", "230")), http.StatusUnprocessableEntity, "L1 stands there twice", `value="330"`)
	g.wants(g.post(at+"/points", *add("1", "L 2", "330", "420", "230")), http.StatusUnprocessableEntity, "is no name of a point")
	g.wants(g.post(at+"/points", *add("1", "L2", "330", "0", "230")), http.StatusUnprocessableEntity, "lies in the middle")
	g.wants(g.post(at+"/points", *add("1", "L2", "3x", "420", "230")), http.StatusUnprocessableEntity, "is not a number")
	g.wants(g.post(at+"/points", *add("1", "L2", "330", "420", "230")), http.StatusSeeOther)
	makers := url.Values{"do": {"makers"}, "rev": {"2"}, "places": {"L1 741 481 431\nR1 741 -481 431"}, "request": {"m"}}
	g.wants(g.post(at+"/points", makers), http.StatusUnprocessableEntity, "say where the places are from", "L1 741 481 431")
	makers.Set("nominal_from", "own drawing")
	makers.Set("places", "L1 741 481\nX1 1 2 3")
	g.wants(g.post(at+"/points", makers), http.StatusUnprocessableEntity, "line 1: 3 words")
	makers.Set("places", "X1 1 2 3")
	g.wants(g.post(at+"/points", makers), http.StatusUnprocessableEntity, "X1 is no point of this survey")
	makers.Set("places", "L1 741 481 431")
	g.wants(g.post(at+"/points", makers), http.StatusSeeOther)
	g.reads(at, "distance", "L1", "R1", "962", 0)
	rename := url.Values{"rev": {"4"}, "old": {"L1"}, "id": {"FL"}, "x": {"741"}, "y": {"481"}, "z": {"431"}, "mirror": {"R1"}, "request": {"r"}}
	g.wants(g.post(at+"/points", rename), http.StatusSeeOther)
	if b := g.surveyNow(); b.Readings[0].From != "FL" || b.Point("FL").Nominal == nil || b.Twin("R1") != "FL" {
		t.Errorf("%+v", b)
	}
	remove := url.Values{"do": {"remove"}, "rev": {"5"}, "old": {"FL"}, "request": {"x"}}
	g.wants(g.post(at+"/points", remove), http.StatusUnprocessableEntity, "1 readings go to FL")
	remove.Set("old", "R2")
	g.wants(g.post(at+"/points", remove), http.StatusSeeOther)
}

func TestWhatASurveyIsTold(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("short")
	told := url.Values{"rev": {"0"}, "title": {"Front end"}, "tolerance_mm": {"2"}, "tape_sd_mm": {"0,7"}, "reach_mm": {"100"}, "heights": {"none"}, "request": {"t"}}
	g.wants(g.post(at, told), http.StatusUnprocessableEntity, "the reach of the tape: 100 mm; expected 300 to 50000 mm", `value="0,7"`)
	told.Set("reach_mm", "2500")
	told.Set("tape_sd_mm", "0.7")
	g.wants(g.post(at, told), http.StatusSeeOther)
	b := g.surveyNow()
	if b.ToleranceMm != 2 || b.TapeSDMm != 0.7 || b.ReachMm != 2500 || b.Heights != workshop.HeightsByNone || g.now().Sheets[0].Title != "Front end" {
		t.Errorf("%+v", b)
	}
	told.Set("request", "u")
	told.Set("tolerance_mm", "4")
	g.wants(g.post(at, told), http.StatusConflict, "Front end", "!&#34;points&#34;", `!{"points`)
	g.wants(g.post(at+"/delete", url.Values{"rev": {"1"}, "request": {"d"}}), http.StatusSeeOther)
	g.wants(g.get(at), 404)
	g.wants(g.get(g.path("/bench/survey/99/measure")), 404)
	g.wants(g.post(g.path("/bench/survey"), url.Values{"kind": {"by eye"}}), http.StatusUnprocessableEntity, "choose how it is measured")
}

// told puts a survey onto the first sheet.
func (g *surveyRig) told(b workshop.BodySurvey) func(*rebuild.Rebuild) (rebuild.Change, error) {
	return func(rb *rebuild.Rebuild) (rebuild.Change, error) {
		sheet := rb.Sheets[0]
		sheet.Told = b.JSON()
		return rb.EditSheet(sheet)
	}
}
