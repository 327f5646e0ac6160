// Package diagnose answers which fault it is and what to do next: test, repair
// or replace the whole unit, whichever has the least expected total cost.
//
// In: a [Case]: faults with their prior chances, tests with how each comes out
// under each fault, repairs with what they cure, the price of the whole unit,
// and what was tried so far. Out: [Advice]: the chances of the faults, the next
// action with the expected cost of everything from here on, all other actions
// in order, the saving against the whole unit, and what would change the advice.
//
// Method. Chances by Bayes' rule over a weighted list of fault sets; the next
// action by decision-theoretic troubleshooting: exact dynamic programming over
// the states of the evidence where the case is small, else two steps of
// look-ahead over every action on top of the updating order by chance per cost.
package diagnose
