package workshop

import (
	"context"
	"time"

	"wreckwright/rebuild"
	"wreckwright/store"
)

// Fan is spent and expected over time.
type Fan struct {
	Spent []Step       // the ledger, summed up day by day
	Marks []store.Mark // how the forecast stood on earlier days
	Today string
	// Ahead runs from today to the day of finishing with even chance. Between
	// them the money goes with the hours, in a straight line: a simplification.
	Ahead   []FanPoint
	Finish  Finish
	Ceiling *float64
	// WorkedWorth is the worth of own hours spent, which is in Ahead and in the
	// marks' figures of the total but not in Spent; 0 where hours are left out of
	// the money.
	WorkedWorth float64
}

// Step is what was spent up to and with a day, in major units.
type Step struct {
	On     string
	Amount float64
}

// FanPoint is what will have been spent by a day.
type FanPoint struct {
	On            string
	P10, P50, P90 float64
}

// fanPoints is how many steps the fan has.
const fanPoints = 12

// History gives the fan over time.
func (w *Workshop) History(ctx context.Context, r *rebuild.Rebuild) (Fan, error) {
	o, err := w.Forecast(ctx, r)
	if err != nil {
		return Fan{}, err
	}
	marks, err := w.book.Marks(ctx, r.ID)
	if err != nil {
		return Fan{}, err
	}
	index, err := w.Entries(ctx, r)
	if err != nil {
		return Fan{}, err
	}
	today := w.today()
	f := Fan{Marks: marks, Today: today, Finish: finishOf(r, &o, today), Ceiling: o.Ceiling, WorkedWorth: o.WorkedWorth}
	for _, d := range index.Days() {
		f.Spent = append(f.Spent, Step{d.On, r.Amount(d.Balance).Float()})
	}
	f.Ahead = ahead(&o, f.Finish, today)
	return f, nil
}

func ahead(o *Outlook, finish Finish, today string) []FanPoint {
	from, errFrom := time.Parse(time.DateOnly, today)
	to, errTo := time.Parse(time.DateOnly, finish.P50)
	if errFrom != nil || errTo != nil {
		return nil
	}
	days := to.Sub(from).Hours() / 24
	steps := min(fanPoints, max(1, int(days)))
	var points []FanPoint
	for i := range steps + 1 {
		share := float64(i) / float64(steps)
		at := func(total float64) float64 { return o.Spent + share*(total-o.Spent) }
		on := from.AddDate(0, 0, int(share*days+0.5)).Format(time.DateOnly)
		points = append(points, FanPoint{on, at(o.Total.P10), at(o.Total.P50), at(o.Total.P90)})
	}
	return points
}
