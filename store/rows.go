package store

import (
	"context"
	"database/sql"
	"fmt"
	"slices"

	"wreckwright/rebuild"
)

// rows writes the rows of one rebuild in one transaction. Statements are
// prepared once, for a change may enter thousands of ledger lines.
type rows struct {
	ctx      context.Context
	tx       *sql.Tx
	id       int64 // the rebuild
	prepared map[string]*sql.Stmt
}

func (w *rows) exec(query string, args ...any) (sql.Result, error) {
	statement := w.prepared[query]
	if statement == nil {
		var err error
		if statement, err = w.tx.PrepareContext(w.ctx, query); err != nil {
			return nil, err
		}
		w.prepared[query] = statement
	}
	return statement.ExecContext(w.ctx, args...)
}

// transact runs f in one transaction. A change that has begun is brought to its
// end even when the page that asked for it is gone, so that nobody has to wonder
// whether it counted.
func (b *Book) transact(ctx context.Context, id int64, f func(*rows) error) error {
	if b.readOnly {
		return &ReadOnlyFolder{b.dir, errOpenedReading}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	ctx = context.WithoutCancel(ctx)
	tx, err := b.write.BeginTx(ctx, nil)
	if err != nil {
		return b.plainly(err)
	}
	defer tx.Rollback()
	if err := f(&rows{ctx, tx, id, map[string]*sql.Stmt{}}); err != nil {
		return b.plainly(err)
	}
	if err := tx.Commit(); err != nil {
		return b.plainly(err)
	}
	return nil
}

// keep writes one edit into the tables of its kind.
func (w *rows) keep(e rebuild.Edit) error {
	switch e.Kind() {
	case rebuild.KindCar:
		return keepRow(w, cars, e)
	case rebuild.KindAppraisal:
		return w.keepAppraisal(e)
	case rebuild.KindZone:
		return keepRow(w, zones, e)
	case rebuild.KindStage:
		return keepRow(w, stages, e)
	case rebuild.KindFinding:
		return w.keepFinding(e)
	case rebuild.KindJob:
		return w.keepJob(e)
	case rebuild.KindEntry:
		return w.keepEntry(e)
	case rebuild.KindEvidence:
		return w.keepEvidence(e)
	case rebuild.KindCase:
		return w.keepCase(e)
	case rebuild.KindStripItem:
		return w.keepStripItem(e)
	case rebuild.KindJoint:
		return w.keepJoint(e)
	case rebuild.KindTool:
		return keepRow(w, tools, e)
	case rebuild.KindGatePass:
		return w.keepGatePass(e)
	case rebuild.KindShakedownRun:
		return w.keepShakedownRun(e)
	case rebuild.KindRehearsed:
		return keepRow(w, rehearsals, e)
	case rebuild.KindOfficialTest:
		return w.keepOfficialTest(e)
	case rebuild.KindConfirmation:
		return keepRow(w, confirmations, e)
	}
	return w.keepOfPlan(e)
}

// keepOfPlan writes one edit of a measuring sheet or of what belongs to the plan.
func (w *rows) keepOfPlan(e rebuild.Edit) error {
	switch e.Kind() {
	case rebuild.KindSheet:
		return keepRow(w, sheets, e)
	case rebuild.KindPerson:
		return w.keepPerson(e)
	case rebuild.KindThing:
		return keepRow(w, things, e)
	case rebuild.KindMilestone:
		return w.keepMilestone(e)
	case rebuild.KindJobPlan:
		return w.keepJobPlan(e)
	case rebuild.KindDelivery:
		return keepRow(w, deliveries, e)
	case rebuild.KindTimetable:
		return w.keepTimetable(e)
	}
	return fmt.Errorf("unknown kind of item %q", e.Kind())
}

// keepRow adds, replaces or deletes one row. What is replaced or deleted must
// still have the revision that the edit was made against.
func keepRow[T rebuild.Item](w *rows, t table[T], e rebuild.Edit) error {
	after, stays := e.After.(T)
	if e.Before == nil {
		_, err := w.exec(t.insertSQL(), append([]any{w.id}, t.fields(&after, nil)...)...)
		return err
	}
	key := []any{w.id, e.ID(), e.Before.Revision()}
	query, args := t.deleteSQL(), key
	if stays {
		query, args = t.updateSQL(), append(t.fields(&after, nil), key...)
	}
	done, err := w.exec(query, args...)
	if err != nil {
		return err
	}
	if n, err := done.RowsAffected(); err != nil || n != 1 {
		return &rebuild.Conflict{Kind: e.Kind(), ID: e.ID(), Label: e.Before.Label()}
	}
	return nil
}

func (w *rows) keepFinding(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Finding)
	after, _ := e.After.(rebuild.Finding)
	if err := keepRow(w, findings, e); err != nil {
		return err
	}
	return w.keepAttachments("finding_id", e.ID(), before.Photos, after.Photos)
}

func (w *rows) keepEntry(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Entry)
	after, _ := e.After.(rebuild.Entry)
	if err := keepRow(w, entries, e); err != nil {
		return err
	}
	return w.keepAttachments("entry_id", e.ID(), before.Receipts, after.Receipts)
}

func (w *rows) keepJob(e rebuild.Edit) error {
	before, _ := e.Before.(rebuild.Job)
	after, _ := e.After.(rebuild.Job)
	if err := keepRow(w, jobs, e); err != nil {
		return err
	}
	if err := w.keepRoutes(e.ID(), before.Routes, after.Routes); err != nil {
		return err
	}
	if err := w.keepLinks(jobFindings, e.ID(), before.Findings, after.Findings); err != nil {
		return err
	}
	return w.keepAttachments("job_id", e.ID(), before.Proofs, after.Proofs)
}

// keepRoutes writes the routes anew where any of them differs; there are few.
func (w *rows) keepRoutes(job int64, before, after []rebuild.Route) error {
	if len(before) > 0 {
		if _, err := w.exec("delete from route where rebuild_id = ? and job_id = ?", w.id, job); err != nil {
			return err
		}
	}
	for i, r := range after {
		if err := insert(w, routes, routeRow{job, int64(i + 1), r}); err != nil {
			return err
		}
	}
	return nil
}

// keepLinks writes what the owner names anew where it differs.
func (w *rows) keepLinks(t table[linkRow], owner int64, before, after []int64) error {
	if slices.Equal(before, after) {
		return nil
	}
	if _, err := w.exec("delete from "+t.name+" where rebuild_id = ? and "+t.columns[0]+" = ?", w.id, owner); err != nil {
		return err
	}
	for i, id := range after {
		if err := insert(w, t, linkRow{owner, int64(i + 1), id}); err != nil {
			return err
		}
	}
	return nil
}

func (w *rows) keepAttachments(owner string, id int64, before, after []rebuild.Attachment) error {
	if slices.Equal(before, after) {
		return nil
	}
	if _, err := w.exec("delete from attachment where rebuild_id = ? and "+owner+" = ?", w.id, id); err != nil {
		return err
	}
	for i, a := range after {
		if err := w.fileIsKept(a); err != nil {
			return err
		}
		if err := insert(w, attachmentsOf(owner), attachmentRow{id, int64(i + 1), a}); err != nil {
			return err
		}
	}
	return nil
}

// fileIsKept refuses an attachment whose content was never handed in.
func (w *rows) fileIsKept(a rebuild.Attachment) error {
	var n int
	if err := w.tx.QueryRowContext(w.ctx, "select count(*) from file where hash = ?", a.Hash).Scan(&n); err != nil {
		return err
	}
	if n == 0 {
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "files", Text: fmt.Sprintf("the file %q did not arrive; send it again", a.Name)}}}
	}
	return nil
}

func insert[T any](w *rows, t table[T], row T) error {
	_, err := w.exec(t.insertSQL(), append([]any{w.id}, t.fields(&row, nil)...)...)
	return err
}
