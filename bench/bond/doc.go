// Package bond answers whether a bonded lap carries its load: the average and the
// peak of shear along the overlap, what the adhesive may be trusted with, how
// long an overlap is worth making, and how long it cures in a cold workshop.
//
// In: a [Case] - a strap, patch or splint by its two adherends, overlap, bond and
// load, the adhesive's figures from its sheet, preparation, temperatures, years -
// and [Tables] of knock-downs. Out: a [Result] with a verdict and reasons,
// cautions and the working. A mistake is an [*InputError]; work on which
// somebody's safety hangs is a [*Refusal], and nothing overrides it.
//
// Method. Volkersen's shear lag: adherends stretch, the adhesive only shears, so
// that the ends carry most. With the stiffness E t of each adherend
//
//	omega^2 = (G/h) (1/(E1 t1) + 1/(E2 t2))
//	tau(x) = A cosh(omega x) + B sinh(omega x)
//
// A from the load, B from what is unequal: stiffness and, where temperatures and
// expansions are given, thermal strain. A double lap is two laps on half of the
// inner adherend. Peel is left out: for a lap on one side only, which bends, the
// peak is too low, and a pass there asks for more room.
//
// Cure follows Arrhenius: with at least 60 kJ/mol where it is colder than on the
// sheet, by the rule of ten degrees where it is warmer, so that either way the
// time is rather too long; never below the least temperature of the sheet.
//
// ref: VOLKERSEN_1938 shear lag; SHIGLEY eq. 9-7; DESIGN_BOND
package bond
