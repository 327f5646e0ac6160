package uncertain

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// BlockTrials is the number of trials worked at a time: columns of this length
// stay in a core's nearest memory.
const BlockTrials = 1024

// Blocks calls work for every block of trials, on all cores, and returns when
// all are done or the context ends. Each core gets its own worker, made by
// newWorker, so that it can keep columns of its own. work is given the block's
// number, its first trial and how many trials it has. What a block computes
// must depend on these alone; results put in a slice by block number and added
// up in that order are then the same on any number of cores.
func Blocks(ctx context.Context, trials int, newWorker func() func(block, first, count int)) error {
	blocks := (trials + BlockTrials - 1) / BlockTrials
	var next atomic.Int64
	var group sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), blocks) {
		group.Go(func() {
			work := newWorker()
			for ctx.Err() == nil {
				b := int(next.Add(1)) - 1
				if b >= blocks {
					return
				}
				first := b * BlockTrials
				work(b, first, min(BlockTrials, trials-first))
			}
		})
	}
	group.Wait()
	return ctx.Err()
}
