// Package gate says whether a car may pass a gate: the road test, the body shop,
// the inspection, the hand-over.
//
// In go rules and things. A [Thing] is anything that the book knows of the car (a
// job, a joint, a check, an open case, what is still off, a caution, something
// the law asks for), with the state it is in and the class of what lives hang on.
// A [Rule] is data: about which kind of thing in which states it speaks, at which
// gates, whether it can ever be passed, what is said and what is to be done. Out
// comes a [Gate] for each: open, closed or a hard stop, with everything that
// stands against it. [Drive] is the staged release of the first drives by their
// results.
//
// The method is a look-up, no weighing: a thing stands against a gate when a rule
// matches it, once, by the first rule that does, hard ones first. So one thing put
// right never closes what was open, and one thing more never opens what was
// closed; tests hold that. What is not among the things is not seen: an empty list
// is no proof, and the rules have a word for a book in which nothing was recorded.
//
// Source: the rules are the program's own design on common practice
// (docs/decisions/0044); each carries its own.
package gate
