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
