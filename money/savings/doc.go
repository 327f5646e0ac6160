// Package savings answers what doing the work at home has saved so far, and how
// much of that is only hoped for.
//
// In: each job ([Job]) with what the trade would have charged (its reference
// price), what it costs here, whether it is done and how much evidence stands
// behind it. Out: a [Result] with the saving on each job and three sums: not yet
// (the job is open; its cost is an estimate), claimed (done, nothing shows that
// it holds) and proven (done, evidence stands behind it). Only the last counts.
// A job that came dearer than the trade is a saving below zero and stays in the
// sums. Amounts are exact minor units.
//
// Method: subtraction.
//
// ref: DESIGN_SAVINGS
package savings
