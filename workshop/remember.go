package workshop

import (
	"cmp"
	"context"
	"fmt"
	"slices"
	"sync"

	"golang.org/x/sync/singleflight"

	"wreckwright/rebuild"
)

// mostRemembered bounds the rebuilds whose answers are kept.
const mostRemembered = 32

// stamp is what an answer was worked out from.
type stamp struct {
	version int64
	day     string
}

type remembered[T any] struct {
	stamp
	answer T
}

// memory keeps the latest answer for each rebuild. Several pages that ask at
// once wait for one computation; one that gives up does not end it.
type memory[T any] struct {
	mu      sync.Mutex
	answers map[int64]remembered[T]
	flight  singleflight.Group
}

// get gives the answer for the rebuild on that day, working it out where it is
// not known. life is how long work may go on, ctx how long this caller waits.
func (m *memory[T]) get(ctx, life context.Context, r *rebuild.Rebuild, day string, work func(context.Context) (T, error)) (T, error) {
	want := stamp{r.Version, day}
	if answer, ok := m.look(r.ID, want); ok {
		return answer, nil
	}
	result := m.flight.DoChan(fmt.Sprintf("%d/%d/%s", r.ID, want.version, want.day), func() (any, error) {
		if answer, ok := m.look(r.ID, want); ok {
			return answer, nil
		}
		answer, err := caught(life, work)
		if err == nil {
			m.keep(r.ID, remembered[T]{want, answer})
		}
		return answer, err
	})
	var none T
	select {
	case <-ctx.Done():
		return none, ctx.Err()
	case done := <-result:
		if done.Err != nil {
			return none, done.Err
		}
		return done.Val.(T), nil
	}
}

// caught turns a panic in an engine into an error: the work runs apart from the
// request, where a panic would end the program and every page with it.
func caught[T any](ctx context.Context, work func(context.Context) (T, error)) (answer T, err error) {
	defer func() {
		if trouble := recover(); trouble != nil {
			err = fmt.Errorf("working it out failed: %v", trouble)
		}
	}()
	return work(ctx)
}

func (m *memory[T]) look(id int64, want stamp) (T, bool) {
	m.mu.Lock()
	defer m.mu.Unlock()
	kept, ok := m.answers[id]
	return kept.answer, ok && kept.stamp == want
}

// keep remembers an answer unless one for a later version is there.
func (m *memory[T]) keep(id int64, answer remembered[T]) {
	m.mu.Lock()
	defer m.mu.Unlock()
	if m.answers == nil {
		m.answers = map[int64]remembered[T]{}
	}
	old, there := m.answers[id]
	if there && old.version > answer.version {
		return
	}
	if !there && len(m.answers) >= mostRemembered {
		for other := range m.answers {
			if other != id {
				delete(m.answers, other)
				break
			}
		}
	}
	m.answers[id] = answer
}

// sortBy sorts by a key, smallest first, keeping the order of equals.
func sortBy[T any, K cmp.Ordered](list []T, key func(T) K) {
	slices.SortStableFunc(list, func(a, b T) int { return cmp.Compare(key(a), key(b)) })
}
