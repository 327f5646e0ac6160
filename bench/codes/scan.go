package codes

import (
	"regexp"
	"slices"
	"strings"
)

// written finds codes in text, with a failure type after a hyphen or colon.
var written = regexp.MustCompile(`(?i)\b([PCBU][0-3][0-9A-F]{3})(?:[-:]([0-9A-F]{2}))?\b`)

// nearly finds what was meant as a code: letters for digits, a digit too few or
// too many, a first digit that no code has; or all of its places, with letters that
// are no digits.
var nearly = regexp.MustCompile(`(?i)\b[PCBU](?:[0-9OQIL][0-9A-FOQIL]{2,5}|[0-3OQIL][0-9A-Z]{3})\b`)

// Unclear is what could not be read.
type Unclear struct {
	Line int    `json:"line"`
	Text string `json:"text"`
	Why  string `json:"why"`
	Try  string `json:"try"` // how it may have been meant; empty where nobody can say
}

// look reads the codes in a line of text.
func look(line string, at int, groups []Group) (found []Code, unclear []Unclear) {
	for _, m := range written.FindAllStringSubmatch(line, -1) {
		c := describe(strings.ToUpper(m[1]), groups)
		c.FailureType, c.Line = strings.ToUpper(m[2]), at
		found = append(found, c)
	}
	for _, near := range nearly.FindAllString(line, -1) {
		if u, ok := slip(near); ok {
			u.Line = at
			unclear = append(unclear, u)
		}
	}
	return found, unclear
}

// lookAlikes are letters that are taken for digits.
var lookAlikes = strings.NewReplacer("O", "0", "Q", "0", "I", "1", "L", "1")

// slip says what is wrong with a near code; ok is false where it is none.
func slip(text string) (Unclear, bool) {
	upper := strings.ToUpper(text)
	if written.MatchString(text) || strings.IndexFunc(upper[1:], isDigit) < 0 {
		return Unclear{}, false
	}
	u := Unclear{Text: text}
	mended := upper[:1] + lookAlikes.Replace(upper[1:])
	switch {
	case len(text) == 5 && strings.ContainsFunc(mended[1:], noDigit):
		u.Why = strings.Join(noDigits(mended[1:]), ", ") + " can stand in no code: its digits are 0 to 9 and A to F"
	case len(text) != 5:
		u.Why = "a code has a letter and four digits"
	case mended != upper:
		u.Why = "a letter stands where a digit belongs"
		if written.MatchString(mended) {
			u.Try = mended
		}
	default:
		u.Why = "the first digit of a code is 0 to 3"
	}
	return u, true
}

func isDigit(r rune) bool { return r >= '0' && r <= '9' }

// noDigit reports a letter that is no hexadecimal digit.
func noDigit(r rune) bool { return !isHex(string(r)) }

// noDigits are the letters of a text that are none, each once.
func noDigits(text string) []string {
	var list []string
	for _, r := range text {
		if noDigit(r) && !slices.Contains(list, string(r)) {
			list = append(list, string(r))
		}
	}
	return list
}
