package workshop

import (
	"fmt"

	"wreckwright/rebuild"
)

// danger: whatever may hurt somebody as it is comes before everything.
func (a *adviser) danger() {
	for i := range a.rebuild.Findings {
		f := &a.rebuild.Findings[i]
		state := a.states[f.ID]
		if f.Severity != rebuild.Danger || state != rebuild.FindingOpen && state != rebuild.FindingPlanned {
			continue
		}
		why := "It may hurt somebody as it is, and no job settles it yet."
		target, share, class := Target{Page: "finding", ID: f.ID}, 1.0, rebuild.SafetyClass("")
		if state == rebuild.FindingPlanned {
			j := firstAhead(a.rebuild.JobsOf(f.ID))
			why, share = fmt.Sprintf("It may hurt somebody as it is, until the job %q is done.", j.Title), 0.5
			target, class = Target{Page: "job", ID: j.ID}, j.Safety
		}
		a.add(Action{Kind: MakeSafe, Title: "Make safe: " + f.What, Why: words(why), Target: target, zone: f.Zone, safety: class}, share)
	}
}

// firstAhead is the first job that is still ahead; a planned finding has one.
func firstAhead(jobs []*rebuild.Job) *rebuild.Job {
	for _, j := range jobs {
		if j.Ahead() {
			return j
		}
	}
	return &rebuild.Job{}
}

// beginning: an empty book needs a first look.
func (a *adviser) beginning() {
	if len(a.rebuild.Findings)+len(a.rebuild.Jobs) > 0 {
		return
	}
	a.add(Action{
		Kind: Begin, Title: "Walk round the car and photograph what you find", Target: Target{Page: "findings"},
		Why: words("Nothing is recorded yet: what is wrong decides what it will cost, and the first look is lost once the strip begins."),
	}, 1)
}

// writing: what is not written down within days is never written down.
func (a *adviser) writing() {
	gaps := a.outlook.Gaps
	for _, j := range gaps.FinishedWithoutCost[:min(mostOfKind, len(gaps.FinishedWithoutCost))] {
		action := Action{
			Kind: WriteDown, Title: fmt.Sprintf("Write down what %q cost", j.Title), Target: Target{Page: "job", ID: j.ID},
			Why: words("It is finished and no cost belongs to it: a minute now, or say that it cost nothing."),
		}
		if d := a.outlook.JobDriver(j.ID); d != nil && d.Expected > 0 {
			action.Stake = d.Expected
			action.Why = phrase("It is finished and no cost belongs to it; the forecast still guesses %s. A minute now, or say that it cost nothing.", a.money("guessed", d.Expected))
		}
		a.add(action, 0.5+a.shareOf(action.Stake)/2)
	}
	if n := len(gaps.EntriesWithoutJob); n > 0 {
		a.looseCosts(n)
	}
}

func (a *adviser) looseCosts(n int) {
	sum := 0.0
	for _, e := range a.outlook.Gaps.EntriesWithoutJob {
		sum += e.Amount.Float()
	}
	a.add(Action{
		Kind: WriteDown, Title: "Say which job " + count(n, "cost was", "costs were") + " for", Stake: sum, Target: Target{Page: "ledger"},
		Why: phrase("%s belong to no job: if they were for jobs ahead, those are counted twice in the forecast.", a.money("without a job", sum)),
	}, a.shareOf(sum)/2)
}

// proving: a safety job counts once evidence shows it.
func (a *adviser) proving() {
	for i := range a.rebuild.Jobs {
		j := &a.rebuild.Jobs[i]
		if j.State != rebuild.JobDone || !j.Safety.Critical() {
			continue
		}
		action := about(Prove, j, "Prove")
		action.Why = words("Lives hang on it (" + string(j.Safety) + "). It is done, but nothing shows yet that it is done right: a reading, a photo, a test.")
		a.add(action, 0.5)
	}
	a.tightening()
}

// tightening: a joint on which lives hang is tightened and recorded as soon as the
// jobs that want it tight are done, and checked by a second person.
func (a *adviser) tightening() {
	for _, l := range openSafetyJoints(a.rebuild, a.today) {
		j, stand := l.Joint, l.Stand
		action := Action{Kind: Prove, Target: Target{Page: "joint", ID: j.ID}, zone: j.Zone, safety: j.Safety}
		switch {
		case l.WantsSecond() && len(stand.Why) == 1:
			action.Title = fmt.Sprintf("Have %q checked by a second person", j.Title)
			action.Why = words("Lives hang on it (" + string(j.Safety) + "), it is tightened, and a second pair of eyes finds what the first passed over.")
			a.add(action, 0.7)
		case a.jobsDone(j):
			action.Title = fmt.Sprintf("Tighten %q and record it", j.Title)
			action.Why = words("Lives hang on it (" + string(j.Safety) + "): " + stand.Why[0] + ".")
			a.add(action, 0.6)
		}
	}
}

// jobsDone reports whether no job that wants the joint tight is still ahead.
func (a *adviser) jobsDone(j *rebuild.Joint) bool {
	for _, id := range j.Jobs {
		if job := a.rebuild.Job(id); job != nil && job.Ahead() {
			return false
		}
	}
	return true
}

// planning: a finding without a job and a job without a figure are missing from
// the total.
func (a *adviser) planning() {
	weight := map[rebuild.Severity]float64{rebuild.Cosmetic: 0.1, rebuild.Minor: 0.2, rebuild.Major: 0.5, rebuild.Danger: 0.9}
	for _, f := range a.outlook.Gaps.FindingsWithoutJob {
		share := weight[f.Severity]
		if f.Safety {
			share += 0.3
		}
		a.add(Action{
			Kind: Plan, Title: "Plan a job for: " + f.What, Target: Target{Page: "finding", ID: f.ID},
			Why: words("It is " + string(f.Severity) + " and no job settles it: its cost is missing from the total. If nothing needs doing, dismiss it with the reason."),
		}, share)
	}
	for _, j := range a.outlook.Gaps.JobsWithoutFigure {
		a.add(Action{
			Kind: Estimate, Title: fmt.Sprintf("Estimate %q", j.Title), Target: Target{Page: "job", ID: j.ID},
			Why: words("It has no usable route with figures: its cost is missing from the total."),
		}, 0.6)
	}
}
