package noise

import (
	"runtime"
	"sync"
)

// each calls do for 0 to n-1 on all cores. What do writes must be its own, so
// that the result does not depend on who was first.
func each(n int, do func(int)) {
	next := make(chan int)
	var done sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		done.Go(func() {
			for i := range next {
				do(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	done.Wait()
}
