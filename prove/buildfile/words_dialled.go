package buildfile

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"
)

var (
	mail  = regexp.MustCompile(`(?i)[\p{L}\p{N}._%+-]+(?:@|\s?(?:\(at\)|\[at\])\s?)[\p{L}\p{N}.-]+\.\p{L}{2,}`)
	phone = regexp.MustCompile(`\+\d[\d ()/.\x{a0}-]{7,}\d`)
	// phoneHome is a number as it is dialled within a country: a nought before it,
	// or the three groups of North America.
	phoneHome = regexp.MustCompile(`\(?0\d{1,5}\)?(?:[ /.\x{a0}-]{0,3}\d{2,8}){1,5}|\(?\d{3}\)?[ .\x{a0}-]{1,2}\d{3}[ .\x{a0}-]\d{4}`)
)

func cutMail(s string) (string, int) { return replaced(mail, s) }

// The digits that a number to be dialled has, at least and at most.
const (
	leastDialled = 9
	mostDialled  = 15
)

// cutPhones takes out what is dialled, from abroad and within a country. Part numbers, days and
// decimals are let be: a number that is part of a longer sign is none.
func cutPhones(s string) (string, int) {
	s, n := replaced(phone, s)
	var out strings.Builder
	from := 0
	for _, at := range phoneHome.FindAllStringIndex(s, -1) {
		digits := 0
		for _, r := range s[at[0]:at[1]] {
			if unicode.IsDigit(r) {
				digits++
			}
		}
		before, _ := utf8.DecodeLastRuneInString(s[:at[0]])
		after, _ := utf8.DecodeRuneInString(s[at[1]:])
		if digits < leastDialled || digits > mostDialled || joined(before) || joined(after) && !endsSentence(s[at[1]:]) {
			continue
		}
		out.WriteString(s[from:at[0]])
		out.WriteString(placeholder)
		n, from = n+1, at[1]
	}
	out.WriteString(s[from:])
	return out.String(), n
}

// joined reports whether a sign makes one word or number with the digit beside it.
func joined(r rune) bool { return partOfWord(r) || strings.ContainsRune(".,-/_#+:", r) }

// endsSentence reports whether what stands here is a point or comma with nothing
// of the same word behind it.
func endsSentence(rest string) bool {
	mark, size := utf8.DecodeRuneInString(rest)
	next, _ := utf8.DecodeRuneInString(rest[size:])
	return strings.ContainsRune(".,:", mark) && !partOfWord(next)
}
