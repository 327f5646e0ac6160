package store

import (
	"context"
	"database/sql"
	"strings"

	"wreckwright/rebuild"
)

var gatePasses = table[rebuild.GatePass]{
	"gate_pass", strings.Fields("id rev gate at who reason withdrawn_at withdrawn_why"),
	func(p *rebuild.GatePass, _ *string) []any {
		return []any{&p.ID, &p.Rev, &p.Gate, &p.At, &p.By, &p.Reason, &p.WithdrawnAt, &p.WithdrawnWhy}
	},
}

var gateAgainst = partsOf("gate_against", "pass_id place rule kind item_id text",
	func(a *rebuild.GateAgainst) []any { return []any{&a.Rule, &a.Kind, &a.ItemID, &a.Text} })

var shakedownRuns = table[rebuild.ShakedownRun]{
	"shakedown_run", strings.Fields("id rev stage at who km minutes at_km felt heard smelt note result"),
	func(s *rebuild.ShakedownRun, _ *string) []any {
		return []any{&s.ID, &s.Rev, &s.Stage, &s.At, &s.By, &s.Km, &s.Minutes, &s.AtKm, &s.Felt, &s.Heard, &s.Smelt, &s.Note, &s.Result}
	},
}

var (
	shakedownFindings = links("shakedown_finding", "run_id", "finding_id")
	shakedownEvidence = links("shakedown_evidence", "run_id", "evidence_id")
)

var rehearsals = table[rebuild.Rehearsed]{
	"rehearsed", strings.Fields("id rev item_key result value evidence_id at who note"),
	func(i *rebuild.Rehearsed, _ *string) []any {
		return []any{
			&i.ID, &i.Rev, &i.Key, &i.Result, &i.Value,
			orNull{&i.EvidenceID},
			&i.At, &i.By, &i.Note,
		}
	},
}

var officialTests = table[rebuild.OfficialTest]{
	"official_test", strings.Fields("id rev on_day jurisdiction place_kind result chance note"),
	func(t *rebuild.OfficialTest, _ *string) []any {
		return []any{&t.ID, &t.Rev, &t.On, &t.Jurisdiction, &t.Where, &t.Result, &t.Chance, &t.Note}
	},
}

var testedItems = partsOf("tested_item", "test_id place item_key rehearsed found text",
	func(i *rebuild.TestedItem) []any { return []any{&i.Key, &i.Rehearsed, &i.Found, &i.Text} })

var confirmations = table[rebuild.Confirmation]{
	"confirmation", strings.Fields("id rev of key_of text at who"),
	func(s *rebuild.Confirmation, _ *string) []any {
		return []any{&s.ID, &s.Rev, &s.Of, &s.Key, &s.Text, &s.At, &s.By}
	},
}

func (w *rows) keepGatePass(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.GatePass)
	after, _ := e.After.(rebuild.GatePass)
	return firstError(
		func() error { return keepRow(w, gatePasses, e) },
		func() error { return keepParts(w, gateAgainst, e.ID(), before.Against, after.Against) },
	)
}

func (w *rows) keepShakedownRun(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.ShakedownRun)
	after, _ := e.After.(rebuild.ShakedownRun)
	return firstError(
		func() error { return keepRow(w, shakedownRuns, e) },
		func() error { return w.keepLinks(shakedownFindings, e.ID(), before.Findings, after.Findings) },
		func() error { return w.keepLinks(shakedownEvidence, e.ID(), before.Evidence, after.Evidence) },
		func() error { return w.keepAttachments("shakedown_run_id", e.ID(), before.Photos, after.Photos) },
	)
}

func (w *rows) keepOfficialTest(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.OfficialTest)
	after, _ := e.After.(rebuild.OfficialTest)
	return firstError(
		func() error { return keepRow(w, officialTests, e) },
		func() error { return keepParts(w, testedItems, e.ID(), before.Items, after.Items) },
		func() error { return w.keepAttachments("official_test_id", e.ID(), before.Photos, after.Photos) },
	)
}

// readProof reads gates, shakedown, inspection and cautions.
func readProof(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	return firstError(
		func() (err error) { r.GatePasses, err = readAll(ctx, tx, gatePasses, "id", r.ID, nil); return },
		func() (err error) { r.Shakedown, err = readAll(ctx, tx, shakedownRuns, "id", r.ID, nil); return },
		func() (err error) { r.Rehearsal, err = readAll(ctx, tx, rehearsals, "id", r.ID, nil); return },
		func() (err error) { r.OfficialTests, err = readAll(ctx, tx, officialTests, "id", r.ID, nil); return },
		func() (err error) { r.Confirmations, err = readAll(ctx, tx, confirmations, "id", r.ID, nil); return },
		readingParts(ctx, tx, gateAgainst, r, r.GatePass, func(p *rebuild.GatePass) *[]rebuild.GateAgainst { return &p.Against }),
		readingParts(ctx, tx, testedItems, r, r.OfficialTest, func(t *rebuild.OfficialTest) *[]rebuild.TestedItem { return &t.Items }),
		readingLinks(ctx, tx, shakedownFindings, r, r.ShakedownRun, func(s *rebuild.ShakedownRun) *[]int64 { return &s.Findings }),
		readingLinks(ctx, tx, shakedownEvidence, r, r.ShakedownRun, func(s *rebuild.ShakedownRun) *[]int64 { return &s.Evidence }),
		func() error {
			return eachAttachment(ctx, tx, "shakedown_run_id", r.ID, func(id int64, a rebuild.Attachment) {
				if s := r.ShakedownRun(id); s != nil {
					s.Photos = append(s.Photos, a)
				}
			})
		},
		func() error {
			return eachAttachment(ctx, tx, "official_test_id", r.ID, func(id int64, a rebuild.Attachment) {
				if t := r.OfficialTest(id); t != nil {
					t.Photos = append(t.Photos, a)
				}
			})
		},
	)
}
