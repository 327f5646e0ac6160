// Package identity answers what a vehicle identification number says of itself:
// whether its characters are possible, whether its check digit fits, where it
// was given, which model years it may stand for - and what it cannot say.
//
// In: the number as somebody typed it, the tables of regions and countries
// ([Tables]), and what is known of the car's market. Out: a [Result] with notes
// in plain words and the working of the check digit.
//
// Method. Letters are turned into digits, each position is weighted, and the sum
// modulo 11 is the check digit, 10 being X. It must stand in position 9 where
// the law wants one: in North America and China, told by the number's own first
// characters, and in every car built for the market of North America, which only
// whoever holds the papers knows. Elsewhere makers fill the position as they
// like, so that a digit that does not fit says nothing. Position 10 gives the
// model year in a cycle of 30 years; in North America, for cars and light
// vehicles, position 7 tells which half.
//
// A number of the wrong length is an [*InputError]. One with wrong characters is
// a result, with ValidCharacters false and notes that name the places: somebody
// reading a worn plate needs them.
//
// ref: CFR_49_565 565.15 Table III; CFR_49_565 565.15 Table IV; CFR_49_565 565.15 Table V
package identity
