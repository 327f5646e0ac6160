package check

import "math"

// mean is the mean of readings and their standard deviation, which one reading
// does not have.
//
// ref: JCGM_100 4.2.1; JCGM_100 4.2.2
func mean(readings []float64) (m, sd float64) {
	first := readings[0] // about which the sum keeps its digits
	for _, x := range readings {
		m += x - first
	}
	m = first + m/float64(len(readings))
	if len(readings) < 2 {
		return m, 0
	}
	var squares float64
	for _, x := range readings {
		squares += (x - m) * (x - m)
	}
	return m, math.Sqrt(squares / float64(len(readings)-1))
}

// rectangular is the standard uncertainty of a value that lies anywhere within
// +- limit.
//
// ref: JCGM_100 4.3.7
func rectangular(limit float64) float64 { return limit / math.Sqrt(3) }

// step is the standard uncertainty that a display's step leaves.
//
// ref: JCGM_100 F.2.2.1
func step(resolution float64) float64 { return rectangular(resolution / 2) }

// u is the standard uncertainty of the instrument without its step.
func (i Instrument) u() float64 {
	switch {
	case i.SD != nil:
		return *i.SD
	case i.Limit != nil:
		return rectangular(*i.Limit)
	}
	return 0
}

// component is one contribution to the uncertainty, already weighted with how
// much the value follows it.
type component struct {
	u   float64
	dof float64 // +Inf where the uncertainty itself is known
}

// combine adds components in squares; the degrees of freedom of the sum are
// those of Welch and Satterthwaite, not cut down to a whole number.
//
// ref: JCGM_100 5.1.2; JCGM_100 G.4.1
func combine(list []component) component {
	var squares, fourths float64
	for _, c := range list {
		squares += c.u * c.u
	}
	if squares == 0 {
		return component{0, math.Inf(1)}
	}
	for _, c := range list {
		share := c.u * c.u / squares
		fourths += share * share / c.dof
	}
	if fourths == 0 {
		return component{math.Sqrt(squares), math.Inf(1)}
	}
	return component{math.Sqrt(squares), 1 / fourths}
}

// common is the share of one instrument that measured several parts: its error
// may be the same in all of them or different in each, whichever leaves more
// doubt.
//
// ref: JCGM_100 5.2.2; DESIGN_CHECK one instrument for several parts
func common(weighted []float64) float64 {
	var sum, squares float64
	for _, x := range weighted {
		sum += x
		squares += x * x
	}
	return math.Max(math.Abs(sum), math.Sqrt(squares))
}
