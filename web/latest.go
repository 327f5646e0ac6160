package web

import "sync"

// latest keeps the last few answers that take seconds to work out, since the page
// that shows one is asked for more than once. The zero value keeps none until most
// is set.
type latest[T any] struct {
	most int // answers kept; bounds the memory

	mutex   sync.Mutex
	keys    []string // oldest first
	answers map[string]T
}

func (l *latest[T]) get(key string) (T, bool) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	answer, ok := l.answers[key]
	return answer, ok
}

func (l *latest[T]) keep(key string, answer T) {
	l.mutex.Lock()
	defer l.mutex.Unlock()
	if l.answers == nil {
		l.answers = map[string]T{}
	}
	if _, ok := l.answers[key]; !ok {
		l.keys = append(l.keys, key)
	}
	l.answers[key] = answer
	for len(l.keys) > l.most {
		delete(l.answers, l.keys[0])
		l.keys = l.keys[1:]
	}
}
