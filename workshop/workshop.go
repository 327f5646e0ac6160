package workshop

import (
	"context"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"wreckwright/bench/survey"
	"wreckwright/diagnose/faultmodel"
	"wreckwright/money/ledger"
	"wreckwright/rebuild"
	"wreckwright/store"
)

// Workshop answers for the rebuilds of one book. It is safe for use by several
// goroutines.
type Workshop struct {
	book  *store.Book
	log   *slog.Logger
	today func() string
	life  context.Context // ends with Close: how long computations may go on
	end   context.CancelFunc
	marks *keeper

	outlooks  memory[Outlook]
	answers   memory[Answers]
	actions   memory[[]Action]
	savings   memory[Savings]
	entries   memory[*ledger.Index]
	appraised memory[Appraised]
	gates     memory[[]GateLine]
	plans     memory[*WorkPlan] // after a short search
	better    memory[*WorkPlan] // after a long one
	searching searches
	waiting   memory[[]Wait]
	weighed   memory[[]*Diagnosis] // the open cases
	weighing  memory[time.Time]    // since when they are being weighed
	patience  time.Duration        // how long a list waits for them
	ahead     atomic.Bool          // they are weighed after each change
	aside     sync.WaitGroup
	models    contents[faultmodel.Model]
	advice    contents[advised]
	surveyed  contents[Surveyed]
	tapes     contents[survey.Tape]
}

// New opens the workshop over a book. today gives the day as an ISO date. Close
// it before the book.
func New(book *store.Book, log *slog.Logger, today func() string) *Workshop {
	if log == nil {
		log = slog.New(slog.DiscardHandler)
	}
	life, end := context.WithCancel(context.Background())
	w := &Workshop{book: book, log: log, today: today, life: life, end: end, patience: soonEnough, searching: searches{turn: make(chan struct{}, 1)}}
	w.marks = newKeeper(w.keepMark, func(id int64, err error) {
		log.Warn("the forecast of today was not kept", "rebuild", id, "error", err)
	})
	return w
}

// Close waits until today's marks are kept. The book stays open.
func (w *Workshop) Close() error {
	w.marks.close()
	w.end()
	w.searching.all.Wait()
	w.aside.Wait()
	return nil
}

// Book is the book that the workshop works on.
func (w *Workshop) Book() *store.Book { return w.book }

// Do makes one change: see [store.Book.Do]. Afterwards the forecast of the day
// is kept as a mark in the background.
func (w *Workshop) Do(ctx context.Context, by store.By, id int64, f func(*rebuild.Rebuild) (rebuild.Change, error)) (*rebuild.Rebuild, store.Record, error) {
	r, record, err := w.book.Do(ctx, by, id, f)
	if err == nil {
		w.marks.soon(id)
	}
	return r, record, err
}

// Forecast is the outlook of a rebuild as the book has it. Where it has to be
// worked out, it is also kept as today's mark.
func (w *Workshop) Forecast(ctx context.Context, r *rebuild.Rebuild) (Outlook, error) {
	return w.outlook(ctx, r, func() { w.marks.soon(r.ID) })
}

// outlook looks the forecast up or works it out; fresh is called in that case.
func (w *Workshop) outlook(ctx context.Context, r *rebuild.Rebuild, fresh func()) (Outlook, error) {
	return w.outlooks.get(ctx, w.life, r, w.overheadDay(r), func(life context.Context) (Outlook, error) {
		fresh()
		t, over, err := w.withOverheads(life, r, translate(r))
		if err != nil {
			return Outlook{}, err
		}
		o, err := forecastOf(life, r, t)
		o.Overheads = over
		return o, err
	})
}

// keepMark keeps how the rebuild's forecast stands today.
func (w *Workshop) keepMark(ctx context.Context, id int64) error {
	r, err := w.book.Load(ctx, id)
	if err != nil {
		return err
	}
	o, err := w.outlook(ctx, r, func() {})
	if err != nil {
		return err
	}
	mark := store.Mark{
		On: w.today(), Spent: o.Ledger, Mean: o.Total.Mean, P10: o.Total.P10, P50: o.Total.P50,
		P80: o.Total.P80, P90: o.Total.P90, ChanceUnder: o.ChanceUnderCeiling, Version: r.Version,
	}
	p, err := w.quickPlan(ctx, r)
	if err != nil {
		return err
	}
	if p.Why == "" {
		mark.Plan = &p.Stand
	}
	if w.ahead.Load() {
		w.weigh(r)
	}
	return w.book.KeepMark(ctx, id, mark)
}
