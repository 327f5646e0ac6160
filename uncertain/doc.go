// Package uncertain is the shared mathematics of doubt: what three numbers say
// about a figure, how doubtful figures add up, and how far a simulated answer
// can be trusted.
//
// In: a [Range] for each figure (10 %, 50 % and 90 % points), chances, a
// correlation, a record of closed jobs. Out: distributions ([Curve],
// [CompoundPoisson], [FailingRoute]), draws ([Stream]), moments ([Moments],
// [CoMoments]), quantiles and chances with their standard errors, and shares
// of the variance.
//
// Method. A range is read as the three-parameter lognormal through its points
// (Johnson's S_L; normal where symmetric, mirrored where skewed left). Figures
// run over together through one common factor (Gaussian copula). The own bias
// is a normal - inverse-gamma update of the normal scores of closed jobs.
// Random numbers belong to (seed, item, input, trial), never to one running
// stream, so that adding an item leaves all other draws alone; trials are
// worked in blocks of fixed size and added up in a fixed order, so that the
// answer does not depend on the number of cores.
//
// Degenerate ranges. Where low equals likely but not high (or the two sides
// differ more than [MaxLopsided] times) no S_L passes through the points, and
// one close to it has a mean beyond all measure. Such a range is read as
// one-sided: half of the chance sits at likely, and the other half is the half
// of a normal distribution that passes through high (mirrored where likely
// equals high). It hits all three points and has a finite mean.
//
// ref: DESIGN_RANGE; DESIGN_DEPENDENCE; DESIGN_BIAS
package uncertain
