package survey

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// motion is a turn and a shift: q = R p + t.
type motion struct {
	r    *mat.Dense
	t    []float64
	dims int
}

// fit is the motion without stretch that brings the points p closest to q, both
// dims coordinates a point, weighted. Never a mirror image.
//
// ref: UMEYAMA_1991 eq. 40-42
func fit(p, q, weight []float64, dims int) motion {
	points := len(p) / dims
	pc, qc := make([]float64, dims), make([]float64, dims)
	var total float64
	for i := range points {
		for k := range dims {
			pc[k] += weight[i] * p[i*dims+k]
			qc[k] += weight[i] * q[i*dims+k]
		}
		total += weight[i]
	}
	for k := range dims {
		pc[k] /= total
		qc[k] /= total
	}
	h := mat.NewDense(dims, dims, nil)
	for i := range points {
		for a := range dims {
			for b := range dims {
				h.Set(a, b, h.At(a, b)+weight[i]*(q[i*dims+a]-qc[a])*(p[i*dims+b]-pc[b]))
			}
		}
	}
	return motion{turn(h), nil, dims}.through(pc, qc)
}

// turn is the rotation closest to h.
func turn(h *mat.Dense) *mat.Dense {
	dims, _ := h.Dims()
	var svd mat.SVD
	r := mat.NewDense(dims, dims, nil)
	if !svd.Factorize(h, mat.SVDFull) {
		for k := range dims {
			r.Set(k, k, 1)
		}
		return r
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	r.Mul(&u, v.T())
	if mat.Det(r) < 0 {
		for k := range dims {
			u.Set(k, dims-1, -u.At(k, dims-1))
		}
		r.Mul(&u, v.T())
	}
	return r
}

// through is the motion with its turn that takes p to q.
func (m motion) through(p, q []float64) motion {
	m.t = make([]float64, m.dims)
	for a := range m.dims {
		m.t[a] = q[a]
		for b := range m.dims {
			m.t[a] -= m.r.At(a, b) * p[b]
		}
	}
	return m
}

func (m motion) apply(p []float64) []float64 {
	out := make([]float64, len(p))
	for i := 0; i < len(p); i += m.dims {
		for a := range m.dims {
			out[i+a] = m.t[a]
			for b := range m.dims {
				out[i+a] += m.r.At(a, b) * p[i+b]
			}
		}
	}
	return out
}

// covariance turns a covariance of all points along.
func (m motion) covariance(q *mat.SymDense) *mat.SymDense {
	size := q.SymmetricDim()
	half := mat.NewDense(size, size, nil)
	for i := 0; i < size; i += m.dims {
		for c := range size {
			for a := range m.dims {
				var sum float64
				for b := range m.dims {
					sum += m.r.At(a, b) * q.At(i+b, c)
				}
				half.Set(i+a, c, sum)
			}
		}
	}
	out := mat.NewSymDense(size, nil)
	for r := range size {
		for j := 0; j < size; j += m.dims {
			for a := range m.dims {
				if j+a < r {
					continue
				}
				var sum float64
				for b := range m.dims {
					sum += m.r.At(a, b) * half.At(r, j+b)
				}
				out.SetSym(r, j+a, sum)
			}
		}
	}
	return out
}

func rms(a, b []float64, dims int) float64 {
	var sum float64
	for i := range a {
		sum += (a[i] - b[i]) * (a[i] - b[i])
	}
	return math.Sqrt(sum / float64(len(a)/dims))
}
