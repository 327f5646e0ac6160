package store

import (
	"database/sql"
	"database/sql/driver"
	"fmt"
	"strings"

	"wreckwright/money/amount"
	"wreckwright/rebuild"
	"wreckwright/uncertain"
)

// table is where items of type T are kept. fields gives pointers into an item in
// the order of the columns, good for reading and for writing; the first two are
// its number and its revision. The currency is that of the rebuild, for sums.
type table[T any] struct {
	name    string
	columns []string
	fields  func(item *T, currency *string) []any
}

var cars = table[rebuild.Car]{
	"car", strings.Fields(`number rev name maker model year vin plate colour jurisdiction category distance_unit
		distance bought_on currency ceiling_minor hour_value_minor hours_per_week correlation wanted_by note shelved candidate`),
	func(c *rebuild.Car, _ *string) []any {
		return []any{
			only{1},
			&c.Rev, &c.Name, &c.Maker, &c.Model, &c.Year, &c.VIN, &c.Plate, &c.Colour, &c.Jurisdiction, &c.Category, &c.DistanceUnit,
			// The currency comes before the sums, which are read with it.
			&c.Distance, &c.BoughtOn, &c.Currency,
			sum{&c.Ceiling, &c.Currency},
			sum{&c.HourValue, &c.Currency},
			&c.HoursPerWeek, &c.Correlation, &c.WantedBy, &c.Note, &c.Shelved, &c.Candidate,
		}
	},
}

var zones = table[rebuild.Zone]{
	"zone", strings.Fields("number rev open_share hidden_expected hidden_cost_low hidden_cost_likely hidden_cost_high note"),
	func(z *rebuild.Zone, _ *string) []any {
		return []any{&z.Number, &z.Rev, &z.OpenShare, &z.HiddenExpected, &z.HiddenCost.Low, &z.HiddenCost.Likely, &z.HiddenCost.High, &z.Note}
	},
}

var stages = table[rebuild.Stage]{
	"stage", strings.Fields("number rev state done_on note"),
	func(s *rebuild.Stage, _ *string) []any {
		return []any{&s.Number, &s.Rev, &s.State, &s.DoneOn, &s.Note}
	},
}

var findings = table[rebuild.Finding]{
	"finding", strings.Fields("id rev zone what how_found severity safety found_on dismissed"),
	func(f *rebuild.Finding, _ *string) []any {
		return []any{&f.ID, &f.Rev, &f.Zone, &f.What, &f.HowFound, &f.Severity, &f.Safety, &f.On, &f.Dismissed}
	},
}

var jobs = table[rebuild.Job]{
	"job", strings.Fields(`id rev title zone stage safety needed chosen estimate_low estimate_likely estimate_high
		reference_minor reference_from state waiting_for done_on hours_spent failed cost_nothing proof note`),
	func(j *rebuild.Job, currency *string) []any {
		estimate := func(of func(*uncertain.Range) any) any { return part[uncertain.Range]{&j.Estimate, of} }
		return []any{
			&j.ID, &j.Rev, &j.Title, &j.Zone, &j.Stage, &j.Safety, &j.Needed,
			orNull{&j.Chosen},
			estimate(func(r *uncertain.Range) any { return &r.Low }),
			estimate(func(r *uncertain.Range) any { return &r.Likely }),
			estimate(func(r *uncertain.Range) any { return &r.High }),
			sum{&j.Reference, currency},
			&j.ReferenceFrom, &j.State, &j.WaitingFor, &j.DoneOn, &j.HoursSpent, &j.Failed, &j.CostNothing, &j.Proof, &j.Note,
		}
	},
}

var entries = table[rebuild.Entry]{
	"entry", strings.Fields("id rev paid_on amount_minor tax_minor kind supplier what job_id general"),
	func(e *rebuild.Entry, currency *string) []any {
		return []any{&e.ID, &e.Rev, &e.On, sum{&e.Amount, currency}, sum{&e.Tax, currency}, &e.Kind, &e.Supplier, &e.What, orNull{&e.JobID}, &e.General}
	},
}

// routeRow is a route with the job it belongs to and its place there.
type routeRow struct {
	job, place int64
	route      rebuild.Route
}

var routes = table[routeRow]{
	"route", strings.Fields(`id job_id place kind method name cost_low cost_likely cost_high hours_low hours_likely hours_high works
		fallback_name fallback_cost_low fallback_cost_likely fallback_cost_high fallback_hours_low fallback_hours_likely fallback_hours_high basis`),
	func(row *routeRow, _ *string) []any {
		r := &row.route
		fallback := func(of func(*rebuild.Fallback) any) any { return part[rebuild.Fallback]{&r.Fallback, of} }
		return []any{
			&r.ID, &row.job, &row.place, &r.Kind, &r.Method, &r.Name,
			&r.Cost.Low, &r.Cost.Likely, &r.Cost.High, &r.Hours.Low, &r.Hours.Likely, &r.Hours.High, &r.Works,
			fallback(func(f *rebuild.Fallback) any { return &f.Name }),
			fallback(func(f *rebuild.Fallback) any { return &f.Cost.Low }),
			fallback(func(f *rebuild.Fallback) any { return &f.Cost.Likely }),
			fallback(func(f *rebuild.Fallback) any { return &f.Cost.High }),
			fallback(func(f *rebuild.Fallback) any { return &f.Hours.Low }),
			fallback(func(f *rebuild.Fallback) any { return &f.Hours.Likely }),
			fallback(func(f *rebuild.Fallback) any { return &f.Hours.High }),
			&r.Basis,
		}
	},
}

// attachmentRow is an attachment with what it hangs on and its place there. The
// column of the owner is named by the query.
type attachmentRow struct {
	owner, place int64
	attachment   rebuild.Attachment
}

func attachmentsOf(owner string) table[attachmentRow] {
	return table[attachmentRow]{
		"attachment",
		[]string{owner, "place", "hash", "name", "media_type", "size", "caption"},
		func(row *attachmentRow, _ *string) []any {
			a := &row.attachment
			return []any{&row.owner, &row.place, &a.Hash, &a.Name, &a.MediaType, &a.Size, &a.Caption}
		},
	}
}

// linkRow says that an item names another one, and in which place.
type linkRow struct{ owner, place, other int64 }

// links is the table of which item names which others.
func links(name, owner, other string) table[linkRow] {
	return table[linkRow]{
		name,
		[]string{owner, "place", other},
		func(row *linkRow, _ *string) []any { return []any{&row.owner, &row.place, &row.other} },
	}
}

// jobFindings says which findings a job settles.
var jobFindings = links("job_finding", "job_id", "finding_id")

func (t table[T]) insertSQL() string {
	return fmt.Sprintf("insert into %s (rebuild_id, %s) values (?%s)", t.name, strings.Join(t.columns, ", "), strings.Repeat(", ?", len(t.columns)))
}

func (t table[T]) updateSQL() string {
	return fmt.Sprintf("update %s set %s = ? where rebuild_id = ? and %s = ? and rev = ?", t.name, strings.Join(t.columns, " = ?, "), t.columns[0])
}

func (t table[T]) deleteSQL() string {
	return fmt.Sprintf("delete from %s where rebuild_id = ? and %s = ? and rev = ?", t.name, t.columns[0])
}

func (t table[T]) selectSQL(order string) string {
	return fmt.Sprintf("select %s from %s where rebuild_id = ? order by %s", strings.Join(t.columns, ", "), t.name, order)
}

// sum is kept as minor units; null is the amount that nobody gave.
type sum struct {
	amount   *amount.Amount
	currency *string
}

// Value is part of [driver.Valuer].
func (s sum) Value() (driver.Value, error) {
	if *s.amount == (amount.Amount{}) {
		return nil, nil
	}
	return s.amount.Minor, nil
}

// Scan is part of sql.Scanner.
func (s sum) Scan(from any) error {
	switch minor := from.(type) {
	case nil:
		*s.amount = amount.Amount{}
	case int64:
		*s.amount = amount.New(minor, *s.currency)
	default:
		return fmt.Errorf("a sum of money is kept as %T", from)
	}
	return nil
}

// orNull is a number for which zero means none.
type orNull struct{ number *int64 }

// Value is part of [driver.Valuer].
func (o orNull) Value() (driver.Value, error) {
	if *o.number == 0 {
		return nil, nil
	}
	return *o.number, nil
}

// Scan is part of sql.Scanner.
func (o orNull) Scan(from any) error {
	switch n := from.(type) {
	case nil:
		*o.number = 0
	case int64:
		*o.number = n
	default:
		return fmt.Errorf("a number is kept as %T", from)
	}
	return nil
}

// only is a column that holds the same number everywhere.
type only struct{ number int64 }

// Value is part of [driver.Valuer].
func (o only) Value() (driver.Value, error) { return o.number, nil }

// Scan is part of sql.Scanner.
func (o only) Scan(from any) error {
	if from != o.number {
		return fmt.Errorf("%v stands where only %d can", from, o.number)
	}
	return nil
}

// part is a field of something that may not be there: then all its columns are
// null.
type part[T any] struct {
	whole **T
	of    func(*T) any
}

// Value is part of [driver.Valuer].
func (p part[T]) Value() (driver.Value, error) {
	if *p.whole == nil {
		return nil, nil
	}
	return driver.DefaultParameterConverter.ConvertValue(p.of(*p.whole))
}

// Scan is part of sql.Scanner.
func (p part[T]) Scan(from any) error {
	if from == nil {
		return nil
	}
	if *p.whole == nil {
		*p.whole = new(T)
	}
	switch field := p.of(*p.whole).(type) {
	case *float64:
		*field, _ = from.(float64)
	case *string:
		*field, _ = from.(string)
	case *int:
		n, _ := from.(int64)
		*field = int(n)
	case sql.Scanner:
		return field.Scan(from)
	}
	return nil
}
