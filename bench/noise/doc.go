// Package noise answers which rotating part makes a hum or rumble, from a
// recording of its sound or vibration and the speed of the shaft.
//
// In: a [Case] of mono samples, the shaft's frequency, the geometry of the
// bearing (or none) and the orders of the driveline. Out: a [Result] - the
// defect frequencies, the lines that stand out with their order and source, a
// strength from 0 to 1 for each suspect, and a verdict.
//
// Method. A damaged race is struck at a rate that the geometry fixes, and each
// strike rings the metal. So:
//
//  1. Bands for the ringing are chosen by spectral kurtosis on a tree of halves
//     and thirds; its median over the recording's parts keeps a single knock
//     from choosing (kurtogram.go).
//  2. In each band the squared envelope by the Hilbert transform, and its
//     spectrum, averaged over blocks (envelope.go, spectrum.go).
//  3. The shaft's own speed is looked for in these spectra and in the plain one.
//     Where it disagrees with the stated one there is no verdict (speed.go).
//  4. Harmonic families of the defect frequencies, within a window of slip,
//     are held against the noise about them; shaft harmonics do not
//     count, nor does a rival that is a sideband of the strongest (family.go).
//  5. Whole orders, propeller and gear-mesh orders in the plain spectrum speak
//     for tyre and driveline (orders.go).
//     Tread, air in the tyre and a joint are told apart by their humps (wheel.go).
//  6. Where that does not condemn, a second look at the recording with steady
//     tones taken out (whiten.go).
//  7. The thresholds are set by Gaussian noise and measured healthy and damaged
//     bearings (judge.go).
//
// Where the speed changes, a [Track] resamples the envelopes at equal angles of the
// shaft (track.go, angle.go); [Align] finds when the recording began in it, and
// [Waterfall] and [Spectrogram] are pictures in numbers. [HearRoad] compares the
// pieces of a guided road test (road.go).
//
// ref: DESIGN_NOISE; DESIGN_NOISE_WHITENED; DESIGN_ROAD_TESTS
package noise
