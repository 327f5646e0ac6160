package store_test

import (
	"context"
	"strings"
	"testing"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// fillProof enters a seventh car on its first drives: a caution read, the road-test
// gate passed against advice and the pass withdrawn, a run that was stopped by a
// finding and one that went well, items looked at before the inspection and the
// official test that followed.
func fillProof(t *testing.T, b *store.Book) {
	t.Helper()
	ctx := context.Background()
	photo, err := b.PutFile(ctx, strings.NewReader(`<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 4 3"><path d="M0 3L4 0"/></svg>`), "drip.svg", "", 0)
	must(t, err)
	fulmar := skua
	fulmar.Name, fulmar.Model, fulmar.Ceiling = "Fulmar", "Fulmar", amount.Amount{}
	r, err := b.Start(ctx, me, fulmar)
	must(t, err)
	id := r.ID
	r, _ = do(t, b, id, addEvidence(rebuild.Evidence{
		On: "2026-03-01", Instrument: rebuild.InstrumentRecharge, Title: "Pump timed", Verdict: rebuild.VerdictPass, Why: "only to have a measurement here", Engine: "recharge 1",
		Figures: []rebuild.EvidenceFigure{{Name: "Mean interval", Value: 372, Unit: "s"}},
	}))
	evidence := r.Evidence[0].ID
	km, tread, chance := 66_020.5, 4.2, 0.71
	drip := finding("a drop of oil under the gearbox")
	drip.Zone, drip.HowFound, drip.Photos = "gearbox-tunnel", rebuild.RoadTest, []rebuild.Attachment{photo}
	for _, step := range []plan{
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			word := rebuild.Confirmation{Of: rebuild.ConfirmCaution, Key: "brakes", Text: "Brakes", At: "2026-03-01T09:00:00+01:00", By: "Ada"}
			insured := word
			insured.Of, insured.Key, insured.Text = rebuild.ConfirmMustDo, "insured", "it is insured for whoever drives it"
			return r.Confirm(word, insured)
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.PassGate(rebuild.GatePass{
				Gate: rebuild.GateRoadTest, At: "2026-03-01T10:00:00+01:00", By: "Ada", Reason: "only the yard, nobody else there",
				Against: []rebuild.GateAgainst{{Rule: "case-open", Kind: "case", ItemID: 9, Text: "a case is open"}, {Rule: "insurance", Text: "no insurance was entered"}},
			})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddShakedownRun(rebuild.ShakedownRun{
				Stage: rebuild.ShakeYard, At: "2026-03-01T11:00:00+01:00", By: "Ada", Km: 0.5, Minutes: 15, AtKm: &km, Heard: "a tick from the rear", Smelt: "hot oil",
				Result: rebuild.RunStop, Evidence: []int64{evidence}, Photos: []rebuild.Attachment{photo},
			}, drip)
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.WithdrawPass(r.GatePasses[0].ID, 0, "2026-03-01T12:00:00+01:00", "it drips")
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.PassGate(rebuild.GatePass{Gate: rebuild.GateRoadTest, At: "2026-03-07T10:00:00+01:00", By: "Ada"})
		},
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddShakedownRun(rebuild.ShakedownRun{Stage: rebuild.ShakeYard, At: "2026-03-07T11:00:00+01:00", By: "Bo", Result: rebuild.RunPass})
		},
		rehearse(rebuild.Rehearsed{Key: "tyre-tread", Result: rebuild.ItemPass, Value: &tread, EvidenceID: evidence, At: "2026-03-08T10:00:00+01:00", By: "Ada"}),
		rehearse(rebuild.Rehearsed{Key: "horn", Result: rebuild.ItemAdvisory, At: "2026-03-08T10:05:00+01:00", By: "Bo", Note: "weak"}),
		func(r *rebuild.Rebuild) (rebuild.Change, error) {
			return r.AddOfficialTest(rebuild.OfficialTest{
				On: "2026-03-10", Jurisdiction: "UK", Where: "a test station nearby", Result: rebuild.TestFail, Chance: &chance, Photos: []rebuild.Attachment{photo},
				Items: []rebuild.TestedItem{
					{Key: "horn", Rehearsed: rebuild.ItemAdvisory, Found: rebuild.ItemFail, Text: "audible warning too weak"},
					{Found: rebuild.ItemAdvisory, Text: "undertray loose"},
				},
			})
		},
	} {
		do(t, b, id, step)
	}
	_, _, err = b.Undo(ctx, me, id, 0)
	must(t, err)
	_, _, err = b.Redo(ctx, me, id)
	must(t, err)
}

func rehearse(i rebuild.Rehearsed) plan {
	return func(r *rebuild.Rebuild) (rebuild.Change, error) { return r.Rehearse(i, i.Key) }
}
