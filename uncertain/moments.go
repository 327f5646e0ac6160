package uncertain

// Moments are the count, the mean and the sum of squared deviations of numbers
// seen so far.
type Moments struct {
	N, Mean, Squares float64
}

// MomentsOf works out the moments of a column in two passes.
func MomentsOf(x []float64) Moments {
	if len(x) == 0 {
		return Moments{}
	}
	mean := Sum(x) / float64(len(x))
	squares := 0.0
	for _, v := range x {
		squares += (v - mean) * (v - mean)
	}
	return Moments{float64(len(x)), mean, squares}
}

// Varies reports whether there is more spread than rounding leaves behind.
func (m Moments) Varies() bool {
	least := 1e-12 * m.Mean
	return m.Squares > m.N*least*least
}

// Variance is the sample variance; 0 where the numbers do not vary.
func (m Moments) Variance() float64 {
	if m.N < 2 || !m.Varies() {
		return 0
	}
	return m.Squares / (m.N - 1)
}

// Sum adds up a column in a fixed order: four interleaved running sums, so that
// the processor need not wait for each addition.
func Sum(x []float64) float64 {
	var a, b, c, d float64
	for len(x) >= 4 {
		a += x[0]
		b += x[1]
		c += x[2]
		d += x[3]
		x = x[4:]
	}
	for _, v := range x {
		a += v
	}
	return (a + b) + (c + d)
}

// CoMoments are the joint moments of several items with their total, gathered
// block by block.
//
// ref: CHAN_1983 pairwise update
type CoMoments struct {
	N     float64
	Total Moments
	Mean  []float64 // of each item
	Cross []float64 // of each item: sum of deviation times the total's deviation
}

// CoMomentsOf works out the joint moments of the items' columns and the total.
func CoMomentsOf(items [][]float64, total []float64) CoMoments {
	m := CoMoments{
		N: float64(len(total)), Total: MomentsOf(total),
		Mean: make([]float64, len(items)), Cross: make([]float64, len(items)),
	}
	deviation := make([]float64, len(total))
	for i, v := range total {
		deviation[i] = v - m.Total.Mean
	}
	// What rounding leaves of the deviations' sum would count with the size of the
	// items, so it is taken out.
	left := Sum(deviation)
	for k, column := range items {
		sum, cross := sums(column, deviation)
		m.Mean[k] = sum / m.N
		m.Cross[k] = cross - m.Mean[k]*left
	}
	return m
}

// sums are the sum of x and the sum of x d.
func sums(x, d []float64) (sum, cross float64) {
	d = d[:len(x)]
	var s0, s1, c0, c1 float64
	i := 0
	for ; i+1 < len(x); i += 2 {
		s0 += x[i]
		s1 += x[i+1]
		c0 += x[i] * d[i]
		c1 += x[i+1] * d[i+1]
	}
	if i < len(x) {
		s0 += x[i]
		c0 += x[i] * d[i]
	}
	return s0 + s1, c0 + c1
}

// Join adds another block's moments to m. Joining in the same order gives the
// same bits.
func (m *CoMoments) Join(other CoMoments) {
	if m.N == 0 {
		*m = other
		return
	}
	n := m.N + other.N
	weight := m.N * other.N / n
	apart := other.Total.Mean - m.Total.Mean
	for k := range m.Mean {
		own := other.Mean[k] - m.Mean[k]
		m.Cross[k] += other.Cross[k] + own*apart*weight
		m.Mean[k] += own * other.N / n
	}
	m.Total.Squares += other.Total.Squares + apart*apart*weight
	m.Total.Mean += apart * other.N / n
	m.Total.N, m.N = n, n
}

// Shares are the covariance shares Cov(item, total)/Var(total). They sum to 1;
// where the total does not vary, all are 0.
//
// ref: DESIGN_SHARES
func (m CoMoments) Shares() []float64 {
	shares := make([]float64, len(m.Cross))
	if !m.Total.Varies() {
		return shares
	}
	for k, c := range m.Cross {
		shares[k] = c / m.Total.Squares
	}
	return shares
}
