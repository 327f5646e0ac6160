package plan

import "slices"

// profile is how much of each resource is free over time: free[k*width+r]
// holds from at[k] until at[k+1], the last for ever.
type profile struct {
	at    []int64
	free  []int32
	width int
}

func (f *profile) reset(capacity []int32, from int64) {
	f.width = len(capacity)
	f.at = append(f.at[:0], from)
	f.free = append(f.free[:0], capacity...)
}

// find is the piece that holds at t.
func (f *profile) find(t int64) int {
	low, high := 0, len(f.at)
	for high-low > 1 {
		middle := int(uint(low+high) >> 1)
		if f.at[middle] <= t {
			low = middle
		} else {
			high = middle
		}
	}
	return low
}

// conflict is the last piece before end, from the piece k on, in which too
// little is free; -1 where there is none.
func (f *profile) conflict(needs []need, k int, end int64) int {
	last := k
	for last < len(f.at) && f.at[last] < end {
		last++
	}
	for j := last - 1; j >= k; j-- {
		row := f.free[j*f.width : (j+1)*f.width]
		for _, n := range needs {
			if row[n.resource] < n.count {
				return j
			}
		}
	}
	return -1
}

// take holds what is needed from start to end.
func (f *profile) take(needs []need, start, end int64) {
	if start >= end || len(needs) == 0 {
		return
	}
	k := f.split(start)
	last := f.split(end)
	for j := k; j < last; j++ {
		row := f.free[j*f.width : (j+1)*f.width]
		for _, n := range needs {
			row[n.resource] -= n.count
		}
	}
}

// split makes a piece begin at t and gives its number.
func (f *profile) split(t int64) int {
	k := f.find(t)
	if f.at[k] == t {
		return k
	}
	if t < f.at[0] {
		k = -1
	}
	f.at = slices.Insert(f.at, k+1, t)
	w := f.width
	f.free = slices.Grow(f.free, w)[:len(f.free)+w]
	from := max(k, 0)
	copy(f.free[(from+1)*w:], f.free[from*w:len(f.free)-w])
	return k + 1
}
