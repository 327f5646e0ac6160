// Package joint answers what tightening does to a bolted joint: which preload a
// torque gives and which torque a preload needs, how far either may lie off,
// whether the bolt holds that, and whether the thread and the face under the
// head do.
//
// In: a [Case] - a thread by its designation with its strength class, a torque,
// a preload or neither, what is known of friction, wrench, angle, nut, grip and
// tapped hole - and [Tables] of threads, classes, heads, surfaces, methods and
// materials. Out: a [Result] with the preload and its ends, the share of the
// proof force, the use of the yield strength under tension and torsion together,
// a state and a verdict with reasons, cautions and the working. A mistake in the
// case is an [*InputError] that says what was wrong and what was expected.
//
// Method. The torque is shared by the slope of the thread, friction in the thread
// and friction under the head:
//
//	M = F (0.16 P + 0.58 d2 muG + Dkm/2 muK) + running torque of a lock nut
//
// or M = K d F where a nut factor is given. The bolt is stretched and twisted at
// once while it is turned; the equivalent stress is held against its yield. The
// ends of the preload come from the range of friction of the surface or from the
// scatter of the way of tightening, whichever reaches further on that side: the
// scatter holds the wrench's own error already, so that none is added. An angle
// adds what the stiffnesses of bolt and clamped parts take up, up to yield.
//
// Where nothing is said, the surface is lightly oiled steel (friction 0.08 to
// 0.16, 0.12 in the middle), the way of tightening a torque wrench with estimated
// friction (largest over smallest preload 2), the head a plain hexagon.
//
// Figures of thresholds and their reasons: docs/decisions.
//
// ref: DESIGN_JOINT
package joint
