package buildfile

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Words are what must not be read in a text. The zero value knows no names; sums
// and addresses are found by their form.
type Words struct {
	people map[string]string // by name in small letters
	names  *regexp.Regexp    // of people, firms, the plate, the VIN; nil: none
}

// placeholder stands where something was cut out.
const placeholder = "[left out]"

// notNames are words under which people enter things and that are no names.
var notNames = []string{"workshop", "me", "self", "owner", "helper"}

// NewWords gathers the names of people (each also by its single words), of firms,
// and the marks of the car: plate, VIN.
func NewWords(people, firms, marks []string) *Words {
	w := &Words{people: map[string]string{}}
	var patterns []string
	for _, name := range people {
		key := strings.ToLower(strings.TrimSpace(name))
		if key == "" || slices.Contains(notNames, key) || w.people[key] != "" {
			continue
		}
		w.people[key] = fmt.Sprintf("person %d", len(w.people)+1)
		patterns = append(patterns, wholeWord(name))
		for part := range strings.FieldsSeq(name) {
			if utf8.RuneCountInString(part) >= 3 {
				patterns = append(patterns, wholeWord(part))
			}
		}
	}
	for _, name := range firms {
		if utf8.RuneCountInString(strings.TrimSpace(name)) >= 3 {
			patterns = append(patterns, wholeWord(name))
		}
	}
	for _, mark := range marks {
		if spaced := spacedOut(mark); spaced != "" {
			patterns = append(patterns, spaced)
		}
	}
	// The longest first: "Ada Bly" before "Ada".
	slices.SortFunc(patterns, func(a, b string) int { return cmp.Or(len(b)-len(a), cmp.Compare(a, b)) })
	if len(patterns) > 0 {
		w.names = regexp.MustCompile(`(?i)(?:` + strings.Join(slices.Compact(patterns), "|") + `)`)
	}
	return w
}

// wholeWord matches a name by itself; what stands beside it is looked at in
// [Words.cutNames], since the boundary of a word knows no letters but ASCII.
func wholeWord(name string) string {
	return strings.Join(quoteAll(strings.Fields(name)), `\s+`)
}

func quoteAll(parts []string) []string {
	quoted := make([]string, len(parts))
	for i, p := range parts {
		quoted[i] = regexp.QuoteMeta(p)
	}
	return quoted
}

// spacedOut matches letters and digits however they are parted; empty for a mark
// too short to tell.
func spacedOut(mark string) string {
	var signs []string
	for _, r := range mark {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			signs = append(signs, regexp.QuoteMeta(string(r)))
		}
	}
	if len(signs) < 4 {
		return ""
	}
	return strings.Join(signs, `[\s.·-]?`)
}

// Person is by what a name is replaced; a word that is no name stays.
func (w *Words) Person(name string) string {
	if w == nil {
		return name
	}
	key := strings.ToLower(strings.TrimSpace(name))
	if slices.Contains(notNames, key) {
		return name
	}
	return cmp.Or(w.people[key], "somebody")
}

var (
	signs = `[£€$¥]`
	coded = `(?:GBP|EUR|USD|CAD|AUD|CHF|SEK|NOK|DKK|PLN|JPY|NZD)`
	// sumBefore is a sum with its currency before it, sumAfter behind it.
	sumBefore = regexp.MustCompile(`(?i)(?:` + signs + `|\b` + coded + `)\s?\d+(?:[.,'\s\x{202f}\x{a0}]?\d+)*(?:\s?k)?\b`)
	sumAfter  = regexp.MustCompile(`(?i)\b\d+(?:[.,'\x{202f}\x{a0}]?\d+)*\s?(?:` + signs + `|(?:` + coded + `|pounds?|quid|euros?|dollars?)\b)`)
	mail      = regexp.MustCompile(`(?i)[\p{L}\p{N}._%+-]+(?:@|\s?(?:\(at\)|\[at\])\s?)[\p{L}\p{N}.-]+\.\p{L}{2,}`)
	phone     = regexp.MustCompile(`\+\d[\d ()/.\x{a0}-]{7,}\d`)
	// phoneHome is a number as it is dialled within a country: a nought before it,
	// or the three groups of North America.
	phoneHome = regexp.MustCompile(`\(?0\d{1,5}\)?(?:[ /.\x{a0}-]{0,3}\d{2,8}){1,5}|\(?\d{3}\)?[ .\x{a0}-]{1,2}\d{3}[ .\x{a0}-]\d{4}`)
)

// The digits that a number to be dialled has, at least and at most.
const (
	leastDialled = 9
	mostDialled  = 15
)

// cutPhones takes out what is dialled within a country. Part numbers, days and
// decimals are let be: a number that is part of a longer sign is none.
func cutPhones(s string) (string, int) {
	var out strings.Builder
	n, from := 0, 0
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

// Cut takes out of a text what must not be read in it, and says how many places
// that were. It cannot know a name that stands nowhere else in the book as one.
func (w *Words) Cut(s string) (string, int) {
	n := 0
	for _, form := range []*regexp.Regexp{mail, phone, sumBefore, sumAfter} {
		s = form.ReplaceAllStringFunc(s, func(string) string { n++; return placeholder })
	}
	s, phones := cutPhones(s)
	n += phones
	if w == nil || w.names == nil {
		return s, n
	}
	cut, more := w.cutNames(s)
	return cut, n + more
}

// Holds reports whether a text names what must not be read.
func (w *Words) Holds(s string) bool {
	if mail.MatchString(s) {
		return true
	}
	if w == nil || w.names == nil {
		return false
	}
	_, n := w.cutNames(s)
	return n > 0
}

func (w *Words) cutNames(s string) (string, int) {
	var out strings.Builder
	n, from := 0, 0
	for _, at := range w.names.FindAllStringIndex(s, -1) {
		before, _ := utf8.DecodeLastRuneInString(s[:at[0]])
		after, _ := utf8.DecodeRuneInString(s[at[1]:])
		if partOfWord(before) || partOfWord(after) {
			continue
		}
		out.WriteString(s[from:at[0]])
		out.WriteString(placeholder)
		n, from = n+1, at[1]
	}
	out.WriteString(s[from:])
	return out.String(), n
}

func partOfWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r))
}
