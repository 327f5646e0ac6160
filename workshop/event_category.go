package workshop

import (
	"slices"
	"strings"

	"wreckwright/knowledge"
)

// quotedCategory is a salvage category as a line of a history has it.
func quotedCategory(category string) string {
	words := strings.Fields(category)
	if len(words) == 1 && words[0] == category && strings.Trim(category, `,;:"`) == category {
		return category
	}
	return `"` + strings.Join(strings.Fields(strings.ReplaceAll(category, `"`, "'")), " ") + `"`
}

// cutCategory takes a category off the front of the words that follow
// "category", and says how many they were: those in quotes, else the longest name
// that is known here, else one word.
func cutCategory(words []string) (category string, used int) {
	if category, used = cutQuoted(words); used > 0 {
		return category, used
	}
	for n := min(len(words), mostCategoryWords); n > 1; n-- {
		if name := strings.Trim(strings.Join(words[:n], " "), ",;:"); knownCategory(name) {
			return name, n
		}
	}
	word := strings.Trim(words[0], ",;:")
	if len(word) == 1 {
		word = strings.ToUpper(word)
	}
	return word, 1
}

// leadingCategory takes a category that is known here off the front of what follows
// "write-off", for people write "write-off S"; 0 words where none stands there. A
// single letter counts as a capital or alone, and A alone only: it begins sentences.
func leadingCategory(words []string) (category string, used int) {
	for n := min(len(words), mostCategoryWords); n > 0; n-- {
		name := strings.Trim(strings.Join(words[:n], " "), ",;:")
		switch {
		case !knownCategory(name):
		case len(name) > 1:
			return name, n
		case len(words) == 1, name != "A" && name == strings.ToUpper(name):
			return strings.ToUpper(name), n
		}
	}
	return "", 0
}

// cutQuoted takes what stands in quotes off the front; 0 where nothing does.
func cutQuoted(words []string) (text string, used int) {
	if !strings.HasPrefix(words[0], `"`) {
		return "", 0
	}
	for n := range words {
		text := strings.Trim(strings.Join(words[:n+1], " "), ",;:")
		if inner, closed := strings.CutSuffix(text[1:], `"`); closed && strings.TrimSpace(inner) != "" {
			return strings.TrimSpace(inner), n + 1
		}
	}
	return "", 0
}

// mostCategoryWords is how many words the longest category has.
const mostCategoryWords = 4

// knownCategory reports whether some jurisdiction has a category of that name.
func knownCategory(name string) bool {
	is := func(other string) bool { return strings.EqualFold(other, name) }
	return slices.ContainsFunc(knowledge.Categories(), func(c knowledge.Category) bool { return is(c.Code) || slices.ContainsFunc(c.Aliases, is) })
}
