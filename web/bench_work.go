package web

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"sync"
	"sync/atomic"
	"time"

	"wreckwright/rebuild"
)

// works does what takes seconds beside the request that asked for it, so that a
// page can say how far it is and call it back. One piece of work is done at a
// time: it takes both cores and some hundred megabytes. Answers are kept, and
// refusals, so that what asks again gets them.
type works[T any] struct {
	answers  latest[answered[T]]
	patience time.Duration // how long a page waits before it says how far the work is
	keepFor  time.Duration // how long work goes on that nobody asks for; 0: as usual

	mutex    sync.Mutex
	underway map[string]*work[T]
	turn     sync.Mutex
}

// answered is what a piece of work came to; the error is a [*rebuild.Invalid].
type answered[T any] struct {
	answer T
	err    error
}

// work is one piece under way. What it came to may be read when ended is closed.
type work[T any] struct {
	ended  chan struct{}
	came   answered[T]
	read   atomic.Int64 // bytes so far
	cancel context.CancelFunc
	unread *time.Timer // calls it back when nobody asks any more
}

const (
	patience  = 700 * time.Millisecond
	abandoned = 30 * time.Second // a page asks every second or two
)

// task does the work, reading what from tells.
type task[T any] func(ctx context.Context, heed func(io.Reader) io.Reader) (T, error)

// ask gives the answer; or, where it is not there after a while, how many bytes
// were read so far, with done false. wait makes it wait for the end.
func (w *works[T]) ask(ctx context.Context, key string, wait bool, do task[T]) (answer T, done bool, read int64, err error) {
	if kept, ok := w.answers.get(key); ok {
		return kept.answer, true, 0, kept.err
	}
	now := w.start(key, do)
	var late <-chan time.Time
	if !wait {
		late = time.After(w.patience)
	}
	still := time.NewTicker(w.unaskedFor() / 3)
	defer still.Stop()
	for {
		select {
		case <-now.ended:
			return now.came.answer, true, 0, now.came.err
		case <-late:
			return answer, false, now.read.Load(), nil
		case <-ctx.Done():
			return answer, false, 0, ctx.Err()
		case <-still.C: // whoever waits asks for it all the while
			now.unread.Reset(w.unaskedFor())
		}
	}
}

func (w *works[T]) unaskedFor() time.Duration { return cmp.Or(w.keepFor, abandoned) }

// start joins the work of that key, or begins it.
func (w *works[T]) start(key string, do task[T]) *work[T] {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if now, ok := w.underway[key]; ok {
		now.unread.Reset(w.unaskedFor())
		return now
	}
	ctx, cancel := context.WithCancel(context.Background()) // it outlives the request
	now := &work[T]{ended: make(chan struct{}), cancel: cancel}
	now.unread = time.AfterFunc(w.unaskedFor(), func() { w.leave(key, now) })
	if w.underway == nil {
		w.underway = map[string]*work[T]{}
	}
	w.underway[key] = now
	go w.run(ctx, key, now, do)
	return now
}

func (w *works[T]) run(ctx context.Context, key string, now *work[T], do task[T]) {
	w.turn.Lock()
	defer w.turn.Unlock()
	if now.came.err = ctx.Err(); now.came.err == nil {
		now.came = outcome(func() (T, error) {
			return do(ctx, func(from io.Reader) io.Reader { return &heeding{ctx, from, &now.read} })
		})
	}
	now.unread.Stop()
	var invalid *rebuild.Invalid
	if now.came.err == nil || errors.As(now.came.err, &invalid) {
		w.answers.keep(key, now.came)
	}
	w.leave(key, now)
	close(now.ended)
}

// outcome is what a piece of work came to. It is done beside the request, where a
// fault of the program would end the whole server: it becomes an error instead.
func outcome[T any](do func() (T, error)) (came answered[T]) {
	defer func() {
		if fault := recover(); fault != nil {
			came.err = fmt.Errorf("a fault while a file was worked out: %v\n%s", fault, debug.Stack())
		}
	}()
	came.answer, came.err = do()
	return came
}

// leave calls that piece of work back, where it goes on; a later one of the same
// key is let be.
func (w *works[T]) leave(key string, now *work[T]) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	now.cancel()
	if w.underway[key] == now {
		delete(w.underway, key)
	}
}

// stop calls the work of that key back; what asks for it then begins anew.
func (w *works[T]) stop(key string) {
	w.mutex.Lock()
	defer w.mutex.Unlock()
	if now, ok := w.underway[key]; ok {
		now.cancel()
		delete(w.underway, key)
	}
}

// heeding is a reader that ends with its context and counts what was read.
type heeding struct {
	ctx  context.Context
	from io.Reader
	read *atomic.Int64
}

func (h *heeding) Read(into []byte) (int, error) {
	if err := h.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := h.from.Read(into)
	h.read.Add(int64(n))
	return n, err
}
