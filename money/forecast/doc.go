// Package forecast answers what a rebuild will cost in the end, with what
// chance it stays under the ceiling, and what drives the doubt.
//
// In: a [Case] - what is spent, the open jobs with their ranges, the damage not
// yet seen, the own record of closed jobs. Out: a [Result] - remaining and
// total with quantiles, the chance under the ceiling with its standard error,
// hours left, expected cost of each job, drivers, own bias, and the working.
//
// Method: simulation in columns, package uncertain. What a trial does, so that
// somebody else can build the same:
//
//   - One common factor F is drawn per trial. Every range that is drawn - a
//     job's cost, its hours, its fallback's cost and hours, each hidden item's
//     cost - has its own number e, and its score is
//     Z = shift + spread (sqrt(rho) F + sqrt(1-rho) e), with shift and spread of
//     the own bias, which moves every range that is not certain.
//   - The value is the point of the range's distribution at Z, cut at zero: a
//     value below zero counts as zero.
//   - A job is needed with the chance needed; else it costs nothing and takes
//     no hours. A job that is needed is paid; with the chance 1 - works its
//     fallback is paid on top. These events are independent of F.
//   - What was paid on the job already is taken off its cost, fallback included,
//     and the hours done off its hours; neither falls below zero.
//   - A job's money is cost + hour value x hours, fallback included.
//   - The number of hidden items is Poisson, independent of F; their costs are
//     drawn as above.
//   - Remaining is the sum of all jobs and hidden items; total is spent plus
//     remaining.
//
// Quantiles are the inverted distribution function of the sample (the
// ceil(p n)-th smallest). The chance under the ceiling is the share of trials
// with total <= ceiling; a millionth of the currency's unit is allowed for
// rounding. A driver's share is Cov(item, total)/Var(total): shares sum to 1.
//
// ref: DESIGN_FORECAST; DESIGN_SHARES
package forecast
