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
