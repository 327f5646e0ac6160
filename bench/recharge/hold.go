package recharge

import (
	"math"

	"gonum.org/v1/gonum/mat"
)

// hold is a stretch after a pump stop in which nothing was operated: readings
// averaged over bins, times from the stop.
type hold struct {
	t, p, sd []float64
}

// What is known of a gas's thermal time constant before it is seen: 2 to 30 s as
// the 95 % points, by heat transfer of 20 to 150 W/(m2 K) into the wall of a shell
// of 0.2 to 0.5 L; and of the warming by a charge: 6 % where no heat is lost from
// 40 to 50 bar, down to a third of that by a slow pump. After five time constants
// less than one per cent of the cooling is left.
const (
	tauLikely    = 8.0
	tauLogSD     = 0.7
	coolLikely   = 0.05 // relative rise of pressure by a charge's heat
	coolSD       = 0.06
	mostHolds    = 24
	mostBins     = 500.0 // of one hold: a standing car logged for a month makes no longer work
	settledAfter = 5.0   // time constants
)

// holdBetween averages the readings from a to b into bins that grow with the
// time since the pump stopped.
func (s *series) holdBetween(stop, a, b float64) hold {
	var h hold
	for i := s.at(a); i < len(s.t) && s.t[i] < b; {
		width := clamp(0.08*(s.t[i]-stop), 0.5, math.Max(5, (b-a)/mostBins))
		j, st, sp := i, 0.0, 0.0
		for j < len(s.t) && s.t[j] < b && s.t[j] < s.t[i]+width {
			st, sp = st+s.t[j]-stop, sp+s.p[j]
			j++
		}
		n := float64(j - i)
		h.t, h.p = append(h.t, st/n), append(h.p, sp/n)
		h.sd = append(h.sd, s.binError(n))
		i = j
	}
	return h
}

// binError is the standard uncertainty of the mean of n readings. Noise of less
// than a step leaves an error that averaging does not take away: for normal noise
// of standard deviation s its first harmonic has the amplitude
// q/pi exp(-2 (pi s/q)^2).
func (s *series) binError(n float64) float64 {
	err := s.sigma / math.Sqrt(n)
	if s.quantum == 0 {
		return err
	}
	stuck := s.quantum / math.Pi / math.Sqrt2 * math.Exp(-2*math.Pow(math.Pi*s.dither/s.quantum, 2))
	return math.Hypot(err, stuck)
}

// relaxation is what holds say together.
type relaxation struct {
	start      []float64 // p_i of each hold: relaxed pressure at the stop, absolute
	cool       float64   // a
	tau        float64   // s
	leak       float64   // g = G/C0, 1/(bar^2 s)
	middle     float64   // p_m, absolute
	sdCool     float64
	sdLogTau   float64
	sdLeak     float64
	sdStart    float64 // of one p_i
	longestS   float64
	dropBar    float64 // by the leak within the longest hold
	chi2PerDof float64
}

// leakScale keeps the parameters near 1.
const leakScale = 1e6

// at is the model: pressure at t after the stop of hold i.
func (r *relaxation) at(i int, t float64) float64 {
	return r.relaxedAt(i, t) * (1 + r.cool*math.Exp(-t/r.tau))
}

func (r *relaxation) relaxedAt(i int, t float64) float64 {
	s := 1/(r.start[i]*r.start[i]) + 2*r.leak*(1-AtmosphereBar/r.middle)*t
	return 1 / math.Sqrt(math.Max(s, 1e-9))
}

// idealGamma is cp/cv of an ideal gas of two atoms; nitrogen near 50 bar has 1.49.
const idealGamma = 1.4

// lag is how far below the wall's temperature, relative, a steady leak keeps the
// gas that expands into its place: (gamma - 1) tau Q/V with Q/V = g (p - pa) p.
// The fitted cooling holds it on top of the fall that the charge's heat leaves.
//
// ref: DESIGN_RECHARGE
func (r *relaxation) lag() float64 {
	return (idealGamma - 1) * r.tau * r.leak * (r.middle - AtmosphereBar) * r.middle
}

// fitHolds fits cooling and leak to holds by Gauss-Newton with damping, what is
// known of the time constant and of cooling counted as readings; far readings
// weigh less (Huber). known, where given, keeps tau and leak of another fit.
//
// ref: DESIGN_RECHARGE; SCIPY_1_10 bench/recharge/testdata/scipy_recharge.py
func fitHolds(holds []hold, middle float64, known *relaxation) (relaxation, bool) {
	holds = holds[:min(len(holds), mostHolds)]
	best, found, bestCost := relaxation{}, false, math.Inf(1)
	taus, leaks := []float64{4, 10, 25}, []float64{2e-7, 1e-6}
	if known != nil {
		taus, leaks = taus[:1], leaks[:1]
	}
	for _, tau := range taus {
		for _, leak := range leaks {
			f := fitting{holds: holds, known: known}
			f.r = relaxation{cool: coolLikely, tau: tau, leak: leak, middle: middle, start: make([]float64, len(holds))}
			if known != nil {
				f.r.tau, f.r.leak = known.tau, known.leak
			}
			for i, h := range holds {
				f.r.start[i] = h.p[0] / (1 + coolLikely*math.Exp(-h.t[0]/f.r.tau))
			}
			if cost, ok := f.run(); ok && cost < bestCost {
				best, found, bestCost = f.r, true, cost
			}
		}
	}
	return best, found
}

// fitting is one run of the fit. Parameters: a, ln tau, g, then p_i.
type fitting struct {
	holds  []hold
	known  *relaxation
	r      relaxation
	normal *mat.SymDense
	right  []float64
}

const (
	shared    = 3
	fitRounds = 60
	huber     = 2.0 // standard deviations: a twentieth of normal readings lie beyond
)

func (f *fitting) run() (float64, bool) {
	damping := 1e-3
	cost := f.assemble()
	for range fitRounds {
		before := f.r
		before.start = append([]float64(nil), f.r.start...)
		if !f.step(damping) {
			return 0, false
		}
		next := f.cost()
		if next > cost {
			f.r = before
			if damping *= 8; damping > 1e9 {
				break
			}
			continue
		}
		gain := cost - next
		cost, damping = f.assemble(), math.Max(damping/5, 1e-9)
		if gain < 1e-6*(1+cost) {
			break
		}
	}
	return cost, f.finish(cost)
}

// step solves the damped normal equations and moves the parameters.
func (f *fitting) step(damping float64) bool {
	n := len(f.right)
	a := mat.NewSymDense(n, nil)
	a.CopySym(f.normal)
	for i := range n {
		a.SetSym(i, i, a.At(i, i)*(1+damping)+1e-12)
	}
	var chol mat.Cholesky
	if !chol.Factorize(a) {
		return false
	}
	var d mat.VecDense
	if err := chol.SolveVecTo(&d, mat.NewVecDense(n, f.right)); err != nil {
		return false
	}
	f.r.cool = clamp(f.r.cool+clamp(d.AtVec(0), -0.05, 0.05), -0.5, 1)
	f.r.tau = clamp(f.r.tau*math.Exp(clamp(d.AtVec(1), -0.7, 0.7)), 0.3, 300)
	f.r.leak = clamp(f.r.leak+d.AtVec(2)/leakScale, 0, 1)
	for i := range f.r.start {
		f.r.start[i] = clamp(f.r.start[i]+d.AtVec(shared+i), 0.05*f.holds[i].p[0], 3*f.holds[i].p[0])
	}
	return true
}

// priors are what is known before: value, standard deviation and where the
// parameter stands now.
func (f *fitting) priors() [shared][3]float64 {
	if f.known != nil {
		return [shared][3]float64{
			{coolLikely, 0.3, f.r.cool},
			{math.Log(f.known.tau), math.Max(f.known.sdLogTau, 0.05), math.Log(f.r.tau)},
			{f.known.leak * leakScale, math.Max(f.known.sdLeak, 0.02*f.known.leak) * leakScale, f.r.leak * leakScale},
		}
	}
	return [shared][3]float64{
		{coolLikely, coolSD, f.r.cool},
		{math.Log(tauLikely), tauLogSD, math.Log(f.r.tau)},
		{0.5, 50, f.r.leak * leakScale},
	}
}

func (f *fitting) cost() float64 {
	sum := 0.0
	for i, h := range f.holds {
		for k, t := range h.t {
			z := math.Abs(h.p[k]-f.r.at(i, t)) / h.sd[k]
			if z > huber {
				sum += 2*huber*z - huber*huber
			} else {
				sum += z * z
			}
		}
	}
	for _, p := range f.priors() {
		z := (p[2] - p[0]) / p[1]
		sum += z * z
	}
	return sum
}

// assemble builds the weighted normal equations and returns the cost.
func (f *fitting) assemble() float64 {
	n := shared + len(f.holds)
	f.normal, f.right = mat.NewSymDense(n, nil), make([]float64, n)
	for i, h := range f.holds {
		for k, t := range h.t {
			f.add(i, t, h.p[k], h.sd[k])
		}
	}
	for j, p := range f.priors() {
		w := 1 / (p[1] * p[1])
		f.normal.SetSym(j, j, f.normal.At(j, j)+w)
		f.right[j] += w * (p[0] - p[2])
	}
	return f.cost()
}

func (f *fitting) add(i int, t, p, sd float64) {
	u, e := f.r.relaxedAt(i, t), math.Exp(-t/f.r.tau)
	residual := p - u*(1+f.r.cool*e)
	w := 1 / (sd * sd)
	if z := math.Abs(residual) / sd; z > huber {
		w *= huber / z
	}
	ratio := u / f.r.start[i]
	at := [4]int{0, 1, 2, shared + i}
	j := [4]float64{
		u * e,
		u * f.r.cool * e * t / f.r.tau,
		-u * u * u * (1 - AtmosphereBar/f.r.middle) * t * (1 + f.r.cool*e) / leakScale,
		ratio * ratio * ratio * (1 + f.r.cool*e),
	}
	for a := range at {
		for b := a; b < len(at); b++ {
			f.normal.SetSym(at[a], at[b], f.normal.At(at[a], at[b])+w*j[a]*j[b])
		}
		f.right[at[a]] += w * j[a] * residual
	}
}

// finish takes the standard uncertainties out of the normal equations.
func (f *fitting) finish(cost float64) bool {
	readings := 0
	for i, h := range f.holds {
		readings += len(h.t)
		last := h.t[len(h.t)-1]
		if last > f.r.longestS {
			f.r.longestS, f.r.dropBar = last, f.r.start[i]-f.r.relaxedAt(i, last)
		}
	}
	var chol mat.Cholesky
	if !chol.Factorize(f.normal) {
		return false
	}
	var cov mat.SymDense
	if chol.InverseTo(&cov) != nil {
		return false
	}
	f.r.chi2PerDof = cost / math.Max(float64(readings-len(f.right)+shared), 1)
	widen := math.Sqrt(math.Max(1, f.r.chi2PerDof))
	f.r.sdCool = widen * math.Sqrt(cov.At(0, 0))
	f.r.sdLogTau = widen * math.Sqrt(cov.At(1, 1))
	f.r.sdLeak = widen * math.Sqrt(cov.At(2, 2)) / leakScale
	f.r.sdStart = widen * math.Sqrt(cov.At(shared, shared))
	return true
}
