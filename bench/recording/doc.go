// Package recording answers what samples a sound file holds: WAV, FLAC, MP3 or
// Ogg Vorbis in, mono samples at the file's own rate out, block by block, so
// that an hour never stands in memory.
//
// In: an io.Reader at the beginning of the file. Out: a [Recording], or an
// [Error] that says what is wrong and what was expected; it leaves the file's
// name to the caller. Channels are averaged, full scale is 1. A file that ends
// before its own headers say is refused as cut, once the reading gets there.
// Files that phones write but that cannot be read here (AAC, Opus, AMR) are
// named.
//
// WAV is read here, by its published layout; the three compressed forms by kept
// decoders in pure Go, MP3 in chunks on all cores to the very samples that it has
// in one go. A decoder that panics on broken data is caught: the file is refused
// like any other. An error that is no [Error] is the reader's own.
//
// ref: DESIGN_LISTEN
package recording
