// Package survey answers whether a body is straight, from distances between
// named points.
//
// In: distances in mm with their standard deviations, and where there are any:
// heights over one level plane, differences of height levelled between points,
// nominal points with their build scatter, pairs that ought to mirror each other,
// which points are marks on the floor. Out: adjusted points with their doubt,
// residuals, wrong readings, points that the readings do not fix with what to
// measure next, points that have moved, and a verdict against a tolerance.
//
// [Examine] adjusts the free network by least squares: steps by Levenberg and
// Marquardt, the datum by inner constraints over all points. Start values come
// from the nominal points, else from the distances alone: shortest paths fill
// what was not measured, classical scaling gives a first shape and stress
// majorisation improves it; heights take the third direction out of the search,
// because distances under a car hardly fix it. Wrong readings are taken out one
// at a time by their standardised residuals, with their rivals where these explain
// as much; good ones are taken back as soon as the rest foretells them.
//
// Against nominal points the undamaged majority defines the frame: points are
// set free one at a time until the rest is congruent. Without nominal points
// the pairs are compared with their mirror images, which cannot tell the side.
// Every choice of a point is corrected for the number of points tested.
//
// Beside it stand [ExamineQuick], two diagonals and three crosses for a beginner;
// [Compare], what moved between two surveys of the same points; [TapeList], which
// lines are worth measuring; and [Progress], how far an unfinished survey fixes
// the points and what to read next.
//
// ref: DESIGN_SURVEY; DESIGN_SURVEY_AIDS
package survey
