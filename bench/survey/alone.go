package survey

import "math"

// tied are the readings of each point that take part.
func (n *network) tied() [][]reading {
	list := make([][]reading, len(n.ids))
	for _, r := range n.readings {
		if r.out {
			continue
		}
		list[r.from] = append(list[r.from], r)
		if r.to >= 0 {
			list[r.to] = append(list[r.to], r)
		}
	}
	return list
}

// alone moves point i only, from p, to where its readings fit best; with the sum
// of their squares.
func (n *network) alone(tied []reading, i int, p, x []float64) (float64, []float64) {
	at := append([]float64(nil), p...)
	damping := 1e-3
	now, m, right := n.pull(tied, i, at, x)
	for range 40 {
		step, ok := m.damped(damping).solve(right, n.dims)
		if !ok {
			break
		}
		next, largest := append([]float64(nil), at...), 0.0
		for k := range at {
			next[k] += step[k]
			largest = max(largest, math.Abs(step[k]))
		}
		then, nextM, nextRight := n.pull(tied, i, next, x)
		if then < now {
			at, now, m, right = next, then, nextM, nextRight
			damping /= 10
			if largest < 1e-3 {
				break
			}
			continue
		}
		if damping *= 10; damping > 1e6 || largest < 1e-3 {
			break
		}
	}
	return now, at
}

// small are normal equations of one point.
type small [3][3]float64

// pull is the sum of squares of the readings of point i at p, with their normal
// equations.
func (n *network) pull(tied []reading, i int, p, x []float64) (float64, small, [3]float64) {
	var m small
	var right [3]float64
	var sum float64
	for _, r := range tied {
		v, by := n.seenFrom(r, i, p, x)
		w := 1 / (r.sd * r.sd)
		sum += w * v * v
		for a := range n.dims {
			right[a] -= w * by[a] * v
			for b := range n.dims {
				m[a][b] += w * by[a] * by[b]
			}
		}
	}
	return sum, m, right
}

// seenFrom is by how much a reading of point i is off with it at p, and how that
// follows p.
func (n *network) seenFrom(r reading, i int, p, x []float64) (float64, [3]float64) {
	var by [3]float64
	switch {
	case r.kind == height:
		by[2] = 1
		return p[2] - r.mm, by
	case r.kind == level && r.to == i:
		by[2] = 1
		return p[2] - x[r.from*n.dims+2] - r.mm, by
	case r.kind == level:
		by[2] = -1
		return x[r.to*n.dims+2] - p[2] - r.mm, by
	}
	other := r.from + r.to - i
	var sum float64
	for k := range n.dims {
		by[k] = p[k] - x[other*n.dims+k]
		sum += by[k] * by[k]
	}
	d := math.Sqrt(sum)
	for k := range n.dims {
		by[k] /= max(d, 1e-9)
	}
	return d - r.mm, by
}

func (m small) damped(by float64) small {
	trace := m[0][0] + m[1][1] + m[2][2]
	for k := range m {
		m[k][k] += by*trace + 1e-12
	}
	return m
}

// solve is the solution of m s = right in the first dims unknowns, by elimination;
// m is positive definite.
func (m small) solve(right [3]float64, dims int) ([3]float64, bool) {
	for k := range dims {
		if !(m[k][k] > 0) {
			return right, false
		}
		for a := k + 1; a < dims; a++ {
			f := m[a][k] / m[k][k]
			for b := k; b < dims; b++ {
				m[a][b] -= f * m[k][b]
			}
			right[a] -= f * right[k]
		}
	}
	var s [3]float64
	for k := dims - 1; k >= 0; k-- {
		s[k] = right[k]
		for b := k + 1; b < dims; b++ {
			s[k] -= m[k][b] * s[b]
		}
		s[k] /= m[k][k]
	}
	return s, true
}
