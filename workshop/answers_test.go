package workshop

import (
	"context"
	"strings"
	"testing"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

func TestSafety(t *testing.T) {
	brake := func(s rebuild.JobState) step {
		return aJob("brake pipe", 20, inState(s), func(j *rebuild.Job) { j.Safety = rebuild.SafetyBrake })
	}
	settling := func(s rebuild.JobState) step {
		return aJob("weld the mount", 20, inState(s), func(j *rebuild.Job) { j.Findings = []int64{1} })
	}
	dismiss := func(r *rebuild.Rebuild) (rebuild.Change, error) {
		f := r.Findings[0]
		f.Dismissed = "a shadow"
		return r.EditFinding(f)
	}
	tests := []struct {
		name    string
		steps   []step
		verdict string
		against int
	}{
		{"an empty book", nil, DriveCannotTell, 0},
		{"an empty book, survey called done", []step{surveyed}, DriveCannotTell, 0},
		{"survey not done", []step{aFinding("scratch", rebuild.Cosmetic, false)}, DriveCannotTell, 0},
		{"a scratch, survey done", []step{aFinding("scratch", rebuild.Cosmetic, false), surveyed}, DriveNothing, 0},
		{"a danger, survey not done", []step{aFinding("cut hose", rebuild.Danger, false)}, DriveNo, 1},
		{"a safety finding dismissed", []step{aFinding("crack", rebuild.Minor, true), dismiss, surveyed}, DriveNothing, 0},
		{"a safety job ahead", []step{brake(rebuild.JobOpen), surveyed}, DriveNo, 1},
		{"a safety job done, not proven", []step{brake(rebuild.JobDone), surveyed}, DriveNo, 1},
		{"a safety job proven", []step{brake(rebuild.JobProven), surveyed}, DriveNothing, 0},
		{"a safety job dropped", []step{brake(rebuild.JobDropped), surveyed}, DriveNothing, 0},
		{"a safety finding planned", []step{aFinding("crack", rebuild.Minor, true), settling(rebuild.JobDoing), surveyed}, DriveNo, 2},
		{"a safety finding settled, not proven", []step{aFinding("crack", rebuild.Minor, true), settling(rebuild.JobDone), surveyed}, DriveNo, 1},
		{"a safety finding settled and proven", []step{aFinding("crack", rebuild.Minor, true), settling(rebuild.JobProven), surveyed}, DriveNothing, 0},
		{"a safety finding whose job was dropped", []step{aFinding("crack", rebuild.Minor, true), settling(rebuild.JobDropped), surveyed}, DriveNo, 1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := safetyOf(stand(t, tt.steps...))
			if s.Verdict != tt.verdict || len(s.Findings)+len(s.Jobs) != tt.against {
				t.Errorf("%s, %d against it; want %s, %d", s.Verdict, len(s.Findings)+len(s.Jobs), tt.verdict, tt.against)
			}
			if a := safeAnswer(s); len(a.Notes) != 1 || !strings.Contains(a.Notes[0], "not an inspection") || a.Tone == Good {
				t.Errorf("%+v", a)
			}
		})
	}
}

func TestFinish(t *testing.T) {
	hours := func(low, likely, high float64) step {
		return aJob("a", 1, func(j *rebuild.Job) { j.Routes[0].Hours = uncertain.Range{Low: low, Likely: likely, High: high} })
	}
	tests := []struct {
		name          string
		steps         []step
		why           string
		p10, p50, p90 string
		chance        float64 // -1: none
	}{
		{"nothing entered", nil, "no job", "", "", "", -1},
		{"no hours a week", []step{hours(7, 14, 28), withCar(func(c *rebuild.Car) { c.HoursPerWeek = 0 })}, "hours a week", "", "", "", -1},
		{"no hours on any job", []step{aJob("a", 1)}, "how many hours", "", "", "", -1},
		{"14 h at 14 a week", []step{hours(14, 14, 14)}, "", "2026-07-07", "2026-07-07", "2026-07-07", -1},
		{"a begun day is a day", []step{hours(14.1, 14.1, 14.1)}, "", "2026-07-08", "2026-07-08", "2026-07-08", -1},
		{"wanted on the very day", []step{hours(14, 14, 14), withCar(func(c *rebuild.Car) { c.WantedBy = "2026-07-07" })}, "", "2026-07-07", "2026-07-07", "2026-07-07", 1},
		{"wanted the day before", []step{hours(14, 14, 14), withCar(func(c *rebuild.Car) { c.WantedBy = "2026-07-06" })}, "", "2026-07-07", "2026-07-07", "2026-07-07", 0},
		{"wanted in the past", []step{hours(14, 14, 14), withCar(func(c *rebuild.Car) { c.WantedBy = "2026-01-01" })}, "", "2026-07-07", "2026-07-07", "2026-07-07", 0},
		{"all done", []step{aJob("a", 1, inState(rebuild.JobProven))}, "", today, today, today, -1},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			r := stand(t, tt.steps...)
			o := look(t, r)
			f := finishOf(r, &o, today)
			if !strings.Contains(f.Why, tt.why) || (f.Why == "") != f.Known || f.P10 != tt.p10 || f.P50 != tt.p50 || f.P90 != tt.p90 {
				t.Errorf("%+v", f)
			}
			if got := f.ChanceBy; (got == nil) != (tt.chance < 0) || got != nil && *got != tt.chance {
				t.Errorf("chance %v, want %v", got, tt.chance)
			}
		})
	}
}

// The range of hours is met at its points: 7 h in one case of ten, 28 in nine.
func TestFinishSpreads(t *testing.T) {
	r := stand(t, aJob("a", 1, func(j *rebuild.Job) { j.Routes[0].Hours = uncertain.Range{Low: 7, Likely: 14, High: 28} }), withCar(func(c *rebuild.Car) { c.WantedBy = "2026-07-07" }))
	o := look(t, r)
	f := finishOf(r, &o, today)
	// The 90 % point of 20,000 trials is good to 0.4 h, a day either way.
	if f.P10 < "2026-07-03" || f.P10 > "2026-07-04" || f.P90 < "2026-07-13" || f.P90 > "2026-07-15" {
		t.Errorf("%+v", f)
	}
	if *f.ChanceBy < 0.5-4*f.StandardError || *f.ChanceBy > 0.5+4*f.StandardError {
		t.Errorf("chance by %s is %v, want 0.5", f.WantedBy, *f.ChanceBy)
	}
}

func TestAnswersOfAnEmptyBook(t *testing.T) {
	w := open(t)
	r := start(t, w)
	a, err := w.Answers(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	want := []string{"Cannot tell yet", "Walk round the car and photograph what you find", "24 of 24 zones never opened", "Cannot tell", "Cannot tell"}
	for i, answer := range a.List() {
		if got := answer.Headline.String(); got != want[i] {
			t.Errorf("%s %q, want %q", answer.Question, got, want[i])
		}
		if answer.Detail.String() == "" || answer.Link.Page == "" || answer.Tone == "" {
			t.Errorf("%s: %+v", answer.Question, answer)
		}
	}
	if got := a.Unknown.Detail.String(); !strings.Contains(got, "No job is entered yet") {
		t.Errorf("an empty book's doubt: %q", got)
	}
}

func TestCertainFiguresAreNotCalledDoubtful(t *testing.T) {
	w := open(t)
	r := start(t, w, aJob("tyres", 400))
	a, err := w.Answers(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	if got := a.Cost.Detail.String(); !strings.Contains(got, "each is taken as certain") || strings.Contains(got, "Nine chances") {
		t.Errorf("one fixed price: %q", got)
	}
}

func TestAnswersSayTheFigures(t *testing.T) {
	w := open(t)
	r := start(
		t, w, pays(100_000, 0, func(e *rebuild.Entry) { e.General = true }), surveyed, hides("boot", 1, uncertain.Certain(500)),
		aFinding("100%s bent bracket", rebuild.Danger, true), aJob("radiator", 400, func(j *rebuild.Job) { j.Routes[0].Hours = uncertain.Certain(28) }),
		withCar(func(c *rebuild.Car) { c.WantedBy = "2026-12-24" }),
	)
	a, err := w.Answers(context.Background(), r)
	if err != nil {
		t.Fatal(err)
	}
	for i, want := range []string{"100 % to stay under GBP 38,000", "Make safe: 100%", "for about one fault not seen yet", "No", "100 % by 2026-12-24"} {
		if got := a.List()[i].Headline.String(); !strings.Contains(got, want) {
			t.Errorf("%q does not say %q", got, want)
		}
	}
	if detail := a.Safe.Detail.String(); !strings.Contains(detail, "bent bracket") {
		t.Errorf("what stands against driving is not named: %q", detail)
	}
	if note := strings.Join(a.Cost.Notes, " "); !strings.Contains(note, "1 finding has no job yet") {
		t.Errorf("the cost does not say what it leaves out: %q", note)
	}
}
