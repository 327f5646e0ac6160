// Package check answers whether a measured value lies within its limits, and how
// sure that is.
//
// In: repeated readings of one quantity, or the parts that a derived one is
// worked out from ([Forms]: a difference, the imbalance of an axle, a spread,
// braking efficiency, lambda, ...), the doubt of the instrument, a lower or an
// upper limit or both, and the risk of a wrong pass that is borne. Out: the
// value with its standard uncertainty, the chance that it lies within the
// limits, the limits moved inwards as far as the doubt asks, a verdict (pass,
// fail, cannot tell) with its reason, and what would decide an open one.
//
// The scatter of the readings gives the type A uncertainty of their mean, with
// n-1 degrees of freedom; the instrument's bound and its step are rectangular
// (type B). They add in squares, weighted with how much the value follows each
// part, and the degrees of freedom by Welch and Satterthwaite. The chance is that
// of a Student t distribution about the mean, a normal one where nothing but the
// instrument is in doubt.
//
// [Examine] does that. [Wear] puts a line through readings at distances and
// says how far it is to the limit. [Risks] says how often good is refused and
// bad let pass, where it is known what such parts usually measure.
//
// ref: JCGM_100 4.2.3; JCGM_100 4.3.7; JCGM_100 G.4.1; JCGM_106 7.3; JCGM_106 8.3.2
package check
