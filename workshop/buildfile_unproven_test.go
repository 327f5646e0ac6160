package workshop

import (
	"strings"
	"testing"

	"wreckwright/rebuild"
)

// checkOf is a measurement of a part as it is kept.
func checkOf(id int64, on, name, which string, phase rebuild.Phase, verdict rebuild.Verdict) rebuild.Evidence {
	least := 12.0
	settings := CheckSettings{Name: name, Which: which, Unit: "mm", Form: "mean", Lower: &least}
	e := Checked{Settings: settings}.Evidence()
	e.ID, e.On, e.JobID, e.Phase, e.Verdict, e.Title = id, on, 1, phase, verdict, name+", "+which
	return e
}

// openIn is what the section of that title lists, in one line.
func openIn(t *testing.T, r *rebuild.Rebuild, title string) string {
	t.Helper()
	told := telling{BuildFile: &BuildFile{Rebuild: r}, r: r, whole: r, today: "2026-05-04"}
	for _, p := range told.unproven() {
		if p.title == title {
			return strings.Join(p.items, " | ")
		}
	}
	t.Fatalf("no section %q", title)
	return ""
}

// TestFailedMeasurementsStay: a failure before the work is left out only where the
// same thing was measured right since.
func TestFailedMeasurementsStay(t *testing.T) {
	failed := checkOf(1, "2026-04-01", "Disc thickness", "front left", rebuild.PhaseBefore, rebuild.VerdictFail)
	recharge := func(id int64, job int64, phase rebuild.Phase, verdict rebuild.Verdict) rebuild.Evidence {
		return rebuild.Evidence{ID: id, On: "2026-04-02", Instrument: rebuild.InstrumentRecharge, JobID: job, Phase: phase, Verdict: verdict, Title: "Pump timed " + string(phase)}
	}
	for name, c := range map[string]struct {
		list  []rebuild.Evidence
		stays bool
	}{
		"alone":                   {[]rebuild.Evidence{failed}, true},
		"another quantity passes": {[]rebuild.Evidence{failed, checkOf(2, "2026-04-02", "Pad thickness", "front left", rebuild.PhaseAfter, rebuild.VerdictPass)}, true},
		"another part passes":     {[]rebuild.Evidence{failed, checkOf(2, "2026-04-02", "Disc thickness", "front right", rebuild.PhaseAfter, rebuild.VerdictPass)}, true},
		"it passes before":        {[]rebuild.Evidence{failed, checkOf(2, "2026-03-02", "Disc thickness", "front left", rebuild.PhaseAfter, rebuild.VerdictPass)}, true},
		"it passes after":         {[]rebuild.Evidence{failed, checkOf(2, "2026-04-02", "Disc thickness", "front left", rebuild.PhaseAfter, rebuild.VerdictPass)}, false},
		"it fails after":          {[]rebuild.Evidence{failed, checkOf(2, "2026-04-02", "Disc thickness", "front left", rebuild.PhaseAfter, rebuild.VerdictFail)}, true},
		"the pump of that job":    {[]rebuild.Evidence{recharge(1, 1, rebuild.PhaseBefore, rebuild.VerdictFail), recharge(2, 1, rebuild.PhaseAfter, rebuild.VerdictPass)}, false},
		"the pump of another job": {[]rebuild.Evidence{recharge(1, 1, rebuild.PhaseBefore, rebuild.VerdictFail), recharge(2, 2, rebuild.PhaseAfter, rebuild.VerdictPass)}, true},
	} {
		said := openIn(t, &rebuild.Rebuild{Evidence: c.list}, "Measurements that failed or cannot tell")
		if stays := strings.Contains(said, c.list[0].Title+","); stays != c.stays {
			t.Errorf("%s: %q", name, said)
		}
	}
}

// TestDrivesNotPassedAreOpen: what was stopped or not driven is not proven.
func TestDrivesNotPassedAreOpen(t *testing.T) {
	const title = "First drives not passed"
	if said := openIn(t, &rebuild.Rebuild{}, title); said != "No stage of the shakedown was driven" {
		t.Error(said)
	}
	run := func(at string, stage rebuild.ShakedownStage, result rebuild.RunResult) rebuild.ShakedownRun {
		return rebuild.ShakedownRun{Stage: stage, At: at, Result: result, Felt: "pulls left"}
	}
	r := &rebuild.Rebuild{Shakedown: []rebuild.ShakedownRun{
		run("2026-05-01T10:00:00Z", rebuild.ShakeYard, rebuild.RunStop), run("2026-05-02T10:00:00Z", rebuild.ShakeYard, rebuild.RunPass),
		run("2026-05-02T11:00:00Z", rebuild.ShakeSlow, rebuild.RunPass), run("2026-05-03T11:00:00Z", rebuild.ShakeSlow, rebuild.RunStop),
	}}
	said := openIn(t, r, title)
	if strings.Contains(said, StageName(rebuild.ShakeYard)+":") || !strings.Contains(said, StageName(rebuild.ShakeSlow)+": stopped on 3 May 2026. Pulls left.") ||
		!strings.Contains(said, StageName(rebuild.ShakeFull)+": not driven") || strings.Count(said, "|") != 4 {
		t.Error(said)
	}
}

// TestFailedInspectionIsOpen: until the official test passes it.
func TestFailedInspectionIsOpen(t *testing.T) {
	const title = "Failed at the rehearsal or at the official test"
	horn := rebuild.Rehearsed{Key: "horn", Result: rebuild.ItemFail, At: "2026-05-01T10:00:00Z", Note: "silent"}
	r := &rebuild.Rebuild{Rehearsal: []rebuild.Rehearsed{horn, {Key: "mirrors", Result: rebuild.ItemPass}}}
	if said := openIn(t, r, title); !strings.Contains(said, itemName("horn")+": failed at the rehearsal on 1 May 2026. Silent.") || strings.Contains(said, "|") {
		t.Error(said)
	}
	r.OfficialTests = []rebuild.OfficialTest{{On: "2026-05-02", Result: rebuild.TestFail}}
	if said := openIn(t, r, title); !strings.Contains(said, "horn") && !strings.Contains(said, itemName("horn")) || !strings.Contains(said, "The official test of 2 May 2026 failed") {
		t.Error(said)
	}
	r.OfficialTests = append(r.OfficialTests, rebuild.OfficialTest{On: "2026-05-03", Result: rebuild.TestPass, Items: []rebuild.TestedItem{{Key: "horn", Rehearsed: rebuild.ItemFail, Found: rebuild.ItemPass}}})
	if said := openIn(t, r, title); said != "" {
		t.Error(said)
	}
}
