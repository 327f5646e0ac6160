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

// Words are what must not be read in a text. The zero value and nil know no names;
// sums and addresses are found by their form.
type Words struct {
	people map[string]string // by name in small letters
	names  *regexp.Regexp    // of people, firms, the plate, the VIN; nil: none
	sums   []*regexp.Regexp  // nil: those of everybody
	vin    string            // in capitals; empty: not known
}

// Known is what is known of names and money where a text was written.
type Known struct {
	People     []string // each is looked for also by its single words
	Firms      []string
	VIN        string
	Plate      string
	Currencies []string // ISO 4217
}

// placeholder stands where something was cut out.
const placeholder = "[left out]"

// notNames are words under which people enter things and that are no names.
var notNames = []string{"workshop", "me", "self", "owner", "helper"}

// NewWords gathers what is known.
func NewWords(known Known) *Words {
	w := &Words{people: map[string]string{}, sums: sumsIn(known.Currencies)}
	var patterns []string
	for _, name := range known.People {
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
	for _, name := range known.Firms {
		if utf8.RuneCountInString(strings.TrimSpace(name)) >= 3 {
			patterns = append(patterns, wholeWord(name))
		}
	}
	for _, mark := range []string{known.Plate, known.VIN} {
		if spaced := spacedOut(mark); spaced != "" {
			patterns = append(patterns, spaced)
		}
	}
	w.vin = strings.ToUpper(strings.TrimSpace(known.VIN))
	w.names = namesOf(patterns)
	return w
}

// namesOf matches the names where no letter or digit stands beside them; nil: there
// are none. The boundary of a word of regular expressions knows no letters but
// ASCII. Since what stands beside is matched too, a shorter name is found where a
// longer one does not fit: "Ada" of "Ada Bly" in "Ada Blyth".
func namesOf(patterns []string) *regexp.Regexp {
	if len(patterns) == 0 {
		return nil
	}
	slices.SortFunc(patterns, func(a, b string) int { return cmp.Or(len(b)-len(a), cmp.Compare(a, b)) })
	return regexp.MustCompile(`(?i)(?:^|[^\p{L}\p{N}])(` + strings.Join(slices.Compact(patterns), "|") + `)(?:$|[^\p{L}\p{N}])`)
}

// wholeWord matches a name however its words are parted.
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

// Cut takes out of a text what must not be read in it, and says how many places
// that were. It cannot know a name that stands nowhere else in the book as one.
// What comes of it, cut once more, stays as it is.
func (w *Words) Cut(s string) (string, int) {
	all := 0
	for {
		pieces, n := strings.Split(s, placeholder), 0
		for i, piece := range pieces {
			cut, places := w.cutOnce(piece)
			pieces[i], n = cut, n+places
		}
		if n == 0 {
			return s, all
		}
		s, all = strings.Join(pieces, placeholder), all+n
	}
}

func (w *Words) cutOnce(s string) (string, int) {
	n := 0
	for _, cut := range []func(string) (string, int){w.cutBytes, cutMail, w.cutSums, cutPhones, w.cutNames} {
		var places int
		s, places = cut(s)
		n += places
	}
	return s, n
}

// TextKind is what a text is, where one is only looked through.
type TextKind int

// The kinds.
const (
	Prose    TextKind = iota
	Readings          // of an instrument: a line of numbers alone is no telephone number
	Drawing           // SVG: between the tags somebody may have written
)

var (
	threeLetters = regexp.MustCompile(`\p{L}{3}`)
	tags         = regexp.MustCompile(`(?s)<[^>]*>`)
)

// Holds reports whether in a text stands what must not be read.
func (w *Words) Holds(s string, kind TextKind) bool {
	switch kind {
	case Readings:
		return w.holdsReadings(s)
	case Drawing:
		_, n := w.Cut(tags.ReplaceAllString(s, " "))
		return n > 0 || w.named(s)
	}
	_, n := w.Cut(s)
	return n > 0
}

// holdsReadings looks through what may be a log of millions of lines: only those
// that say more than numbers can hold an address or money.
func (w *Words) holdsReadings(s string) bool {
	var worded strings.Builder
	for line := range strings.Lines(s) {
		if strings.Trim(line, numberSigns) == "" {
			continue
		}
		worded.WriteString(line)
		if _, n := cutPhones(line); n > 0 && threeLetters.MatchString(line) {
			return true
		}
	}
	_, asBytes := w.cutBytes(s)
	_, asName := w.cutNames(s)
	return asBytes > 0 || asName > 0 || w.named(worded.String())
}

// numberSigns are those of numbers and of what parts them.
const numberSigns = "0123456789+-.,;:eE \t\r\n"

// named reports what cannot be a number by chance: names, marks, addresses, money.
func (w *Words) named(s string) bool {
	for _, cut := range []func(string) (string, int){w.cutBytes, cutMail, w.cutMoney, w.cutNames} {
		if _, n := cut(s); n > 0 {
			return true
		}
	}
	return false
}

func (w *Words) cutNames(s string) (string, int) {
	if w == nil || w.names == nil {
		return s, 0
	}
	var out strings.Builder
	n, from := 0, 0
	for {
		at := w.names.FindStringSubmatchIndex(s[from:])
		if at == nil {
			break
		}
		out.WriteString(s[from : from+at[2]])
		out.WriteString(placeholder)
		n, from = n+1, from+at[3]
	}
	out.WriteString(s[from:])
	return out.String(), n
}

// replaced puts the placeholder where the form is found.
func replaced(form *regexp.Regexp, s string) (string, int) {
	n := 0
	s = form.ReplaceAllStringFunc(s, func(string) string { n++; return placeholder })
	return s, n
}

func partOfWord(r rune) bool {
	return r != utf8.RuneError && (unicode.IsLetter(r) || unicode.IsDigit(r))
}
