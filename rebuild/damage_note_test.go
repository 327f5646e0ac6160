package rebuild_test

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// aNote is of a front left corner where two things are seen that one job cures.
func aNote() rebuild.DamageNote {
	bent, leans := goodFinding(), goodFinding()
	bent.What, leans.What = "wheel pushed back", "wheel leans"
	return rebuild.DamageNote{
		Zone: "front-left-corner", Findings: []rebuild.Finding{bent, leans}, OpenShare: 0.1,
		Jobs:    []rebuild.NotedJob{{Job: goodJob(), Settles: []int{0, 1}}},
		Reserve: &rebuild.HiddenReserve{Expected: 2, Cost: uncertain.Range{Low: 50, Likely: 100, High: 300}},
	}
}

func TestNoteDamageIsOneChange(t *testing.T) {
	before := furnished(t)
	c, err := before.NoteDamage(aNote())
	if err != nil {
		t.Fatal(err)
	}
	if want := "noted 2 findings at the zone front left wheel and suspension, with a reserve for what may hide"; c.What != want {
		t.Errorf("says %q, want %q", c.What, want) // the job joined the one that furnished has
	}
	after := applied(t, before, c)
	if len(after.Findings) != 4 || len(after.Jobs) != 1 || !slices.Equal(after.Jobs[0].Findings, []int64{1, 2, 8, 9}) {
		t.Errorf("findings %d, jobs %+v", len(after.Findings), after.Jobs)
	}
	z := after.Zone("front-left-corner")
	if z.OpenShare != 0.1 || z.HiddenExpected != 2 || z.HiddenCost.High != 300 {
		t.Errorf("the zone stands at %+v", z)
	}
	back, err := c.Inverse(after)
	if err != nil {
		t.Fatal(err)
	}
	again := applied(t, after, back)
	if len(again.Findings) != 2 || !rebuild.SameItem(again.Jobs[0], before.Jobs[0]) || !rebuild.SameItem(*again.Zone("front-left-corner"), *before.Zone("front-left-corner")) {
		t.Error("one undo does not take all of it back")
	}
}

func TestNoteDamageSuggestsAndDoesNotChoose(t *testing.T) {
	n := aNote()
	barred := goodRoute()
	barred.Kind, barred.Method, barred.Name = rebuild.Repair, rebuild.MethodStraighten, "bent back"
	job := &n.Jobs[0].Job
	job.Routes, job.Chosen, job.State = append(job.Routes, barred), 2, rebuild.JobDone
	job.Estimate = &uncertain.Range{Low: 1, Likely: 1, High: 1}
	r := started(t)
	c, err := r.NoteDamage(n)
	if err != nil {
		t.Fatal(err)
	}
	r = applied(t, r, c)
	j := r.Jobs[0]
	if j.Chosen != 0 || j.Estimate != nil || j.State != rebuild.JobOpen || !slices.Equal(j.Findings, []int64{1, 2}) || j.Zone != n.Zone {
		t.Errorf("suggested %+v", j)
	}
	if route, ok := j.Planned(); !ok || route.Name == "bent back" {
		t.Errorf("planned with %q, %t", route.Name, ok)
	}
	if _, err := r.ChooseRoute(j.ID, j.Rev, j.Routes[1].ID); err == nil {
		t.Error("a barred route can be chosen afterwards")
	}
	if !strings.Contains(c.What, "suspension, with 1 job and a reserve") {
		t.Errorf("says %q", c.What)
	}
}

func TestNoteDamageDoesNotNoteTwice(t *testing.T) {
	r := started(t)
	r = done(t, r, func() (rebuild.Change, error) { return r.NoteDamage(aNote()) })
	again := aNote()
	again.OpenShare = 0.05 // nothing is closed again
	_, err := r.NoteDamage(again)
	complains(t, err, "seen", "noted already")

	// A photo of what is noted already goes to the finding that is there.
	again.Findings[0].Photos = []rebuild.Attachment{{Hash: strings.Repeat("ab", 32), Name: "a.jpg", MediaType: "image/jpeg", Size: 3}}
	again.Findings[0].What = "Wheel PUSHED back"
	r = done(t, r, func() (rebuild.Change, error) { return r.NoteDamage(again) })
	if len(r.Findings) != 2 || len(r.Findings[0].Photos) != 1 || r.Zone("front-left-corner").OpenShare != 0.1 {
		t.Errorf("findings %+v", r.Findings)
	}

	// The same on the other side is another finding and another job, unless one
	// job serves the whole car.
	other := aNote()
	other.Zone = "front-right-corner"
	right := done(t, r, func() (rebuild.Change, error) { return r.NoteDamage(other) })
	if len(right.Findings) != 4 || len(right.Jobs) != 2 {
		t.Errorf("%d findings, %d jobs; want 4, 2", len(right.Findings), len(right.Jobs))
	}
	other.Jobs[0].Anywhere = true
	right = done(t, r, func() (rebuild.Change, error) { return r.NoteDamage(other) })
	if len(right.Jobs) != 1 || len(right.Jobs[0].Findings) != 4 {
		t.Errorf("jobs %+v; want one that settles four", right.Jobs)
	}

	// A job that is done cannot settle what is found afterwards.
	r = done(t, r, func() (rebuild.Change, error) {
		return r.SetOutcome(r.Jobs[0].ID, r.Jobs[0].Rev, rebuild.Outcome{State: rebuild.JobDone, DoneOn: "2026-02-01"})
	})
	r = done(t, r, func() (rebuild.Change, error) { return r.NoteDamage(aNote()) })
	if len(r.Findings) != 4 || len(r.Jobs) != 2 {
		t.Errorf("%d findings, %d jobs; want 4, 2: it happened again", len(r.Findings), len(r.Jobs))
	}
}

// Two suggestions of the same title are one job, and one edit of it.
func TestNoteDamageFoldsWhatComesTwice(t *testing.T) {
	n := aNote()
	n.Jobs = []rebuild.NotedJob{{Job: goodJob(), Settles: []int{0}}, {Job: goodJob(), Settles: []int{1, 0}}}
	r := started(t)
	c, err := r.NoteDamage(n)
	if err != nil {
		t.Fatal(err)
	}
	if after := applied(t, r, c); len(after.Jobs) != 1 || !slices.Equal(after.Jobs[0].Findings, []int64{1, 2}) || len(c.Edits) != 4 {
		t.Errorf("%d edits, jobs %+v", len(c.Edits), after.Jobs)
	}
}

func TestNoteDamageRefuses(t *testing.T) {
	r := furnished(t)
	for _, tt := range []struct {
		name, field, says string
		change            func(*rebuild.DamageNote)
	}{
		{"no such zone", "zone", "no zone", func(n *rebuild.DamageNote) { n.Zone = "moon" }},
		{"no words", "what", "missing", func(n *rebuild.DamageNote) { n.Findings[1].What = "" }},
		{"no severity", "severity", "cannot be", func(n *rebuild.DamageNote) { n.Findings[0].Severity = "" }},
		{"job without title", "title", "missing", func(n *rebuild.DamageNote) { n.Jobs[0].Job.Title = "" }},
		{"opened too far", "open_share", "between", func(n *rebuild.DamageNote) { n.OpenShare = 1.2 }},
		{"reserve without cost", "hidden_cost", "Three figures", func(n *rebuild.DamageNote) { n.Reserve.Cost = uncertain.Range{} }},
		{"nothing", "seen", "noted already", func(n *rebuild.DamageNote) { *n = rebuild.DamageNote{Zone: "roof"} }},
	} {
		t.Run(tt.name, func(t *testing.T) {
			n := aNote()
			tt.change(&n)
			_, err := r.NoteDamage(n)
			complains(t, err, tt.field, tt.says)
		})
	}
	n := aNote()
	n.Jobs[0].Settles = []int{2}
	if _, err := r.NoteDamage(n); err == nil {
		t.Error("a job settles a finding that the note does not have")
	}
}

func TestNoteDamageSaysThatNothingWasFound(t *testing.T) {
	r := started(t)
	c, err := r.NoteDamage(rebuild.DamageNote{Zone: "roof", OpenShare: 0.1})
	if err != nil || c.What != "looked at the zone roof and found nothing" || len(c.Edits) != 1 {
		t.Errorf("%+v, %v", c, err)
	}
}

// Whatever is noted, in whatever order, the whole stays valid and goes back to
// what it was.
func TestNotedDamageGoesBack(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := started(t)
		for range rapid.IntRange(1, 6).Draw(rt, "looks") {
			n := rebuild.DamageNote{Zone: rapid.SampledFrom([]string{"roof", "bonnet"}).Draw(rt, "zone"), OpenShare: rapid.Float64Range(0, 1).Draw(rt, "open")}
			for range rapid.IntRange(0, 3).Draw(rt, "findings") {
				f := goodFinding()
				f.What = rapid.SampledFrom([]string{"a", "b", "c"}).Draw(rt, "what")
				n.Findings = append(n.Findings, f)
			}
			for i := range n.Findings {
				j := goodJob()
				j.Title = rapid.SampledFrom([]string{"x", "y"}).Draw(rt, "title")
				n.Jobs = append(n.Jobs, rebuild.NotedJob{Job: j, Settles: []int{i}, Anywhere: rapid.Bool().Draw(rt, "anywhere")})
			}
			c, err := r.NoteDamage(n)
			if err != nil {
				continue // nothing new
			}
			next := applied(t, r, c)
			if err := next.Validate(); err != nil {
				rt.Fatal(err)
			}
			back, err := c.Inverse(next)
			if err != nil {
				rt.Fatal(err)
			}
			was := applied(t, next, back)
			if len(was.Findings) != len(r.Findings) || len(was.Jobs) != len(r.Jobs) {
				rt.Fatalf("%d findings, %d jobs; had %d, %d", len(was.Findings), len(was.Jobs), len(r.Findings), len(r.Jobs))
			}
			for _, j := range r.Jobs {
				if !rebuild.SameItem(*was.Job(j.ID), j) {
					rt.Fatalf("the job %q is not what it was", j.Title)
				}
			}
			r = next
		}
	})
}
