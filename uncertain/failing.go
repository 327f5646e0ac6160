package uncertain

// FailingRoute is a way of doing a job that may not work: its cost is always
// paid, and with the chance 1 - Works the fallback is paid on top.
//
// ref: DESIGN_ROUTES two-stage job
type FailingRoute struct {
	Cost     Range
	Works    float64
	Fallback Range
}

// Mean is E[C] + (1-p) E[D], in closed form, without the cut at zero.
func (r FailingRoute) Mean() float64 {
	return r.Cost.Curve().Mean() + (1-r.Works)*r.Fallback.Curve().Mean()
}

// Variance is Var C + q Var D + q (1-q) E[D]^2 with q = 1 - Works, in closed
// form, for independent parts and without the cut at zero.
func (r FailingRoute) Variance() float64 {
	q, d := 1-r.Works, r.Fallback.Curve()
	return r.Cost.Curve().Variance() + q*d.Variance() + q*(1-q)*d.Mean()*d.Mean()
}
