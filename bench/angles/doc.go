// Package angles answers where the wheels point: toe, camber, caster, steering
// axis, thrust and set-back, with how sure each is, what to turn to put it
// right, and what part would be bent to look like this.
//
// In: distances from reference lines to the edges of each rim, inclinometer
// readings of each wheel straight and steered out and in, fore-aft tilts of a
// hub held by its brake, the slope of the floor, corner weights, ride heights,
// the doubts of the instruments and the limits to hold it against. Out: a
// [Result]: each angle with its standard deviation, a verdict for each limit,
// adjustments and signs of bent parts.
//
// Axes: x forward, y left, z up. Toe is positive with the front of the wheel
// nearer to the centre line, camber with the top leaning out, caster with the
// steering axis leaning back as it rises, its inclination with the top leaning
// in. The thrust angle is positive where the rear axle points to the right, the
// set-back where the right wheel stands further back. Lengths are mm, angles
// degrees.
//
// Method: a wheel is its spin axis, a unit vector. A wheel steers by a rigid
// turn about one fixed axis, which therefore stands at right angles to the
// difference of any two positions of a vector fixed to the hub; two such
// differences give it exactly, with no rule for small angles. The doubts go
// through numerical derivatives of the whole computation with respect to every
// reading, so that what angles share is counted once.
//
// ref: ISO_8855 7.1.6; ISO_8855 7.1.7; SAE_J670 caster, camber and steering-axis inclination; JCGM_100 5.1.2; DESIGN_ANGLES
package angles
