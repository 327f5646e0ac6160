// Package listen answers when a pump ran, from the sound of a recording made
// beside the car, although people talk, doors shut and a radio plays.
//
// In: a [Source] of mono samples, 5 to 60 minutes. Out: a [Result] - every run
// with start, end, their doubt and strength, the intervals from start to start,
// the pump's tones, cautions, the working. Nothing is known of the pump
// beforehand: neither pitch nor level nor how long it runs.
//
// Method. A motor with a pump is heard as a comb of tones that begin together,
// sag together as the pressure rises and end together; speech and music do not
// hold theirs. So:
//
//  1. The recording is brought down to some 8 kHz and cut into frames of a
//     quarter of a second. Power goes on a logarithmic grid of frequency, on
//     which a motor's tones all move by the same steps, held against the noise
//     floor: the median of the neighbours, and of the minutes about it, so that
//     hum that never stops does not count (sonogram.go).
//  2. Tones that sound on, their pitch wandering slowly, are the best paths
//     through the grid by sum of bounded log likelihood (ridge.go); those that
//     begin, move and end together are one seed (event.go).
//  3. From each seed the machine's tones are learned: what its frames have in
//     common, laid one on the other by pitch, over what the frames before and
//     after have (signature.go). The machine is looked for in the whole recording as
//     the likeliest way through two states, silent and sounding at a pitch. A tone's
//     silence says nothing where the floor has risen over it (match.go). What
//     was found teaches the tones anew.
//  4. The machine that explains most, counted by length of its runs and sagging pitch,
//     is the pump (choose.go); a rival is told as a caution.
//  5. Each start is looked at through short frames: the motor gathers speed as
//     1 - exp(-t/tau), with one tau for all runs; the likeliest moment of switching on
//     and off, and how far the evidence fixes it (edge.go).
//
// ref: DESIGN_LISTEN
package listen
