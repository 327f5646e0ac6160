// Package anglesfile reads and writes the case file of wheel angles: what was
// read at the wheels, what is wanted, how the car is adjusted. The command, the
// page and the record of evidence share this one file.
//
// In: YAML (JSON is YAML). Out: a [File] with its [angles.Case], or one
// [casefile.Error] that names the line, the key, what is wrong and what was
// expected. [Write] makes a file of readings named by their keys, such as
// "wheels.FL.front_mm". Lengths are mm, angles degrees, weights kg.
package anglesfile
