package workshop

import (
	"context"
	"sync"
	"time"
)

// settling is how long the keeper waits for further changes before it works: a
// burst of entries makes one mark.
const settling = 300 * time.Millisecond

// keeper works in the background, one rebuild after the other.
type keeper struct {
	work func(context.Context, int64) error
	warn func(id int64, err error)

	mu      sync.Mutex
	pending map[int64]bool
	closed  bool
	wake    chan struct{}
	quit    chan struct{}
	done    chan struct{}
}

func newKeeper(work func(context.Context, int64) error, warn func(int64, error)) *keeper {
	k := &keeper{
		work: work, warn: warn, pending: map[int64]bool{},
		wake: make(chan struct{}, 1), quit: make(chan struct{}), done: make(chan struct{}),
	}
	go k.run()
	return k
}

// soon asks for the rebuild to be worked on; never waits.
func (k *keeper) soon(id int64) {
	k.mu.Lock()
	defer k.mu.Unlock()
	if k.closed {
		return
	}
	k.pending[id] = true
	select {
	case k.wake <- struct{}{}:
	default:
	}
}

// close finishes what is pending and ends the keeper.
func (k *keeper) close() {
	k.mu.Lock()
	if !k.closed {
		k.closed = true
		close(k.quit)
	}
	k.mu.Unlock()
	<-k.done
}

func (k *keeper) run() {
	defer close(k.done)
	for {
		select {
		case <-k.quit:
			k.workOff()
			return
		case <-k.wake:
		}
		select {
		case <-k.quit:
		case <-time.After(settling):
		}
		k.workOff()
	}
}

// workOff works on all that is pending now.
func (k *keeper) workOff() {
	k.mu.Lock()
	ids := k.pending
	k.pending = map[int64]bool{}
	k.mu.Unlock()
	for id := range ids {
		if err := k.work(context.Background(), id); err != nil {
			k.warn(id, err)
		}
	}
}
