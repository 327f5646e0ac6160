// Package diagnose answers which fault it is and what to do next: test, repair
// or replace the whole unit, whichever has the least expected total cost.
//
// In: a [Case]: faults with their prior chances, tests with how each comes out
// under each fault, repairs with what they cure, the price of the whole unit,
// and what was tried so far. Out, of [Advise]: the chances of the faults, the
// next action with the expected cost of everything from here on, all other
// actions in order, the saving against the whole unit, and what would change the
// advice. [Explain] gives the reason for the next action, [Predict] how one test
// may come out, [Posterior] the chances alone; [Consult] is the first two in one.
//
// # Chances
//
// Bayes' rule over a weighted list of fault sets, in logarithms. With several: 2
// these are all sets of one or two faults, the priors being independent chances
// and the symptom given; three at once are left out, and a caution says how
// often. A repair moves weight to what it leaves, so that a test sees the faults
// that were there when it was done. Under two faults a test with outcomes
// follows the noisy-OR: each fault leaves the test alone or imposes its outcome,
// and where both impose, either shows with an even chance. A measured reading
// comes from either with an even chance. Readings are weighed by their density;
// bands are used only to look ahead. A lognormal reading of 0, or one whose
// uncertainty reaches down to 0, is the chance of lying below its upper end.
// Nothing is added for a wrong reading: one far outside every fault's range speaks
// for the widest of them, and Surprise says that it fits none well.
//
// # The next action
//
// Decision-theoretic troubleshooting. With one fault at a time every state of the
// evidence is worked out in a table of up to 2^24 of them, which twelve tests and
// repairs fit into with two measured tests among them; with two faults by
// recursion with pruning, eight fit, and more where tests show few of the faults.
// A measured test is cut into 12 to 240 bands, as many as are affordable;
// repetitions are weighed until more of them could gain no more than a millionth.
// What does not fit is looked ahead: two steps over tests, repairs and the whole
// unit, on top of the order by chance per cost with the best point to buy the
// whole unit, and the cheapest plans grown by two more steps where they could gain
// most. A measured test has 15 bands there and 5 at the second step. No test costs
// more than its price above the best plan, since what it shows can be ignored.
// [Advice].Method says which it was.
//
// A repair that did not cure is not offered again. Without a whole unit a plan
// may end with nothing left to do; every repair with any chance is tried before
// that, so the chance of it is nearly the same for all plans. It is said in a
// caution and not priced.
//
// # What would change it
//
// A plan's cost is linear in each input (and so is the best plan's, piecewise):
// where two plans' lines cross, the case is solved anew, until no better plan
// joins in. With two faults the chances of tests to come are not linear and are
// halved instead. In a large case only the nearest two are solved anew; the others are
// marked approximate. The parameters of measured readings and the chances of
// cure are not moved, and with several faults the chances of results already
// seen are not.
package diagnose
