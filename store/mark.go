package store

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"math"
	"time"
	"unicode/utf8"

	"wreckwright/rebuild"
)

// Mark is the forecast as it stood on a day, in major units of the rebuild's
// currency: the money page draws them as a fan over time.
type Mark struct {
	On          string   `json:"on"` // ISO date
	Spent       float64  `json:"spent"`
	Mean        float64  `json:"mean"`
	P10         float64  `json:"p10"`
	P50         float64  `json:"p50"`
	P80         float64  `json:"p80"`
	P90         float64  `json:"p90"`
	ChanceUnder *float64 `json:"chance_under"` // the ceiling; nil: none set
	Version     int64    `json:"version"`      // of the rebuild that was forecast
	// Plan is the plan of that day; nil: none was worked out. Missing before
	// version 7 of the export.
	Plan *rebuild.PlanStand `json:"plan"`
}

// KeepMark keeps the forecast of a day; a later one of the same day replaces it,
// but leaves the plan of that day where it has none.
func (b *Book) KeepMark(ctx context.Context, id int64, m Mark) error {
	if err := m.check(); err != nil {
		return err
	}
	if _, err := b.versionOf(ctx, id); err != nil {
		return err
	}
	b.writing.Lock()
	defer b.writing.Unlock()
	err := b.transact(ctx, id, func(w *rows) error { return w.keepMark(m) })
	if err != nil {
		return fmt.Errorf("keeping the forecast of %s: %w", m.On, err)
	}
	return nil
}

func (w *rows) keepMark(m Mark) error {
	_, err := w.exec(`insert or replace into mark (rebuild_id, on_day, spent, mean, p10, p50, p80, p90, chance_under, version, plan)
		values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, coalesce(nullif(?, ''), (select plan from mark where rebuild_id = ? and on_day = ?), ''))`,
		w.id, m.On, m.Spent, m.Mean, m.P10, m.P50, m.P80, m.P90, m.ChanceUnder, m.Version, stand{&m.Plan}, w.id, m.On)
	return err
}

// Marks gives the marks of a rebuild, earliest first.
func (b *Book) Marks(ctx context.Context, id int64) ([]Mark, error) {
	marks, err := readMarks(ctx, b.read, id)
	if err != nil {
		return nil, fmt.Errorf("reading the earlier forecasts: %w", b.plainly(err))
	}
	return marks, nil
}

func readMarks(ctx context.Context, q queryer, id int64) ([]Mark, error) {
	var list []Mark
	var m Mark
	var under sql.NullFloat64
	fields := []any{&m.On, &m.Spent, &m.Mean, &m.P10, &m.P50, &m.P80, &m.P90, &under, &m.Version, stand{&m.Plan}}
	err := each(ctx, q, "select on_day, spent, mean, p10, p50, p80, p90, chance_under, version, plan from mark where rebuild_id = ? order by on_day", []any{id}, fields, func() {
		m.ChanceUnder = nil
		if under.Valid {
			chance := under.Float64
			m.ChanceUnder = &chance
		}
		list = append(list, m)
	})
	return list, err
}

func (m Mark) check() error {
	if _, err := time.Parse(time.DateOnly, m.On); err != nil {
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "on", Text: fmt.Sprintf("the day %q of a forecast is not a date like 2026-03-21", m.On)}}}
	}
	numbers := []float64{m.Spent, m.Mean, m.P10, m.P50, m.P80, m.P90}
	if m.ChanceUnder != nil {
		numbers = append(numbers, *m.ChanceUnder)
	}
	for _, n := range numbers {
		if math.IsNaN(n) || math.IsInf(n, 0) {
			return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "mean", Text: "the forecast of " + m.On + " holds something that is not a number"}}}
		}
	}
	if m.Plan != nil {
		return m.Plan.Validate()
	}
	return nil
}

// Setting gives a setting of the whole book; empty when it was never set.
func (b *Book) Setting(ctx context.Context, key string) (string, error) {
	var value string
	err := b.read.QueryRowContext(ctx, "select value from setting where key = ?", key).Scan(&value)
	if err != nil && !errors.Is(err, sql.ErrNoRows) {
		return "", fmt.Errorf("reading the setting %q: %w", key, b.plainly(err))
	}
	return value, nil
}

// SetSetting keeps a setting of the whole book.
func (b *Book) SetSetting(ctx context.Context, key, value string) error {
	if !utf8.ValidString(key + value) {
		return &rebuild.Invalid{Problems: []rebuild.Problem{{Field: "value", Text: fmt.Sprintf("the setting %q is not valid text", key)}}}
	}
	b.writing.Lock()
	defer b.writing.Unlock()
	err := b.transact(ctx, 0, func(w *rows) error { return w.keepSetting(key, value) })
	if err != nil {
		return fmt.Errorf("keeping the setting %q: %w", key, err)
	}
	return nil
}

func (w *rows) keepSetting(key, value string) error {
	_, err := w.exec("insert or replace into setting (key, value) values (?, ?)", key, value)
	return err
}
