// Package rehearsal says with what chance a car passes an inspection, out of what
// was found by looking at its items first, and how well that looking was done once
// the inspection was.
//
// In go the items with what came of looking at each, the chance of its figure to
// lie within the limits where one was measured (package check gives it), and an
// estimate for what nobody looked at. Out comes the chance that nothing fails: the
// product of the items' chances, with the working and with what costs the most.
//
// The items are taken as independent. They are not quite: who overlooks one thing
// overlooks others, so the true chance is somewhat higher than the product where
// much was not looked at. The estimates are the program's own (docs/decisions/0044).
package rehearsal
