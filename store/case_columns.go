package store

import (
	"context"
	"database/sql"
	"reflect"
	"slices"
	"strings"

	"wreckwright/rebuild"
)

var cases = table[rebuild.Case]{
	"fault_case", strings.Fields("id rev on_day title model_from model together state cause note"),
	func(k *rebuild.Case, _ *string) []any {
		return []any{&k.ID, &k.Rev, &k.On, &k.Title, &k.ModelFrom, &k.Model, &k.Together, &k.State, &k.Cause, &k.Note}
	},
}

// caseStepRow is a step with the case it belongs to and its place there.
type caseStepRow struct {
	of, place int64
	step      rebuild.CaseStep
}

var caseSteps = table[caseStepRow]{
	"case_step", strings.Fields("case_id place at kind what outcome value value_sd cured evidence_id note"),
	func(row *caseStepRow, _ *string) []any {
		s := &row.step
		return []any{
			&row.of, &row.place, &s.At, &s.Kind, &s.What, &s.Outcome, &s.Value, &s.ValueSD, &s.Cured,
			orNull{&s.EvidenceID},
			&s.Note,
		}
	},
}

// notNowRow says that a case waits with something.
type notNowRow struct {
	of, place int64
	what      string
}

var casesNotNow = table[notNowRow]{
	"case_not_now", strings.Fields("case_id place what"),
	func(row *notNowRow, _ *string) []any { return []any{&row.of, &row.place, &row.what} },
}

var (
	caseFindings = links("case_finding", "case_id", "finding_id")
	caseJobs     = links("case_job", "case_id", "job_id")
)

func (w *rows) keepCase(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Case)
	after, _ := e.After.(rebuild.Case)
	return firstError(
		func() error { return keepRow(w, cases, e) },
		func() error { return w.keepSteps(e.ID(), before.Steps, after.Steps) },
		func() error { return w.keepNotNow(e.ID(), before.NotNow, after.NotNow) },
		func() error { return w.keepLinks(caseFindings, e.ID(), before.Findings, after.Findings) },
		func() error { return w.keepLinks(caseJobs, e.ID(), before.Jobs, after.Jobs) },
	)
}

// keepSteps writes the steps anew where any of them differs.
func (w *rows) keepSteps(of int64, before, after []rebuild.CaseStep) error {
	if reflect.DeepEqual(before, after) {
		return nil
	}
	if _, err := w.exec("delete from case_step where rebuild_id = ? and case_id = ?", w.id, of); err != nil {
		return err
	}
	for i, s := range after {
		if err := insert(w, caseSteps, caseStepRow{of, int64(i + 1), s}); err != nil {
			return err
		}
	}
	return nil
}

func (w *rows) keepNotNow(of int64, before, after []string) error {
	if slices.Equal(before, after) {
		return nil
	}
	if _, err := w.exec("delete from case_not_now where rebuild_id = ? and case_id = ?", w.id, of); err != nil {
		return err
	}
	for i, what := range after {
		if err := insert(w, casesNotNow, notNowRow{of, int64(i + 1), what}); err != nil {
			return err
		}
	}
	return nil
}

// readCaseParts hangs steps, findings, jobs and what must wait on their cases.
func readCaseParts(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	const order = "case_id, place"
	with := func(id int64, do func(*rebuild.Case)) {
		if k := r.Case(id); k != nil {
			do(k)
		}
	}
	return firstError(
		func() error {
			return eachPart(ctx, tx, caseSteps, order, r.ID, func(row *caseStepRow) {
				with(row.of, func(k *rebuild.Case) { k.Steps = append(k.Steps, row.step) })
			})
		},
		func() error {
			return eachPart(ctx, tx, casesNotNow, order, r.ID, func(row *notNowRow) {
				with(row.of, func(k *rebuild.Case) { k.NotNow = append(k.NotNow, row.what) })
			})
		},
		func() error {
			return eachPart(ctx, tx, caseFindings, order, r.ID, func(row *linkRow) {
				with(row.owner, func(k *rebuild.Case) { k.Findings = append(k.Findings, row.other) })
			})
		},
		func() error {
			return eachPart(ctx, tx, caseJobs, order, r.ID, func(row *linkRow) {
				with(row.owner, func(k *rebuild.Case) { k.Jobs = append(k.Jobs, row.other) })
			})
		},
	)
}
