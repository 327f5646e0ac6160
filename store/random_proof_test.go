package store_test

import (
	"pgregory.net/rapid"

	"wreckwright/rebuild"
)

// anyProofChange draws something that a person could do about gates, the
// shakedown, the inspection and cautions.
func anyProofChange(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) (rebuild.Change, error) {
	switch rapid.SampledFrom([]string{
		"pass", "withdraw", "drive", "drive", "found", "edit run", "delete run", "look", "look", "unlook", "test", "edit test", "delete test", "confirm", "take back",
	}).Draw(t, "what") {
	case "pass":
		return r.PassGate(anyPass(t))
	case "withdraw":
		return edit(t, r.GatePasses, func(p rebuild.GatePass) (rebuild.Change, error) {
			return r.WithdrawPass(p.ID, p.Rev, "2026-03-03T10:00:00Z", anyText(t, 0, 10))
		})
	case "drive":
		return r.AddShakedownRun(anyRun(t, r, files), anyList(t, 2, func(t *rapid.T) rebuild.Finding { return anyFinding(t, files) })...)
	case "found":
		return edit(t, r.Shakedown, func(s rebuild.ShakedownRun) (rebuild.Change, error) {
			return r.AddShakedownFinding(s.ID, s.Rev, anyFinding(t, files))
		})
	case "edit run":
		return edit(t, r.Shakedown, func(old rebuild.ShakedownRun) (rebuild.Change, error) {
			s := anyRun(t, r, files)
			s.ID, s.Rev = old.ID, old.Rev
			return r.EditShakedownRun(s)
		})
	case "delete run":
		return edit(t, r.Shakedown, func(s rebuild.ShakedownRun) (rebuild.Change, error) { return r.DeleteShakedownRun(s.ID, s.Rev) })
	case "confirm":
		return r.Confirm(rapid.SliceOfN(rapid.Custom(anyConfirmation), 1, 3).Draw(t, "words")...)
	case "take back":
		return edit(t, r.Confirmations, func(s rebuild.Confirmation) (rebuild.Change, error) { return r.TakeBackWord(s.ID, s.Rev) })
	}
	return anyInspectionChange(t, r, files)
}

func anyInspectionChange(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) (rebuild.Change, error) {
	switch rapid.SampledFrom([]string{"look", "look", "unlook", "test", "edit test", "delete test"}).Draw(t, "at the inspection") {
	case "unlook":
		return edit(t, r.Rehearsal, func(i rebuild.Rehearsed) (rebuild.Change, error) { return r.Unlook(i.Key, i.Rev, i.Key) })
	case "test":
		return r.AddOfficialTest(anyOfficialTest(t, files))
	case "edit test":
		return edit(t, r.OfficialTests, func(old rebuild.OfficialTest) (rebuild.Change, error) {
			test := anyOfficialTest(t, files)
			test.ID, test.Rev = old.ID, old.Rev
			return r.EditOfficialTest(test)
		})
	case "delete test":
		return edit(t, r.OfficialTests, func(test rebuild.OfficialTest) (rebuild.Change, error) {
			return r.DeleteOfficialTest(test.ID, test.Rev)
		})
	}
	i := rebuild.Rehearsed{
		Key: rapid.SampledFrom([]string{"tyre-tread", "horn"}).Draw(t, "key"), Result: rapid.SampledFrom(rebuild.ItemResults).Draw(t, "result"),
		At: anyMoment(t), By: "Ada", Note: anyText(t, 0, 10), Value: perhaps(t, 10),
	}
	if ids := someOf(t, r.Evidence, 1); len(ids) > 0 {
		i.EvidenceID = ids[0]
	}
	if old := r.RehearsedItem(i.Key); old != nil {
		i.Rev = old.Rev
	}
	return r.Rehearse(i, i.Key)
}

// perhaps draws a number or none.
func perhaps(t *rapid.T, most float64) *float64 {
	if rapid.Bool().Draw(t, "no number") {
		return nil
	}
	n := anyNumber(t, most)
	return &n
}

func anyPass(t *rapid.T) rebuild.GatePass {
	return rebuild.GatePass{
		Gate: rapid.SampledFrom(rebuild.Gates).Draw(t, "gate"), At: anyMoment(t), By: "Ada", Reason: rapid.SampledFrom([]string{"", "only to the gate and back"}).Draw(t, "reason"),
		Against: anyList(t, 2, func(t *rapid.T) rebuild.GateAgainst {
			return rebuild.GateAgainst{Rule: "job-open", Kind: "job", ItemID: rapid.Int64Range(0, 9).Draw(t, "item"), Text: anyText(t, 1, 20)}
		}),
	}
}

func anyRun(t *rapid.T, r *rebuild.Rebuild, files []rebuild.Attachment) rebuild.ShakedownRun {
	return rebuild.ShakedownRun{
		Stage: rapid.SampledFrom(rebuild.ShakedownStages).Draw(t, "stage"), At: anyMoment(t), By: "Ada", Km: anyNumber(t, 100), Minutes: anyNumber(t, 100), AtKm: perhaps(t, 100_000),
		Felt: anyText(t, 0, 10), Heard: anyText(t, 0, 10), Smelt: anyText(t, 0, 10), Note: anyText(t, 0, 10), Result: rapid.SampledFrom(rebuild.RunResults).Draw(t, "result"),
		Findings: someOf(t, r.Findings, 2), Evidence: someOf(t, r.Evidence, 2), Photos: anyFiles(t, files),
	}
}

func anyOfficialTest(t *rapid.T, files []rebuild.Attachment) rebuild.OfficialTest {
	test := rebuild.OfficialTest{
		On: "2026-03-04", Jurisdiction: rapid.SampledFrom([]string{"", "UK"}).Draw(t, "jurisdiction"), Where: anyText(t, 0, 10), Result: rapid.SampledFrom(rebuild.TestResults).Draw(t, "result"),
		Photos: anyFiles(t, files), Note: anyText(t, 0, 10), Chance: perhaps(t, 1),
		Items: anyList(t, 1, func(t *rapid.T) rebuild.TestedItem {
			return rebuild.TestedItem{Key: "horn", Rehearsed: rapid.SampledFrom(append([]rebuild.ItemResult{""}, rebuild.ItemResults...)).Draw(t, "rehearsed"), Found: rebuild.ItemAdvisory, Text: anyText(t, 0, 10)}
		}),
	}
	return test
}

func anyConfirmation(t *rapid.T) rebuild.Confirmation {
	return rebuild.Confirmation{
		Of: rapid.SampledFrom([]rebuild.Confirmed{rebuild.ConfirmCaution, rebuild.ConfirmMustDo}).Draw(t, "of"), Key: rapid.SampledFrom([]string{"brakes", "fuel", "insured"}).Draw(t, "key"),
		Text: anyText(t, 1, 20), At: anyMoment(t), By: "Ada",
	}
}
