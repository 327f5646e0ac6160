package workshop

import (
	"fmt"
	"slices"
	"strings"

	"wreckwright/knowledge"
	"wreckwright/prove/buildfile"
	"wreckwright/rebuild"
)

// unproven is what a build file does not prove, by kind.
type unproven []openPoints

type openPoints struct {
	title string
	items []string
}

func (u unproven) count() int {
	n := 0
	for _, p := range u {
		n += len(p.items)
	}
	return n
}

func (u unproven) blocks() []buildfile.Block {
	blocks := []buildfile.Block{{Text: "What follows is open, or claimed without evidence. What is not listed here is not thereby safe: only what was entered can be known."}}
	for _, p := range u {
		if len(p.items) > 0 {
			blocks = append(blocks, buildfile.Block{Heading: p.title}, buildfile.Block{List: p.items})
		}
	}
	if u.count() == 0 {
		blocks = append(blocks, buildfile.Block{Text: "Nothing that was entered is open."})
	}
	return blocks
}

func (t *telling) unproven() unproven {
	return unproven{
		{"Found and not settled", t.openFindings()},
		{"Jobs not finished", t.jobsThat(func(j *rebuild.Job) bool { return j.Ahead() }, "")},
		{"Done, but nothing shows it", t.jobsThat(func(j *rebuild.Job) bool { return j.State == rebuild.JobDone }, "no evidence that it is done right")},
		{"Joints without a record that holds", t.openJoints()},
		{"Not back on the car", t.leftOver()},
		{"Faults not found yet", t.openCases()},
		{"Measurements that failed or cannot tell", t.doubtful()},
		{"First drives not passed", t.stagesOpen()},
		{"Failed at the rehearsal or at the official test", t.failedInspection()},
		{"Gates not passed", t.gatesOpen()},
		{"Asked for by law, not confirmed", t.notConfirmed()},
		{"Never done", t.neverDone()},
		{"Never opened and looked at", t.zonesClosed()},
	}
}

func (t *telling) openFindings() []string {
	var items []string
	states := t.r.FindingStates()
	for _, f := range t.r.Findings {
		if st := states[f.ID]; st == rebuild.FindingOpen || st == rebuild.FindingPlanned {
			items = append(items, fmt.Sprintf("%s: %s (%s%s, %s)", rebuild.ZoneName(f.Zone), f.What, f.Severity, critical(f.Safety), st))
		}
	}
	return items
}

func critical(safety bool) string {
	if safety {
		return ", safety-critical"
	}
	return ""
}

func (t *telling) jobsThat(want func(*rebuild.Job) bool, why string) []string {
	var items []string
	for i := range t.r.Jobs {
		j := &t.r.Jobs[i]
		if !want(j) {
			continue
		}
		told := j.Title + " (" + string(j.State)
		if j.Safety.Critical() {
			told += ", safety-critical: " + string(j.Safety)
		}
		told += ")"
		if why != "" {
			told += ": " + why
		}
		items = append(items, told)
	}
	return items
}

func (t *telling) openJoints() []string {
	var items []string
	for _, j := range t.r.Joints {
		stand := t.r.JointStand(j, t.today)
		switch {
		case !stand.Proven():
			items = append(items, fmt.Sprintf("%s (%s): %s", j.Title, stand.State, sentences(stand.Why)))
		case stand.Retorque != "":
			items = append(items, j.Title+": "+stand.Retorque)
		}
	}
	return items
}

func (t *telling) leftOver() []string {
	var items []string
	left := t.r.LeftOver()
	for _, s := range left.Off {
		items = append(items, s.What+": off since "+shortDay(s.At))
	}
	for _, b := range left.Bags {
		if b.Item.BackAt != "" {
			items = append(items, fmt.Sprintf("%d fasteners of %s still in their bag", b.Set.Count, b.Item.What))
		}
	}
	for _, k := range left.Connectors {
		if k.Item.BackAt != "" {
			items = append(items, fmt.Sprintf("the connector %s of %s is not made again", k.Name, k.Item.What))
		}
	}
	return items
}

func (t *telling) openCases() []string {
	var items []string
	for _, k := range t.r.Cases {
		if k.State != rebuild.CaseSolved {
			items = append(items, fmt.Sprintf("%s (%s)", k.Title, k.State))
		}
	}
	return items
}

// doubtful are measurements that did not pass, but for those made before the work
// where a later one of the same thing shows that it is right.
func (t *telling) doubtful() []string {
	var items []string
	for i := range t.r.Evidence {
		e := &t.r.Evidence[i]
		if e.Verdict == rebuild.VerdictPass || e.Phase == rebuild.PhaseBefore && t.provenLater(e) {
			continue
		}
		reason, _ := PartReason(e.Why)
		items = append(items, fmt.Sprintf("%s, %s: %s. %s", e.Title, shortDay(e.On), e.Verdict, reason))
	}
	return items
}

func (t *telling) provenLater(before *rebuild.Evidence) bool {
	for i := range t.r.Evidence {
		e := &t.r.Evidence[i]
		if e.Verdict == rebuild.VerdictPass && e.Phase != rebuild.PhaseBefore && e.On >= before.On && sameThing(before, e) && settlesSurvey(t.r, before, e) {
			return true
		}
	}
	return false
}

// sameThing reports a measurement that says something of what another measured: of
// a check its quantity and part say so; of an instrument that always measures the
// same, the job.
func sameThing(a, b *rebuild.Evidence) bool {
	if slices.Contains(settledBy(b), quantityOf(a)) {
		return true
	}
	return a.Instrument == b.Instrument && a.Instrument != rebuild.InstrumentCheck && a.JobID != 0 && a.JobID == b.JobID
}

// stagesOpen are the stages of the first drives whose latest run was stopped, or
// that were not driven.
func (t *telling) stagesOpen() []string {
	if len(t.r.Shakedown) == 0 {
		return []string{"No stage of the shakedown was driven"}
	}
	var items []string
	for _, p := range knowledge.ShakedownPlan() {
		runs := t.r.RunsOf(rebuild.ShakedownStage(p.Key))
		switch {
		case len(runs) == 0:
			items = append(items, p.Name+": not driven")
		case runs[len(runs)-1].Result != rebuild.RunPass:
			last := runs[len(runs)-1]
			items = append(items, strings.TrimSpace(p.Name+": stopped on "+shortDay(last.At)+". "+sentences([]string{last.Felt, last.Heard, last.Smelt})))
		}
	}
	return items
}

// failedInspection are what failed when the inspection was rehearsed and no
// official test has passed since, and the official test itself where the latest
// one failed.
func (t *telling) failedInspection() []string {
	var items []string
	for _, h := range t.r.Rehearsal {
		if h.Result == rebuild.ItemFail && !t.officiallyPassed(h) {
			items = append(items, strings.TrimSpace(itemName(h.Key)+": failed at the rehearsal on "+shortDay(h.At)+". "+sentences([]string{h.Note})))
		}
	}
	var last *rebuild.OfficialTest
	for i := range t.r.OfficialTests {
		if test := &t.r.OfficialTests[i]; last == nil || test.On >= last.On {
			last = test
		}
	}
	if last != nil && last.Result == rebuild.TestFail {
		items = append(items, "The official test of "+shortDay(last.On)+" failed, and none was passed since")
	}
	return items
}

func (t *telling) officiallyPassed(h rebuild.Rehearsed) bool {
	day, _, _ := strings.Cut(h.At, "T")
	for _, test := range t.r.OfficialTests {
		for _, item := range test.Items {
			if item.Key == h.Key && item.Found == rebuild.ItemPass && test.On >= day {
				return true
			}
		}
	}
	return false
}
