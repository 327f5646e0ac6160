package workshop

import (
	"fmt"

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
		{"Never opened and looked at", t.closedZones()},
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
// that a later one shows to be done right.
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
	for _, e := range t.r.EvidenceOf(before.JobID) {
		if e.Proves() && e.On >= before.On {
			return true
		}
	}
	return false
}

func (t *telling) closedZones() []string {
	var items []string
	for _, z := range t.r.Zones {
		if z.OpenShare < 1 && z.HiddenExpected > 0 {
			items = append(items, fmt.Sprintf("%s: %s of it opened", z.Place().Name, Percent(z.OpenShare)))
		}
	}
	return items
}
