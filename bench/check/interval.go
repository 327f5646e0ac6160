package check

import "math"

// Half is half of the interval about the value in which the quantity lies with
// that chance, 0.95 say: Student's t, or the normal where only the instrument is
// in doubt.
//
// ref: JCGM_100 table G.2
func (r Result) Half(chance float64) float64 {
	if r.StandardUncertainty == 0 || chance <= 0 || chance >= 1 {
		return 0
	}
	d := component{r.StandardUncertainty, math.Inf(1)}
	if r.DegreesOfFreedom != nil {
		d.dof = *r.DegreesOfFreedom
	}
	return d.reach((1 - chance) / 2)
}
