// Package survey answers whether a body is straight, from distances between
// named points.
//
// In: distances in mm with their standard deviations, and where there are any:
// heights over one level plane, nominal points with their build scatter, pairs
// that ought to mirror each other. Out: adjusted points with their doubt,
// residuals, wrong readings, points that the readings do not fix with what to
// measure next, points that have moved, and a verdict against a tolerance.
//
// [Examine] adjusts the free network by least squares: steps by Levenberg and
// Marquardt, the datum by inner constraints over all points. Start values come
// from the nominal points, else from the distances alone: shortest paths fill
// what was not measured, classical scaling gives a first shape and stress
// majorisation improves it; heights take the third direction out of the search,
// because distances under a car hardly fix it. Wrong readings are taken out one
// at a time by their standardised residuals; good ones are taken back as soon
// as the rest foretells them.
//
// Against nominal points the undamaged majority defines the frame: points are
// set free one at a time until the rest is congruent. Without nominal points
// the pairs are compared with their mirror images, which cannot tell the side.
// Every choice of a point is corrected for the number of points tested.
//
// ref: DESIGN_SURVEY
package survey
