package identity

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Length is how many characters a number has.
const Length = 17

// InputError says why a text cannot be a vehicle identification number at all.
type InputError struct {
	Text     string
	Problem  string
	Expected string
}

func (e *InputError) Error() string {
	return fmt.Sprintf("VIN %q: %s; expected %s", e.Text, e.Problem, e.Expected)
}

// dashes are what people put between groups.
const dashes = "-‐‑‒–—−"

// clean takes out what people put between groups and makes letters capital; it
// says what it did.
func clean(text string) (vin string, notes []string) {
	vin = strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || strings.ContainsRune(dashes, r) {
			return -1
		}
		return r
	}, text)
	if utf8.RuneCountInString(strings.TrimSpace(text)) != utf8.RuneCountInString(vin) {
		notes = append(notes, "Spaces and hyphens were taken out: a VIN has none.")
	}
	// Only what has a place in a VIN is made capital: ß is not SS here.
	capital := strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' {
			return r - 'a' + 'A'
		}
		return r
	}, vin)
	if capital != vin {
		notes = append(notes, "Small letters were read as capitals.")
	}
	return capital, notes
}

// checkLength gives the error for a number that is too short or too long.
func checkLength(vin string) error {
	n := utf8.RuneCountInString(vin)
	if n == Length {
		return nil
	}
	e := &InputError{Text: shorten(vin), Expected: "17; a car built before 1981 or for the home market of Japan has a shorter frame number, which this does not read"}
	switch {
	case n == 0:
		e.Problem = "is empty"
	case n < Length:
		e.Problem = fmt.Sprintf("has %d of the %d characters", n, Length)
	default:
		beyond := []rune(vin)[Length:]
		e.Problem = fmt.Sprintf("has %d characters; what stands from position 18 on is %q", n, shorten(string(beyond)))
		e.Expected = "17"
	}
	return e
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// lookalikes are the letters that are never used, with what they are misread
// from.
var lookalikes = map[rune]rune{'I': '1', 'O': '0', 'Q': '0'}

// badCharacters names each place with a character that no VIN has.
func badCharacters(vin string) (notes []string) {
	for i, r := range []rune(vin) {
		if r < utf8.RuneSelf && valueOf(byte(r)) >= 0 {
			continue
		}
		if meant, ok := lookalikes[r]; ok {
			notes = append(notes, fmt.Sprintf("Position %d: the letter %c is never used in a VIN, because it looks like a digit; %c is probably meant.", i+1, r, meant))
			continue
		}
		notes = append(notes, fmt.Sprintf("Position %d: %q is no character of a VIN; expected a digit or a capital letter other than I, O and Q.", i+1, string(r)))
	}
	return notes
}

// withoutLookalikes is the number with I, O and Q read as the digits that they
// look like; false where other characters are wrong too.
func withoutLookalikes(vin string) (string, bool) {
	read := strings.Map(func(r rune) rune {
		if meant, ok := lookalikes[r]; ok {
			return meant
		}
		return r
	}, vin)
	return read, len(badCharacters(read)) == 0
}
