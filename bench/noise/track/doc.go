// Package track answers how fast a car went at each moment, from the file that a
// phone or a satellite receiver wrote on the way.
//
// In: the bytes of a CSV with a time and a speed, of a GPX track, or of NMEA 0183
// sentences; which of them is known by the content. Out: a [Track] of seconds
// from its first point and metres a second, with what was guessed said in Notes;
// or an [Error] that names the line, what is wrong and what was expected.
// [Track.Shaft] gives a wheel's turns a second at the times of a recording.
//
// Method. CSV: a header names the columns and their units; comma, semicolon or
// tab, decimal comma; times in seconds, milliseconds, as a clock or a date with
// a time. GPX: the receiver's own speed where it was written, else the distance
// to the points before and after on a sphere, over their time. NMEA: the RMC
// sentences that are valid, each by its checksum. Points without a speed are left
// out and counted; a time that runs backwards is a mistake.
//
// ref: RFC_4180 section 2; GPX_1_1 trkpt; NMEA_0183 RMC
package track
