package diagnose

import (
	"math"

	"wreckwright/uncertain"
)

// influence is what one fault does to a test with outcomes: with the chance
// leaves it leaves the test as it would be without it, else the test shows
// imposes.
type influence struct {
	leaves  float64
	imposes []float64
}

// healthyRow is how the test comes out with no fault. Where the case does not
// say, it is the row of the fault that disturbs the test least: of the outcome
// that the faults show most together, the row that shows it most.
func (t *Test) healthyRow() []float64 {
	if t.Healthy != nil {
		return t.Healthy
	}
	common, most := 0, -1.0
	for o := range t.Outcomes {
		total := 0.0
		for _, row := range t.Chance {
			total += row[o]
		}
		if total > most {
			common, most = o, total
		}
	}
	quiet := t.Chance[0]
	for _, row := range t.Chance {
		if row[common] > quiet[common] {
			quiet = row
		}
	}
	return quiet
}

// influenceOf splits a fault's row into the healthy row, as much of it as can
// be, and the rest: for two outcomes the noisy-OR's link.
//
// ref: RUSSELL_NORVIG noisy-OR of fever
func influenceOf(row, healthy []float64) influence {
	leaves := 1.0
	for o, h := range healthy {
		if h > 0 {
			leaves = min(leaves, row[o]/h)
		}
	}
	in := influence{leaves: leaves, imposes: make([]float64, len(row))}
	rest := 0.0
	for o := range row {
		in.imposes[o] = max(0, row[o]-leaves*healthy[o])
		rest += in.imposes[o]
	}
	for o := range in.imposes {
		if rest > 0 {
			in.imposes[o] /= rest
		}
	}
	return in
}

// setRows is the chance of each outcome under each set, [outcome][set]. Each
// fault of a set leaves the test alone or imposes its own outcome, independently
// of the others; where several impose, each has an even chance to be the one
// that shows. With two outcomes and faults that all push the same way this is
// the noisy-OR.
func (t *Test) setRows(s *sets) [][]float64 {
	rows := make([][]float64, len(t.Outcomes))
	for o := range rows {
		rows[o] = make([]float64, len(s.members))
	}
	healthy := t.healthyRow()
	influences := make([]influence, len(t.Chance))
	for f, row := range t.Chance {
		influences[f] = influenceOf(row, healthy)
	}
	for i, members := range s.members {
		if len(members) == 1 {
			for o := range rows {
				rows[o][i] = t.Chance[members[0]][o]
			}
			continue
		}
		for o := range rows {
			rows[o][i] = together(members, influences, healthy, o)
		}
	}
	return rows
}

// together is the chance of outcome o when all members are there.
func together(members []int, in []influence, healthy []float64, o int) float64 {
	total := 0.0
	for imposing := 0; imposing < 1<<len(members); imposing++ {
		p, shows, n := 1.0, 0.0, 0.0
		for k, f := range members {
			if imposing>>k&1 == 0 {
				p *= in[f].leaves
				continue
			}
			p *= 1 - in[f].leaves
			shows += in[f].imposes[o]
			n++
		}
		if imposing == 0 {
			total += p * healthy[o]
		} else {
			total += p * shows / n
		}
	}
	return total
}

// logDensity is the logarithm of the density of a reading x with standard
// uncertainty sd, less a constant that is the same for every fault. A lognormal
// reading's uncertainty is taken relative to x, which is what it is in ln x; where
// it reaches down to 0, that is no small part of x any more, and what was measured
// is taken to lie anywhere between 0 and the reading's upper end.
//
// ref: TROUBLESHOOT_PROBLEMS P1 with a continuous reading
func (r Reading) logDensity(x, sd float64) float64 {
	centre, spread := r.Centre, r.Spread
	jacobian := 0.0
	if r.Shape == Lognormal {
		switch half := halfWidth(sd); {
		case x+half <= 0:
			return math.Inf(-1)
		case x <= half:
			return r.logBelow(x+half) - math.Log(2*half)
		}
		centre, spread, sd, x = math.Log(centre), math.Log(spread), sd/x, math.Log(x)
		jacobian = x // the density is per unit of the reading, so that shapes can be mixed
	}
	spread = math.Hypot(spread, sd)
	z := (x - centre) / spread
	return -z*z/2 - math.Log(spread) - jacobian - math.Log(2*math.Pi)/2
}

// halfWidth is how far either way what was measured may lie, everywhere there
// alike, with that standard uncertainty.
//
// ref: JCGM_100 4.3.7
func halfWidth(sd float64) float64 { return math.Sqrt(3) * sd }

// logBelow is the logarithm of the chance of a lognormal reading below x, which is
// above 0.
func (r Reading) logBelow(x float64) float64 {
	return logCDF((math.Log(x) - math.Log(r.Centre)) / math.Log(r.Spread))
}

// logCDF is ln of the normal distribution function. Far below, where the function
// itself is 0 to the machine, it is the first terms of its expansion.
func logCDF(z float64) float64 {
	if z > -30 {
		return math.Log(uncertain.NormalCDF(z))
	}
	u := 1 / (z * z)
	return -z*z/2 - math.Log(-z) - math.Log(2*math.Pi)/2 + math.Log1p(-u+3*u*u)
}

// below is the chance of a reading below x.
func (r Reading) below(x float64) float64 {
	if r.Shape == Lognormal {
		if x <= 0 {
			return 0
		}
		return uncertain.NormalCDF((math.Log(x) - math.Log(r.Centre)) / math.Log(r.Spread))
	}
	return uncertain.NormalCDF((x - r.Centre) / r.Spread)
}

// quantile is the reading that is not exceeded with chance p.
func (r Reading) quantile(p float64) float64 { return r.scored(uncertain.NormalQuantile(p)) }

// scored is the reading that lies z of its spreads above the centre.
func (r Reading) scored(z float64) float64 {
	if r.Shape == Lognormal {
		return r.Centre * math.Exp(z*math.Log(r.Spread))
	}
	return r.Centre + z*r.Spread
}

// mixed turns a figure per fault into one per set: its mean over the set's
// faults. It is the rule for a measured test under two faults at once: either
// one may be the one that shows, with an even chance.
func mixed(perFault []float64, s *sets) []float64 {
	row := make([]float64, len(s.members))
	for i, members := range s.members {
		for _, f := range members {
			row[i] += perFault[f]
		}
		row[i] /= float64(len(members))
	}
	return row
}
