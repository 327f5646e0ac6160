package uncertain

import "math"

// DefaultCorrelation is the common advice where nothing better is known:
// leaving correlation out understates the spread of ten jobs by almost half.
//
// ref: DESIGN_DEPENDENCE
const DefaultCorrelation = 0.25

// MaxCorrelation keeps some doubt that is each item's own.
const MaxCorrelation = 0.95

// Loading is how a normal score is made up: Z = Shift + Common F + Own e, with
// F the factor that all items share in a trial and e the item's own number,
// both standard normal.
type Loading struct{ Shift, Common, Own float64 }

// NewLoading is the one-factor Gaussian copula Z = sqrt(rho) F + sqrt(1-rho) e,
// moved and widened by the own bias. The doubt about the bias itself is not
// drawn as a second common number: the factor F already stands for everything
// running over together, and one effect must not be counted twice.
//
// ref: DESIGN_DEPENDENCE; DESIGN_BIAS
func NewLoading(correlation float64, bias Bias) Loading {
	return Loading{
		Shift:  bias.Shift,
		Common: bias.Spread * math.Sqrt(correlation),
		Own:    bias.Spread * math.Sqrt(1-correlation),
	}
}

// SpearmanOf is the rank correlation that two items have under the copula.
//
// ref: KRUSKAL_1958 bivariate normal
func SpearmanOf(correlation float64) float64 {
	return 6 / math.Pi * math.Asin(correlation/2)
}

// KendallOf is Kendall's rank correlation of two items under the copula.
//
// ref: KRUSKAL_1958 bivariate normal
func KendallOf(correlation float64) float64 {
	return 2 / math.Pi * math.Asin(correlation)
}
