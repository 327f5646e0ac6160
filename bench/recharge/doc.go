// Package recharge answers whether a hydraulic power unit - electric pump,
// gas-charged accumulator, valves, actuator - is healthy, and if not, which part
// is likely at fault.
//
// In: a [Case] - a pressure log with the car standing and nothing operated (a
// cold first fill and three settled recharges tell most), pump times where they
// were taken, the unit's nominal figures and a fall of the reservoir where known.
// Out: a [Result] - recharges, static intervals with the Student-t interval of
// their mean, the fall by cooling apart from the leak, actuations, pre-charge,
// chances of seven causes, a verdict with its reason, what to read next, the
// working.
//
// Method. Readings that no pressure can make are counted as evidence on the
// sensor and taken out. Recharges are legs of a zig-zag with hysteresis; their
// edges come from a line through the power of pressure that is straight in time
// while a pump of constant flow compresses gas. Actuations are steps between
// straight lines either side. After a recharge the gas is warm: pressure falls
// with the gas's thermal time constant without any leak, so that all settled
// holds are fitted together by least squares with
//
//	p(t) = u(t) (1 + a exp(-t/tau)),  1/u^2 = 1/p_i^2 + 2 g (1 - pa/p_m) t
//
// a for the cooling, g = G/C0 for the leak, C0 = p0 V0. Pre-charge comes from
// the knee of the cold fill, else from the ratio of fill to recharge time. A
// log gives only ratios to C0: the unit's size is a doubt of the answer, known
// well, by nominal figures, or only as what such units have.
//
// Pump times alone, or starts alone ([ExamineStarts]), take one way of their own:
// the rule of the trade on the settled interval first, and what run times add to
// it, cut-in and cut-out only assumed.
//
// The chances of the causes follow by Bayes' rule: size, pre-charge, leak and
// pump flow have lognormal spreads about healthy figures, each fault scales its
// own quantity by a factor of unknown size, readings have the errors of their
// fits; sums over grids. One fault at a time; further signs are told.
//
// A verdict's reason begins with the sign that decided it. Advice names what to
// read or give next as an [Input]. Work ends early with the context.
//
// All pressures inside are absolute, in bar; volumes mL; times s.
//
// ref: DESIGN_RECHARGE
package recharge
