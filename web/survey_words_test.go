package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"

	"wreckwright/workshop"
)

// A reading stands as it was taken, is taken as pages write it, and can be reached
// however long ago it was.
func TestReadingsAsTheyWereTaken(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("short")
	has(t, g.reads(at, "distance", "L1", "L4", "1 022.5", 0), "1\u202f022.5 mm")
	for i := range 8 {
		g.reads(at, "distance", "L2", "R2", []string{"841", "841.5"}[i%2], 1+i)
	}
	b := g.surveyNow()
	if b.Readings[0].Mm != 1022.5 {
		t.Fatalf("taken as %g", b.Readings[0].Mm)
	}
	page := g.get(at + "/measure").Body.String()
	has(t, page, "All earlier readings, 3", `name="at" value="0"`)
	g.wants(g.post(at+"/measure", url.Values{"do": {"add"}, "kind": {"distance"}, "from": {"L1"}, "to": {"R1"}, "mm": {"962 971"}, "request": {"two"}, "n": {"20"}}), http.StatusUnprocessableEntity)
	for _, c := range []struct{ typed, plain string }{
		{"1 022.5", "1022.5"},
		{"−12\u202f022,5", "−12022,5"},
		{"962 97", "962 97"},
		{"1022 500", "1022 500"},
	} {
		if got := withoutGaps(c.typed); got != c.plain {
			t.Errorf("%q is taken as %q", c.typed, got)
		}
	}
}

// What is off and how many doubts that is have one sign.
func TestOffAndDoubtsHaveOneSign(t *testing.T) {
	said, err := workshop.ExamineSurvey(importedCar(t).JSON())
	if err != nil {
		t.Fatal(err)
	}
	s := newSurveySaid(said, "")
	for _, r := range s.Worst() {
		if strings.HasPrefix(s.Off(r), "+") != strings.HasPrefix(s.InDoubts(r), "+") && s.InDoubts(r) != "−0.0" && s.Off(r) != "−0.0" && s.InDoubts(r) != "+0.0" && s.Off(r) != "+0.0" {
			t.Errorf("%s to %s: off by %s, in doubts %s", r.From, r.To, s.Off(r), s.InDoubts(r))
		}
	}
}

func importedCar(t *testing.T) workshop.BodySurvey {
	t.Helper()
	v := carFiles(t)
	b, err := workshop.BodySurvey{}.ImportSurvey(workshop.SurveyFiles{Distances: v.Get("distances"), Heights: v.Get("heights"), Nominal: v.Get("nominal"), Pairs: v.Get("pairs")})
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// The maker's places may be parted by commas.
func TestPlacesPartedByCommas(t *testing.T) {
	for line, want := range map[string]string{
		"L99, 1, 2, 3":         "L99|1|2|3",
		"L99,741.5,460,441":    "L99|741.5|460|441",
		"L7 741,5 460 441":     "L7|741,5|460|441",
		"L7;741,5;460;441":     "L7|741,5|460|441",
		"L7\t741.5\t460\t441 ": "L7|741.5|460|441",
	} {
		if got := strings.Join(placeCells(line), "|"); got != want {
			t.Errorf("%q: %s", line, got)
		}
	}
}

// A reading that a third put aside stands in the answer.
func TestWhatWasPutAsideStands(t *testing.T) {
	b := importedCar(t)
	first := b.Readings[0]
	for _, off := range []float64{25, 0.5} {
		r := first
		r.Mm += off
		if _, err := b.Add(r); err != nil {
			t.Fatal(err)
		}
	}
	g := newSurveyRig(t)
	at := g.begins("own")
	_ = g.do(g.told(b))
	g.wants(g.get(at), 200, "Put aside: two others of the line contradict it", "Readings put aside by a third")
}

// A name in a list that the survey does not know is asked about, and taken as a new
// point where that is meant.
func TestAMistypedPointIsAskedAbout(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("short")
	lists := url.Values{"rev": {"0"}, "distances": {"from,to,mm\nL1,R1,962\nL1,LL2,481\n"}, "request": {"a"}}
	g.wants(g.post(at+"/files", lists), http.StatusUnprocessableEntity, "distances, line 3: LL2 is no point of this survey; did you mean L2?", "L1,LL2,481", `name="new_points"`)
	if b := g.surveyNow(); len(b.Points) != 18 || len(b.Readings) != 0 {
		t.Errorf("%d points, %d readings", len(b.Points), len(b.Readings))
	}
	lists.Set("distances", "from,to,mm\nL1,M1,700\n")
	lists.Set("new_points", "1")
	g.wants(g.post(at+"/files", lists), http.StatusSeeOther)
	if b := g.surveyNow(); b.Point("M1") == nil || len(b.Readings) != 1 {
		t.Error("a new point is not taken")
	}
}

// A survey that was kept is begun once more with its points and the maker's places
// and no reading; only surveys of the same points are offered to be compared.
func TestASurveyIsMeasuredOnceMore(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("own")
	g.do(g.told(importedCar(t)))
	g.wants(g.post(at+"/keep", url.Values{"request": {"k"}, "title": {"As bought"}, "on": {"2026-05-01"}}), http.StatusSeeOther)
	e := g.now().Evidence[0]
	link := g.path("/bench/survey?from=" + itoa(e.ID))
	g.wants(g.get(g.path("/bench/evidence/"+itoa(e.ID))), 200, "Measure it once more", link)
	g.wants(g.get(link), 200, "Once more as in As bought")
	g.sound(link)
	g.wants(g.post(g.path("/bench/survey"), url.Values{"kind": {"again"}, "from": {itoa(e.ID)}, "request": {"again"}}), http.StatusSeeOther)
	was := importedCar(t)
	b, err := workshop.ReadBodySurvey(g.now().Sheets[1].Told)
	if err != nil || len(b.Points) != len(was.Points) || len(b.Readings) != 0 || b.Points[0].Nominal == nil || b.Points[0].Mirror != was.Points[0].Mirror {
		t.Errorf("%v: %d points, %d readings", err, len(b.Points), len(b.Readings))
	}
	other := was
	for i := range other.Points {
		other.Points[i].ID = "X" + other.Points[i].ID
		if m := other.Points[i].Mirror; m != "" {
			other.Points[i].Mirror = "X" + m
		}
	}
	for i := range other.Readings {
		for _, end := range []*string{&other.Readings[i].From, &other.Readings[i].To} {
			if *end != "" {
				*end = "X" + *end
			}
		}
	}
	g.do(g.told(other))
	g.wants(g.post(at+"/keep", url.Values{"request": {"o"}, "title": {"Other points"}, "on": {"2026-05-02"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/bench/survey")), 200, "Other points", "!Before and after a pull</h2>")
	g.do(g.told(importedCar(t)))
	g.wants(g.post(at+"/keep", url.Values{"request": {"p"}, "title": {"As bought, again"}, "on": {"2026-05-01"}}), http.StatusSeeOther)
	g.wants(g.get(g.path("/bench/survey")), 200, "Before and after a pull</h2>")
}

// The doubt that is entered acts on readings from lists where that is asked for.
func TestTheDoubtActsOnImportedRows(t *testing.T) {
	g := newSurveyRig(t)
	at := g.begins("own")
	b := importedCar(t)
	for i := range b.Readings {
		b.Readings[i].SDMm = 1
	}
	g.do(g.told(b))
	g.wants(g.get(at), 200, "readings keep the doubt of the list they came with")
	g.wants(g.post(at, url.Values{"rev": {"1"}, "title": {"T"}, "tape_sd_mm": {"2"}, "heights": {"plane"}, "all_rows": {"1"}, "request": {"t"}}), http.StatusSeeOther)
	c := g.surveyNow().Case()
	if c.Distances[0].SDMm != 2 {
		t.Errorf("doubt %g", c.Distances[0].SDMm)
	}
	g.wants(g.get(at), 200, "!keep the doubt of the list")
}
