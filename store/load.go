package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"strings"
	"time"

	"wreckwright/rebuild"
)

// Summary is what the yard shows of a rebuild.
type Summary struct {
	ID, Version int64
	Car         rebuild.Car
	ChangedAt   time.Time
}

// List gives all rebuilds, the one changed last first.
func (b *Book) List(ctx context.Context) ([]Summary, error) {
	var list []Summary
	var s Summary
	var at int64
	fields := append([]any{&s.ID, &s.Version, &at}, cars.fields(&s.Car, nil)...)
	query := "select id, version, changed_at_ms, car." + strings.Join(cars.columns, ", car.") + " from rebuild join car on car.rebuild_id = rebuild.id order by changed_at_ms desc, id desc"
	err := each(ctx, b.read, query, nil, fields, func() {
		s.ChangedAt = fromMillis(at)
		list = append(list, s)
		s = Summary{}
	})
	if err != nil {
		return nil, fmt.Errorf("listing the rebuilds: %w", b.plainly(err))
	}
	return list, nil
}

// Load gives a rebuild as it stands; [ErrNoRebuild] when there is none with that
// number. The value is shared: treat it as read-only.
func (b *Book) Load(ctx context.Context, id int64) (*rebuild.Rebuild, error) {
	version, err := b.versionOf(ctx, id)
	if err != nil {
		return nil, err
	}
	b.caching.RLock()
	cached := b.cache[id]
	b.caching.RUnlock()
	if cached != nil && cached.Version == version {
		return cached, nil
	}
	moment, err := b.snapshot(ctx)
	if err != nil {
		return nil, fmt.Errorf("reading rebuild %d: %w", id, b.plainly(err))
	}
	defer moment.Rollback()
	r, err := readRebuild(ctx, moment, id)
	if err != nil {
		return nil, fmt.Errorf("reading rebuild %d: %w", id, b.plainly(err))
	}
	b.remember(r)
	return r, nil
}

func (b *Book) versionOf(ctx context.Context, id int64) (int64, error) {
	var version int64
	err := b.read.QueryRowContext(ctx, "select version from rebuild where id = ?", id).Scan(&version)
	if errors.Is(err, sql.ErrNoRows) {
		return 0, ErrNoRebuild
	}
	if err != nil {
		return 0, fmt.Errorf("reading rebuild %d: %w", id, b.plainly(err))
	}
	return version, nil
}

// remember keeps the latest version seen.
func (b *Book) remember(r *rebuild.Rebuild) {
	b.caching.Lock()
	defer b.caching.Unlock()
	if old := b.cache[r.ID]; old == nil || old.Version < r.Version {
		b.cache[r.ID] = r
	}
}

func (b *Book) forget(id int64) {
	b.caching.Lock()
	defer b.caching.Unlock()
	delete(b.cache, id)
}

// snapshot is the book at one moment: what is read from it fits together
// whatever this or another process writes meanwhile. It is given back by Rollback.
func (b *Book) snapshot(ctx context.Context) (*sql.Tx, error) {
	return b.read.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
}

// readRebuild reads all rows of a rebuild.
func readRebuild(ctx context.Context, tx *sql.Tx, id int64) (*rebuild.Rebuild, error) {
	r := &rebuild.Rebuild{ID: id}
	if err := tx.QueryRowContext(ctx, "select version, next_id from rebuild where id = ?", id).Scan(&r.Version, &r.NextID); err != nil {
		return nil, err
	}
	car, err := readAll(ctx, tx, cars, "number", id, new(string))
	if err != nil || len(car) != 1 {
		return nil, errors.Join(err, fmt.Errorf("it has %d cars", len(car)))
	}
	r.Car = car[0]
	currency := r.Car.Currency
	err = firstError(
		func() error { return readAppraisal(ctx, tx, r) },
		func() (err error) { r.Zones, err = readAll(ctx, tx, zones, "number", id, &currency); return },
		func() (err error) { r.Stages, err = readAll(ctx, tx, stages, "number", id, &currency); return },
		func() (err error) { r.Findings, err = readAll(ctx, tx, findings, "id", id, &currency); return },
		func() (err error) { r.Jobs, err = readAll(ctx, tx, jobs, "id", id, &currency); return },
		func() (err error) { r.Entries, err = readAll(ctx, tx, entries, "id", id, &currency); return },
		func() (err error) { r.Evidence, err = readAll(ctx, tx, evidences, "id", id, &currency); return },
		func() (err error) { r.Cases, err = readAll(ctx, tx, cases, "id", id, &currency); return },
		func() (err error) { r.Strip, err = readAll(ctx, tx, stripItems, "id", id, &currency); return },
		func() (err error) { r.Joints, err = readAll(ctx, tx, joints, "id", id, &currency); return },
		func() (err error) { r.Tools, err = readAll(ctx, tx, tools, "id", id, &currency); return },
		func() error { return readParts(ctx, tx, r) },
		func() error { return readCaseParts(ctx, tx, r) },
		func() error { return readStripParts(ctx, tx, r) },
		func() error { return readJointParts(ctx, tx, r) },
		func() error { return readProof(ctx, tx, r) },
		func() error { return readPlan(ctx, tx, r) },
	)
	return r, err
}

// readAppraisal reads the one appraisal with its lists.
func readAppraisal(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	currency := r.Car.Currency
	all, err := readAll(ctx, tx, appraisals, "number", r.ID, &currency)
	if err != nil || len(all) != 1 {
		return errors.Join(err, fmt.Errorf("it has %d appraisals", len(all)))
	}
	r.Appraisal = all[0]
	return firstError(
		func() (err error) { r.Appraisal.Events, err = readPlaced(ctx, tx, appraisalEvents, r); return },
		func() (err error) { r.Appraisal.Fees, err = readPlaced(ctx, tx, appraisalFeeBands, r); return },
		func() (err error) { r.Appraisal.Other, err = readPlaced(ctx, tx, appraisalOthers, r); return },
	)
}

func readPlaced[T any](ctx context.Context, tx *sql.Tx, t table[placed[T]], r *rebuild.Rebuild) ([]T, error) {
	currency := r.Car.Currency
	rows, err := readAll(ctx, tx, t, "place", r.ID, &currency)
	var list []T
	for _, row := range rows {
		list = append(list, row.item)
	}
	return list, err
}

// readParts hangs routes, findings, figures and attachments on what they belong to.
func readParts(ctx context.Context, tx *sql.Tx, r *rebuild.Rebuild) error {
	return firstError(
		func() error {
			return eachPart(ctx, tx, routes, "job_id, place", r.ID, func(row *routeRow) {
				if j := r.Job(row.job); j != nil {
					j.Routes = append(j.Routes, row.route)
				}
			})
		},
		func() error {
			return eachPart(ctx, tx, jobFindings, "job_id, place", r.ID, func(row *linkRow) {
				if j := r.Job(row.owner); j != nil {
					j.Findings = append(j.Findings, row.other)
				}
			})
		},
		func() error {
			return eachAttachment(ctx, tx, "finding_id", r.ID, func(id int64, a rebuild.Attachment) {
				if f := r.Finding(id); f != nil {
					f.Photos = append(f.Photos, a)
				}
			})
		},
		func() error {
			return eachAttachment(ctx, tx, "job_id", r.ID, func(id int64, a rebuild.Attachment) {
				if j := r.Job(id); j != nil {
					j.Proofs = append(j.Proofs, a)
				}
			})
		},
		func() error {
			return eachAttachment(ctx, tx, "entry_id", r.ID, func(id int64, a rebuild.Attachment) {
				if e := r.Entry(id); e != nil {
					e.Receipts = append(e.Receipts, a)
				}
			})
		},
		func() error {
			return eachPart(ctx, tx, evidenceFigures, "evidence_id, place", r.ID, func(row *evidenceFigureRow) {
				if e := r.EvidenceAt(row.evidence); e != nil {
					e.Figures = append(e.Figures, row.figure)
				}
			})
		},
		func() error {
			return eachAttachment(ctx, tx, "evidence_id", r.ID, func(id int64, a rebuild.Attachment) {
				if e := r.EvidenceAt(id); e != nil {
					e.Raw = append(e.Raw, a)
				}
			})
		},
	)
}

func firstError(steps ...func() error) error {
	for _, step := range steps {
		if err := step(); err != nil {
			return err
		}
	}
	return nil
}

// queryer is a database or a transaction.
type queryer interface {
	QueryContext(ctx context.Context, query string, args ...any) (*sql.Rows, error)
	QueryRowContext(ctx context.Context, query string, args ...any) *sql.Row
}

// each reads every row into the same fields and calls f after each.
func each(ctx context.Context, q queryer, query string, args []any, fields []any, f func()) error {
	rows, err := q.QueryContext(ctx, query, args...)
	if err != nil {
		return err
	}
	defer rows.Close()
	for rows.Next() {
		if err := rows.Scan(fields...); err != nil {
			return err
		}
		f()
	}
	return rows.Err()
}

func readAll[T any](ctx context.Context, q queryer, t table[T], order string, id int64, currency *string) ([]T, error) {
	var all []T
	var one T
	err := each(ctx, q, t.selectSQL(order), []any{id}, t.fields(&one, currency), func() {
		all = append(all, one)
		var none T
		one = none
	})
	return all, err
}

func eachPart[T any](ctx context.Context, q queryer, t table[T], order string, id int64, f func(*T)) error {
	return eachPriced(ctx, q, t, order, &rebuild.Rebuild{ID: id}, f)
}

// eachPriced reads parts that may hold sums, in the rebuild's currency.
func eachPriced[T any](ctx context.Context, q queryer, t table[T], order string, r *rebuild.Rebuild, f func(*T)) error {
	var row T
	currency := r.Car.Currency
	return each(ctx, q, t.selectSQL(order), []any{r.ID}, t.fields(&row, &currency), func() {
		f(&row)
		var none T
		row = none
	})
}

func eachAttachment(ctx context.Context, q queryer, owner string, id int64, f func(int64, rebuild.Attachment)) error {
	t := attachmentsOf(owner)
	var row attachmentRow
	query := fmt.Sprintf("select %s from attachment where rebuild_id = ? and %s is not null order by %s, place", strings.Join(t.columns, ", "), owner, owner)
	return each(ctx, q, query, []any{id}, t.fields(&row, nil), func() {
		f(row.owner, row.attachment)
		row = attachmentRow{}
	})
}
